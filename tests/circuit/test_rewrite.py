import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwise.circuit.document import Document, Path, read_document
from loomwise.circuit.reader import read_circuit
from loomwise.circuit.rewrite import set_value
from loomwise.errors import InputError
from loomwise.shelf import shelf_names, shelf_text

FANS = shelf_text("radiator-fans")


def _value(document: Document, path: Path) -> str:
    tree = document.tree
    for step in path:
        tree = tree[step]  # type: ignore[index, call-overload]  # the path is one of its own
    assert isinstance(tree, str)
    return tree


@pytest.mark.parametrize("name", shelf_names())
def test_writing_what_stands_there_changes_nothing(name: str) -> None:
    """Saving a file without a change leaves it as it was, to the byte."""
    text = shelf_text(name)
    document = read_document(text, name)
    for path in list(document.spans)[::12]:
        assert set_value(text, path, _value(document, path)) == text


def test_one_value_changes_and_its_remark_stays() -> None:
    """The remark behind the fuse still says which fan it feeds."""
    new = set_value(FANS, ("parts", "F1", "rating"), "30 A")
    assert new == FANS.replace(
        "rating: 40 A, in: fuse box}       # left", "rating: 30 A, in: fuse box}       # left"
    )
    assert read_circuit(new, "f").parts["F1"].values["rating_a"] == 30


def test_a_wire_line() -> None:
    """A wire is changed by its number."""
    new = set_value(FANS, ("wires", 0), "BAT.+ to SP1.1, BK 25 mm2, 0.5 m, in battery cable")
    assert new == FANS.replace("BAT.+ to SP1.1, RD 16 mm2", "BAT.+ to SP1.1, BK 25 mm2")


def test_a_folded_note_becomes_one_line() -> None:
    """The note may be rewritten; what follows it stays where it was."""
    new = set_value(FANS, ("note",), "Two fans: slow and fast.")
    assert 'note: "Two fans: slow and fast."\nsources:' in new
    assert new.endswith(FANS[FANS.index("sources:") :])


def test_what_is_not_there_cannot_be_set() -> None:
    """A part that is not in the file is not made up."""
    with pytest.raises(InputError, match="no single value at parts / F9 / rating"):
        set_value(FANS, ("parts", "F9", "rating"), "3 A")
    with pytest.raises(InputError, match="no single value at parts / F1"):
        set_value(FANS, ("parts", "F1"), "3 A")


PATHS: list[Path] = [
    *[("title",), ("note",), ("supply",), ("units", "fuse box", "price"), ("wires", 3)],
    *[("sources", 0, "name"), ("parts", "A1", "pins", "T1", "bands", 1), ("cautions", 0)],
    *[("controls", "coolant", "rest"), ("logic", "A1", 1)],
]


@settings(max_examples=40)
@given(
    st.sampled_from(PATHS), st.text(max_size=30) | st.text(" #:,-[]{}'\"&*!|>%\n\\NO1a", max_size=9)
)
def test_any_value_reads_back_and_nothing_else_moves(path: Path, value: str) -> None:
    """Whatever is written is read back as it was meant, and the rest of the file stays."""
    try:
        new = set_value(FANS, path, value)
    except InputError:
        assert any(not c.isprintable() for c in value), value
        return
    before, after = read_document(FANS, "f"), read_document(new, "f")
    assert _value(after, path) == value
    start, end = before.spans[path]
    new_start, new_end = after.spans[path]
    assert new[:new_start] == FANS[:start] and new[new_end:].lstrip() == FANS[end:].lstrip()
