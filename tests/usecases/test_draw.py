"""Drawings in a setup, with faults; and layouts that are kept."""

import json
import re
from pathlib import Path

import pytest

from loomwise.drawing import layout_graph
from loomwise.errors import InputError
from loomwise.shelf import read_shelf
from loomwise.usecases import layouts
from loomwise.usecases.draw import Drawing, draw_circuit, draw_to
from tests.drawing.geometry import problems, read
from tests.drawing.sheets import lamp


def words(svg: str) -> set[str]:
    """All that is lettered."""
    return {text for text, _ in read(svg).texts}


def test_the_voltage_view_shows_the_setup() -> None:
    """With the light on, the wire to the lamp has battery volts; with it off, none."""
    on = words(draw_circuit(lamp(), Drawing(setup="light=on", view="voltage")))
    off = words(draw_circuit(lamp(), Drawing(view="voltage")))
    assert "setup: light on" in on and "setup: light off" in off
    assert sum(word.startswith("12.") for word in on) > sum(w.startswith("12.") for w in off)


def test_a_fault_is_put_in_and_marked() -> None:
    """An open wire floats behind the break, and the badge is at the wire."""
    wanted = Drawing(setup="light=on", view="voltage", faults=("C1.1 open",))
    svg = draw_circuit(lamp(), wanted)
    assert svg.count('class="badge"') == 1
    assert any(word.startswith("fault: contact 1 of connector C1") for word in words(svg))
    assert problems(svg) == []


@pytest.mark.parametrize("fault", ["battery cable several wires parted", "C5 apart"])
def test_a_fault_of_several_wires_marks_them_all(fault: str) -> None:
    """A gnawed loom or a wet plug has a band under everything it concerns."""
    circuit = read_shelf("horn")
    known = draw_circuit(circuit, Drawing())
    wanted = Drawing(faults=(fault,))
    svg = draw_circuit(circuit, wanted)
    bands = re.search(r'<g class="bands">(.*?)</g>', svg)
    assert bands and bands[1].count("<") >= 2
    assert '<g class="bands"></g>' in known


def test_probes_get_their_letters() -> None:
    """The places to measure are numbered on the drawing; one that is not there is refused."""
    assert ">1</text>" in draw_circuit(lamp(), Drawing(probes=(("E1.1", "1"),)))
    with pytest.raises(InputError, match=r"E1\.3"):
        draw_circuit(lamp(), Drawing(probes=(("E1.3", "1"),)))


def test_one_load_of_a_circuit() -> None:
    """Only what concerns the load is drawn, solved as the whole circuit is."""
    circuit = read_shelf("headlamps")
    svg = draw_circuit(circuit, Drawing(setup="lights=head", view="voltage", load="L1"))
    assert "only what concerns L1" in words(svg)
    assert "L1" in words(svg) and "L2" not in words(svg)


def test_without_colour() -> None:
    """On a black-and-white printer the drawing has no colour at all."""
    for view in ("insulation", "voltage"):
        svg = draw_circuit(lamp(), Drawing(view=view, grey=True))
        wires = "".join(re.findall(r'<g class="(?:wire|legend)".*?</g>', svg, re.DOTALL))
        inks = set(re.findall(r"#[0-9a-f]{6}", wires))
        drab = {"#1d2733", "#5a6672", "#fcfbf7"}  # letters and paper
        assert all(ink[1:3] == ink[3:5] == ink[5:7] for ink in inks - drab)


def test_an_unknown_view_is_refused() -> None:
    """A slip of the pen in the view is told with what there is."""
    with pytest.raises(InputError, match="volts") as caught:
        draw_circuit(lamp(), Drawing(view="volts"))
    assert "voltage" in caught.value.hint


def test_a_file_is_never_written_over(tmp_path: Path) -> None:
    """A drawing goes to a new file; one that is there stays as it is."""
    file = tmp_path / "lamp.svg"
    answer = draw_to(lamp(), Drawing(), str(file))
    assert answer.text is None and f'width="{answer.width:g}"' in file.read_text("utf-8")
    with pytest.raises(InputError, match="there already"):
        draw_to(lamp(), Drawing(), str(file))


def test_a_layout_is_kept_and_found(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The second look at a circuit needs no layout; a change of the circuit does."""
    graph = layout_graph(lamp())
    first = layouts.placed(graph, tmp_path)
    calls: list[object] = []
    monkeypatch.setattr(layouts, "place", lambda graph: calls.append(graph) or first)
    assert layouts.placed(graph, tmp_path) == first and not calls
    graph["children"][0]["width"] += 1
    changed = {**first, "children": [{**n} for n in first["children"]], "edges": []}
    monkeypatch.setattr(layouts, "place", lambda graph: calls.append(graph) or changed)
    layouts.placed(graph, tmp_path)
    assert len(calls) == 1


@pytest.mark.parametrize("spoilt", ["", "{", "[]", '{"width": 3}', "\udcff"])
def test_a_spoilt_cache_is_passed_over(tmp_path: Path, spoilt: str) -> None:
    """A cache file that was cut off or scribbled on does no harm."""
    graph = layout_graph(lamp())
    sound = layouts.placed(graph, tmp_path)
    for file in tmp_path.glob("*.json"):
        file.write_text(spoilt, encoding="utf-8", errors="surrogateescape")
    assert layouts.placed(graph, tmp_path) == sound
    assert json.loads(next(tmp_path.glob("*.json")).read_text("utf-8")) == sound


def test_a_folder_that_cannot_be_written_is_passed_over(tmp_path: Path) -> None:
    """Without a cache folder a drawing takes longer, and that is all."""
    (tmp_path / "file").write_text("")
    assert layouts.placed(layout_graph(lamp()), tmp_path / "file" / "in")["width"] > 0


def test_the_oldest_layouts_go(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The cache does not grow for ever."""
    monkeypatch.setattr(layouts, "MOST_KEPT", 3)
    for number in range(5):
        (tmp_path / f"{number}.json").write_text("{}")
    layouts.placed(layout_graph(lamp()), tmp_path)
    assert len(list(tmp_path.iterdir())) == 3
