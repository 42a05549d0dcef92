"""Symbols moved by hand: in a file, in a stored job, and what cannot be."""

import re
from pathlib import Path

import pytest

from loomwise.errors import InputError
from loomwise.shelf import read_shelf, shelf_text
from loomwise.store import Store
from loomwise.usecases import stored
from loomwise.usecases.draw import Drawing, draw_circuit
from loomwise.usecases.job_drawing import draw_job
from loomwise.usecases.move import Move, parse_move, symbols, with_move
from loomwise.usecases.move_file import move_in_file
from loomwise.usecases.move_stored import move_symbol, undo_move
from loomwise.usecases.report_drawing import report_drawings
from loomwise.usecases.sources import draw_source
from tests.drawing.geometry import problems
from tests.store.shop import horn_job

LEFT = Move("H1", (0.0, 430.0))


def standing(svg: str) -> dict[str, tuple[float, float]]:
    """Where the symbols stand, read from the drawing."""
    found = re.findall(r'data-part="(\S+)" data-at="(\S+) (\S+)"', svg)
    return {part: (float(x), float(y)) for part, x, y in found}


@pytest.fixture
def own(tmp_path: Path) -> Path:
    """The horn's circuit as a file of one's own, with a comment at its end."""
    file = tmp_path / "own.yaml"
    file.write_text(f"{shelf_text('horn').rstrip()}\n# seen at the vehicle\n", encoding="utf-8")
    return file


def test_a_file_keeps_the_move_and_its_comments(own: Path) -> None:
    """A symbol moved in a file stands there from then on; taken back, the file is as it was."""
    before = own.read_text(encoding="utf-8")
    draw_source(str(own), Drawing(), moves=["H1=0,430"], write=True)
    text = own.read_text(encoding="utf-8")
    assert text.startswith(before.rstrip()) and "H1: [0, 430]" in text
    svg = draw_source(str(own), Drawing()).text or ""
    assert standing(svg)["H1"][0] < standing(svg)["S1"][0]
    draw_source(str(own), Drawing(), moves=["H1=back"], write=True)
    assert own.read_text(encoding="utf-8") == before


def test_ends_of_lines_and_the_mark_before_the_text_stay(own: Path) -> None:
    """A file from another system keeps its ends of lines and its mark of the encoding."""
    text = own.read_text(encoding="utf-8").replace("\n", "\r\n")
    own.write_bytes(b"\xef\xbb\xbf" + text.encode())
    move_in_file(str(own), (LEFT, Move("F4", (0.0, 111.0))))
    data = own.read_bytes()
    assert data.startswith(b"\xef\xbb\xbf" + text.rstrip().encode())
    assert data.count(b"\n") == data.count(b"\r\n")
    move_in_file(str(own), (Move("H1", None), Move("F4", None)))
    assert own.read_bytes() == b"\xef\xbb\xbf" + text.encode()


def test_a_move_is_shown_without_being_kept(own: Path) -> None:
    """Without the wish to keep it, the drawing shows the move and the file stays as it was."""
    before = own.read_bytes()
    svg = draw_source(str(own), Drawing(), moves=["H1=0,430"]).text or ""
    assert standing(svg)["H1"][0] < standing(svg)["S1"][0]
    assert own.read_bytes() == before


def test_moves_one_after_the_other_stay_legible() -> None:
    """Each move starts from the drawing as it then was, and nothing comes to lie on anything."""
    circuit = read_shelf("radiator-fans")
    for part in ("K1", "M1"):
        there = {s.part: s for s in symbols(circuit)}
        far = max(s.x for s in there.values()) + 100
        circuit = with_move(circuit, Move(part, (far, there[part].y)))
    assert list(circuit.positions) == ["K1", "M1"]
    assert problems(draw_circuit(circuit, Drawing())) == []


def test_feeds_stay_above_and_grounds_below() -> None:
    """A ground dragged to the top goes along its row only."""
    circuit = read_shelf("horn")
    before = {s.part: s for s in symbols(circuit)}
    moved = {s.part: s for s in symbols(with_move(circuit, Move("G2", (0.0, 300.0))))}
    assert moved["G2"].x < moved["G1"].x and before["G2"].x > before["G1"].x
    assert moved["G2"].y == moved["G1"].y


@pytest.mark.parametrize(
    ("word", "said"),
    [
        ("K9=1,2", "no part 'K9'"),
        ("K1=5000,80", "outside the drawing at 5000,80; the drawing is"),
        ("K1=60,-900", "outside the drawing"),
        ("H1=76,431", "would lie on S1; put its middle beside"),
        ("K1=64,224", "would stay where it is"),
        ("K1=back", "was not moved"),
    ],
)
def test_where_a_symbol_cannot_stand(word: str, said: str) -> None:
    """An unknown part, outside, on another symbol, nothing changed: told with what next."""
    with pytest.raises(InputError, match=re.escape(said)):
        draw_source("horn", Drawing(), moves=[word])


@pytest.mark.parametrize("word", ["K1", "K1=", "=3,4", "K1=a,b", "K1=1;2", "K1=1e9,2", "K1=nan,1"])
def test_what_says_no_place(word: str) -> None:
    """A move that cannot be read is shown as it should be written."""
    with pytest.raises(InputError, match="K1=120,80"):
        parse_move(word)


def test_a_circuit_of_the_shelf_is_not_written(own: Path) -> None:
    """Places are kept in one's own file; all of several moves or none."""
    with pytest.raises(InputError, match="in a file of yours only"):
        draw_source("horn", Drawing(), moves=["H1=0,430"], write=True)
    with pytest.raises(InputError, match="nothing to write"):
        draw_source(str(own), Drawing(), write=True)
    before = own.read_bytes()
    with pytest.raises(InputError, match="K9"):
        draw_source(str(own), Drawing(), moves=["H1=0,430", "K9=1,2"], write=True)
    assert own.read_bytes() == before


def test_a_job_keeps_the_move(store: Store) -> None:
    """The page, the report and the file of a job show the symbol where it was put."""
    number = horn_job(store)
    assert move_symbol(store, number, LEFT, "a1") == 1
    assert move_symbol(store, number, LEFT, "a1") == 0
    job = stored.stored_job(store, number)
    assert job.circuit.positions == {"H1": (0, 430)}
    page, paper = draw_job(job), report_drawings(job, job.evidence, ())[0].svg
    for svg in (page, paper):
        assert standing(svg)["H1"][0] < standing(svg)["S1"][0]


def test_moves_of_a_job_are_undone_one_by_one(store: Store) -> None:
    """The last move is undone first; every move stays in the record."""
    number = horn_job(store)
    move_symbol(store, number, LEFT)
    move_symbol(store, number, Move("H1", None))
    assert stored.stored_job(store, number).circuit.positions == {}
    assert undo_move(store, number, "u1") == "H1" == undo_move(store, number, "u1")
    assert stored.stored_job(store, number).circuit.positions == {"H1": (0, 430)}
    assert undo_move(store, number) == "H1"
    assert stored.stored_job(store, number).circuit.positions == {}
    with pytest.raises(InputError, match="no symbol was moved"):
        undo_move(store, number)
    assert [e.kind for e in store.log(number)][-4:] == ["move", "move", "withdraw", "withdraw"]


def test_another_circuit_has_its_own_places(store: Store) -> None:
    """Where symbols were moved on the old drawing means nothing on the new one."""
    number = stored.new_job(store, {"complaint": "x", "vehicle": "y"})
    stored.choose_circuit(store, number, "horn")
    move_symbol(store, number, LEFT)
    stored.choose_circuit(store, number, "headlamps")
    assert stored.stored_job(store, number).circuit.positions == {}
