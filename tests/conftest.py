"""What every test may ask for."""

import atexit
import os
import shutil
import tempfile

# Before numpy loads: more BLAS threads than cores only fight each other on small matrices.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
# No test reads or writes what the person who runs it has stored.
os.environ["LOOMWISE_DATA"] = tempfile.mkdtemp(prefix="loomwise-tests-")
os.environ["LOOMWISE_CACHE"] = os.path.join(os.environ["LOOMWISE_DATA"], "layouts")

import pytest
from hypothesis import settings

atexit.register(shutil.rmtree, os.environ["LOOMWISE_DATA"], ignore_errors=True)

IN_CI = os.environ.get("CI", "").lower() not in ("", "0", "false")

# In CI the same examples every time. No deadline: two workers share two cores.
settings.register_profile("loomwise", deadline=None, derandomize=IN_CI)
settings.load_profile("loomwise")


@pytest.fixture(scope="session")
def ngspice_path() -> str:
    """Path of the ngspice program; without it the test is skipped here, and fails in CI."""
    path = shutil.which("ngspice")
    if path is not None:
        return path
    reason = "ngspice is not installed (Debian: apt-get install ngspice libngspice0)"
    if IN_CI:
        pytest.fail(reason)
    pytest.skip(reason)


@pytest.fixture(scope="session")
def poppler() -> None:
    """Programs that read PDF files; without them the test is skipped here, and fails in CI."""
    if all(shutil.which(name) for name in ("pdftotext", "pdftoppm", "pdfinfo")):
        return
    reason = "poppler is not installed (Debian: apt-get install poppler-utils)"
    if IN_CI:
        pytest.fail(reason)
    pytest.skip(reason)
