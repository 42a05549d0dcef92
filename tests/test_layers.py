"""The table of who may import whom, held by reading the imports; and a core without I/O."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

SOURCE = Path(__file__).parent.parent / "src" / "loomwise"

# A package may import what its row names, and itself. Arrows point down: rows only name rows above.
MAY_IMPORT = {
    "errors": "",
    "units": "errors",
    "logic": "errors",
    "circuit": "errors units logic",
    "sizing": "errors units circuit",
    "standing_draw": "errors units circuit sizing",
    "edits": "errors",
    "compare": "errors units circuit edits",
    "generate": "errors",  # writes the text of a circuit file; who reads it checks it
    "records": "errors circuit",  # the text of a file in, values by time out
    "ways": "errors circuit logic",  # by the file alone
    "drawing": "errors units circuit ways",  # what was solved arrives as plain numbers
    "layout": "errors",  # a graph in, the same graph with places out
    "solver": "errors units logic circuit edits",
    "setups": "errors logic circuit edits",
    "faults": "errors units circuit edits",
    "explain": "errors units logic circuit edits solver setups faults",
    "evidence": "errors units circuit edits setups",
    "diagnosis": "errors units circuit edits solver setups faults evidence",
    "planning": "errors",  # plain arrays only, so that it can be checked on its own
    "weights": "errors",  # plain counts: the table is handed in
    "job": "errors units circuit edits setups evidence",
    "store": "errors job",
    "shelf": "errors circuit",
    "advice": "errors units circuit edits solver setups faults evidence diagnosis planning job"
    " ways",
    "report": "errors units circuit edits setups faults evidence diagnosis job advice sizing",
    "paper": "errors report",  # a document in, a file's bytes out
    "study": "errors units logic circuit edits solver setups faults evidence diagnosis planning"
    " job advice",
    "practice": "errors circuit solver setups evidence diagnosis planning advice study",
    "usecases": "errors units logic circuit edits solver setups faults evidence diagnosis planning"
    " job store shelf weights advice study compare generate explain sizing standing_draw"
    " drawing layout report paper practice records ways",
    "web": "errors circuit job store usecases __version__",
    "cli": "errors units usecases store web __version__",
}
CORE = {
    *("circuit", "logic", "edits", "compare", "ways", "drawing", "solver", "setups"),
    *("faults", "evidence", "diagnosis", "planning", "advice", "generate", "weights"),
    *("explain", "sizing", "standing_draw", "report"),
    *("practice", "records"),
}
TABLE_LOADER = "tables.py"  # the one kind of core module that may read: packaged tables, once
NUMPY_IN = {"logic", "solver", "faults", "diagnosis", "planning", "advice", "study", "usecases"}
NUMPY_IN |= {"explain", "practice"}
NUMPY_MODULES = {"circuit/wire.py"}
OUTSIDE_MODULES = {"os", "pathlib", "time", "shutil", "tempfile", "socket", "subprocess", "sqlite3"}
OUTSIDE_MODULES |= {"urllib", "importlib", "pkgutil"}
OUTSIDE_CALLS = {"open", "print", "input"}
OUTSIDE_METHODS = {"now", "today", "utcnow", "write_text", "write_bytes"}
READ_METHODS = {"read_text", "read_bytes"}


def _modules() -> Iterator[tuple[str, str]]:
    """Every module's path below the package, and its source."""
    for path in sorted(SOURCE.rglob("*.py")):
        yield path.relative_to(SOURCE).as_posix(), path.read_text(encoding="utf-8")


def _package(module: str) -> str:
    return module.split("/")[0].removesuffix(".py")


def _imports(module: str, source: str) -> Iterator[str]:
    """Dotted names of all imports, wherever they stand; "from a import b" gives "a.b"."""
    here = ["loomwise", *module.split("/")[:-1]]
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = here[: len(here) - node.level + 1] if node.level else []
            stem = [*base, *([node.module] if node.module else [])]
            yield from (".".join([*stem, alias.name]) for alias in node.names)


def _wrong_arrows(module: str, source: str) -> list[str]:
    package = _package(module)
    if package == "__init__":
        allowed: set[str] = set()  # the top of the package stays empty of imports
    elif package in MAY_IMPORT:
        allowed = {package, *MAY_IMPORT[package].split()}
    else:
        return [f"{module}: {package} is not in the table"]
    targets = (f"{name}.*".split(".") for name in _imports(module, source))
    ours = {name[1] for name in targets if name[0] == "loomwise"}
    return [f"{module} imports {target}" for target in sorted(ours - allowed)]


def _wrong_numpy(module: str, source: str) -> list[str]:
    if _package(module) in NUMPY_IN or module in NUMPY_MODULES:
        return []
    roots = {name.split(".")[0] for name in _imports(module, source)}
    return [f"{module} imports {name}" for name in sorted(roots & {"numpy", "scipy"})]


def _input_output(module: str, source: str) -> list[str]:
    """What a core module does with the world outside: files, clock, environment, screen."""
    loads_tables = module.endswith("/" + TABLE_LOADER)
    modules = OUTSIDE_MODULES - ({"importlib"} if loads_tables else set())
    methods = OUTSIDE_METHODS | (set() if loads_tables else READ_METHODS)
    found = {name.split(".")[0] for name in _imports(module, source)} & modules
    for node in ast.walk(ast.parse(source)):
        match node:
            case ast.Call(func=ast.Name(id=name)) if name in OUTSIDE_CALLS:
                found.add(name)
            case ast.Call(func=ast.Attribute(attr=name)) if name in methods:
                found.add(name)
    return [f"{module} uses {name}" for name in sorted(found)]


def test_arrows_point_down() -> None:
    """Each package leans only on those below it, so that each can be understood on its own."""
    wrong = [line for module, source in _modules() for line in _wrong_arrows(module, source)]
    assert not wrong, "\n".join(wrong)


def test_numpy_stays_where_arrays_are() -> None:
    """Arrays belong to solving and ranking; the drawing and the job are plain data."""
    wrong = [line for module, source in _modules() for line in _wrong_numpy(module, source)]
    assert not wrong, "\n".join(wrong)


def test_the_core_does_no_input_or_output() -> None:
    """The same circuit and readings give the same answer: no file, clock or environment is read."""
    core = [(module, source) for module, source in _modules() if _package(module) in CORE]
    wrong = [line for module, source in core for line in _input_output(module, source)]
    assert not wrong, "\n".join(wrong)


def test_the_table_has_no_cycle() -> None:
    """A row names only rows above it: nothing leans on what leans on it."""
    above = {"__version__"}
    for package, allowed in MAY_IMPORT.items():
        assert set(allowed.split()) <= above, package
        above.add(package)


@pytest.mark.parametrize(
    "source",
    [
        "import loomwise.solver",
        "from loomwise.solver.dc import solve",
        "from loomwise import solver",
        "from ..solver import dc",
        "from .. import solver",
        "def late():\n    from loomwise.solver import dc",
        "if TYPE_CHECKING:\n    from loomwise.solver import dc",
        "from loomwise import __version__",
        "import loomwise",
    ],
)
def test_every_form_of_import_is_seen(source: str) -> None:
    """An arrow that points up is found however it is written."""
    assert _wrong_arrows("circuit/model.py", source)


def test_good_arrows_pass() -> None:
    """An import of the own package, of one below, or of a library is no finding."""
    source = "from .wire import x\nfrom . import check\nfrom loomwise.errors import y\nimport csv"
    assert not _wrong_arrows("circuit/model.py", source)
    deep = "from ..model import x\nfrom ... import units"
    assert not _wrong_arrows("circuit/kinds/tables.py", deep)
    assert not _wrong_arrows("cli/main.py", "from loomwise import __version__")


def test_a_package_without_a_row_is_found() -> None:
    """A new package must first be given its place."""
    assert _wrong_arrows("novelty/main.py", "") and _wrong_arrows("novelty.py", "")


@pytest.mark.parametrize(
    "source",
    [
        'open("x")',
        "path.read_text()",
        "import os",
        "from os import environ",
        "import time",
        "from datetime import datetime\ndatetime.now()",
        "from importlib import resources",
    ],
)
def test_input_and_output_are_seen(source: str) -> None:
    """Each way out of the core is found."""
    assert _input_output("circuit/model.py", source)


def test_tables_are_read_by_their_loader_only() -> None:
    """A table that ships with the package may be read, by the module meant for it."""
    source = "from importlib import resources\nresources.files('x').read_text()"
    assert not _input_output("circuit/kinds/tables.py", source)
    assert _input_output("circuit/kinds/other.py", source)
    assert _input_output("circuit/kinds/tables.py", "import os")


def test_numpy_is_seen() -> None:
    """An array library outside its place is found."""
    assert _wrong_numpy("circuit/model.py", "import numpy as np")
    assert _wrong_numpy("job/record.py", "from numpy.typing import NDArray")
    assert not _wrong_numpy("circuit/wire.py", "import numpy as np")
