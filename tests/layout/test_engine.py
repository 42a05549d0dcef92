"""The layout library behind its one function."""

import sys
from pathlib import Path

import pytest

from loomwise.drawing import layout_graph
from loomwise.errors import LayoutError
from loomwise.layout import engine, place
from tests.drawing.sheets import lamp


def test_the_same_graph_is_placed_the_same() -> None:
    """A drawing does not change between two looks, and holds nothing of the library's own."""
    first, second = place(layout_graph(lamp())), place(layout_graph(lamp()))
    assert first == second
    assert "$H" not in str(first)


def test_the_library_is_the_pinned_one() -> None:
    """The name that cached layouts go by is that of the version in npm/package.json."""
    pins = Path(__file__).parents[2] / "npm" / "package.json"
    version = engine.ENGINE.removeprefix("elkjs ")
    assert f'"elkjs": "{version}"' in pins.read_text(encoding="utf-8")


def test_its_licence_ships_beside_it() -> None:
    """Whoever gets the library gets its licence."""
    text = engine.SCRIPT.with_name("elkjs-LICENSE.md").read_text(encoding="utf-8")
    assert "Eclipse Public License" in text


def test_a_missing_library_is_named_and_mended(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Where the library was not fetched, the message says which file and what to run."""
    monkeypatch.setattr(engine, "SCRIPT", tmp_path / "elk-worker.min.js")
    with pytest.raises(LayoutError) as caught:
        place(layout_graph(lamp()))
    assert "elk-worker.min.js" in str(caught.value)
    assert "./run" in str(caught.value) and "hatch_build.py" in str(caught.value)


def test_a_damaged_library_is_told(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """A library that was cut off in copying is named, and how to fetch it anew."""
    damaged = tmp_path / "elk-worker.min.js"
    damaged.write_text(engine.SCRIPT.read_text("utf-8")[:100_000], encoding="utf-8")
    monkeypatch.setattr(engine, "SCRIPT", damaged)
    with pytest.raises(LayoutError, match="damaged") as caught:
        place(layout_graph(lamp()))
    assert "delete it" in caught.value.hint


def test_a_missing_engine_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the script engine cannot be loaded, the message says so, not a traceback."""
    monkeypatch.setitem(sys.modules, "py_mini_racer", None)
    with pytest.raises(LayoutError, match="mini-racer does not run here"):
        place(layout_graph(lamp()))


def test_a_graph_it_cannot_place_is_refused_and_the_next_is_placed() -> None:
    """A bad graph is a message, not a crash, and spoils nothing that follows."""
    graph = layout_graph(lamp())
    graph["edges"][0]["targets"] = ["nowhere"]
    with pytest.raises(LayoutError, match="nowhere"):
        place(graph)
    assert place(layout_graph(lamp()))["width"] > 0


def test_endless_work_is_stopped(monkeypatch: pytest.MonkeyPatch) -> None:
    """A layout that takes too long ends with advice, and the next one works."""
    monkeypatch.setattr(engine, "TIMEOUT_S", 0.001)
    with pytest.raises(LayoutError, match="one load"):
        place(layout_graph(lamp()))
    monkeypatch.undo()
    assert place(layout_graph(lamp()))["width"] > 0
