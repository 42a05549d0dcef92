"""Everything that can be wrong in a circuit file, and how it is told."""

import time
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from loomwise.circuit.reader import read_circuit
from loomwise.errors import FileError
from loomwise.shelf import shelf_names, shelf_text
from tests.circuit.samples import SMALL, changed, problems

MODULE = """\
  A1:
    kind: module
    in: panel
    pins:
      15: {role: supply}
      31: {role: ground}
      T1: {role: input, pull: up, to: 5 V, resistance: 1 kohm, bands: [low below 2 V, high]}
      OUT: {role: low-side}
"""
WITH_MODULE = SMALL.replace("wires:\n", MODULE + "wires:\n  - L1.1 to A1.15\n") + (
    "logic:\n  A1:\n    - OUT on when T1 is low\n"
)
WITH_MODULE = WITH_MODULE.replace("  - K1.87 to L1.1, GY 1 mm2, 1.5 m\n", "")


def _one(text: str) -> str:
    (problem,) = problems(text)
    return problem


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("format: 1", "format: 2", "line 1: this is format 2; this program reads format 1"),
        ("format: 1\n", "", "'format' is missing"),
        ("title: One lamp\n", "", "'title' is missing"),
        ("supply: 12 V", "supply: 12,4 V", "line 3: 'supply': \"12,4 V\" has a comma; write 12.4"),
        ("supply: 12 V", "supply: nan", "'supply': \"nan\" is not a number"),
        ("supply: 12 V", "supply: 400 V", "line 3: a supply of 400 V is high voltage"),
        ("supply: 12 V", "supply: 0 V", "'supply': 0 V is out of range"),
        ("supply: 12 V", "supply: -12 V", "'supply': -12 V is out of range"),
        ("supply: 12 V", "supply: 12 W", 'unit "W" is not known'),
        ("supply:", "suply: x\nsupply:", "'suply' is not known here; did you mean 'supply'?"),
        ("minutes: 20}", "minuts: 20}", "unit battery: 'minuts' is not known here; did you mean"),
        ("price: 300", "price: -3", "line 6: unit fuse box: 'price': -3 is out of range"),
        ("reach: 0.5 min", "reach: 5 m", "unit fuse box: 'reach'"),
        ("kind: relay", "kind: realy", "part K1: there is no kind 'realy'; did you mean 'relay'?"),
        ("kind: fuse, ", "", "part F1: 'kind' is missing"),
        ("rating: 10 A, ", "", "part F1: 'rating' is missing"),
        ("rating: 10 A", "rating: ", "'rating' has no value"),
        ("rating: 10 A", "rating: 9000 A", "'rating': 9000 A is out of range; write 500 mA to 500"),
        ("rating: 10 A", "rating: [10]", "part F1: 'rating'"),
        (
            "contact: NO",
            "contact: make",
            "part K1: 'contact' cannot be 'make'; write 'NO', 'NC' or",
        ),
        ("contact: NO", "contact: NO, fixed: maybe", "'fixed' cannot be 'maybe'"),
        ("contact: NO", "contact: NO, coil: 0 ohm", "'coil': 0 ohm is out of range"),
        ("contact: NO", "contact: NO, drop out: 9 V", "relay K1 would drop out at 9 V"),
        ("F1: {kind", "F 1: {kind", "part F 1: 'F 1' cannot stand here; an id is made of letters"),
        (
            "in: lamp",
            "in: lmap",
            "line 19: part L1 is in 'lmap', which is not declared under units",
        ),
        (", in: lamp", "", "part L1: 'in' is missing"),
        (
            "3], in: fuse box",
            "3], in: fuse bx",
            "part SP1 is in 'fuse bx', which is no unit and no",
        ),
        ("pins: [1, 2, 3]}", "pins: [1, 2, 3, 3]}", "part G1 has a pin twice"),
        ("pins: [1, 2, 3]}", "pins: 3}", "part G1: 'pins' is not what is needed here"),
        ("set by: light", "set by: ligth", "there is no control 'ligth'; did you mean 'light'?"),
        ("off: [], on: [1-2]", "on: [1-2]", "part S1 has no position for light = off"),
        ("on: [1-2]", "on: [1-2], dim: []", "part S1: 'light' cannot be 'dim'"),
        ("on: [1-2]", "on: [1-3]", "switch S1 has no pin 3"),
        ("on: [1-2]", "on: [2-2]", "switch S1 joins pin 2 to itself"),
        ("on: [1-2]", "on: [12]", "'12' cannot stand here; a hyphen joins two pins"),
        ("rest: off", "rest: of", "control light rests in 'of', which is none of its states"),
        ("[off, on], rest", "[off, on, on], rest", "control light has a state twice"),
        ("cavities: 4", "cavities: 0", "connector C1: 'cavities': '0' is no number of cavities"),
        ("cavities: 2", "cavities: [1, 2, 2]", "connector C2 has a cavity twice"),
        ("rows: 2", "rows: 9", "connector C1 has more rows than cavities"),
        ("rows: 2", "rows: two", "connector C1: 'rows' is not what is needed here; write a whole"),
        ("halves: [fuse box, dash loom]", "halves: [fuse box]", "connector C1: 'halves' does not"),
        ("cavities: 2}", "cavities: 2, access: probe}", "the ways to reach a place are post, open"),
        ("to K1.30", "to K1.88", "line 26: relay K1 has no pin 88; it has 30, 85, 86, 87"),
        ("to K1.30", "to KK1.30", "there is no part or connector KK1; did you mean 'K1'?"),
        ("C1.1", "C1.5", "line 27: connector C1 has no cavity 5; it has 1, 2, 3, 4"),
        ("GY 1 mm2", "GREY 1 mm2", "wire colour 'GREY' is not known"),
        ("GY 1 mm2", "GY -1 mm2", "wire size is -1 mm2"),
        ("to L1.1, GY 1 mm2", "to L1.1: GY 1 mm2", "wire 8: this is not what is needed here"),
        ("wires:", "wires: []\nlogic: {B1: [x on always]}\nwirs:", "'wirs' is not known here"),
    ],
)
def test_a_slip_is_told_with_what_would_be_right(old: str, new: str, says: str) -> None:
    """One slip in the file gives a message that names it, and a way out."""
    with pytest.raises(FileError) as caught:
        read_circuit(changed((old, new)), "f")
    told = [str(problem) for problem in caught.value.problems]
    assert any(says in line for line in told), told
    assert all(problem.hint for problem in caught.value.problems)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("role: supply", "role: ground", "module A1 has no supply pin"),
        ("role: low-side", "role: low", "part A1: 'role' cannot be 'low'"),
        ("role: low-side", "role: low-side, pull: up", "is pulled up, but by what resistance?"),
        ("role: low-side", "role: low-side, bands: [a]", "bands cannot stand at a pin of role"),
        ("role: low-side", "role: lin, duty: 20 %", "duty cannot stand at a pin of role 'lin'"),
        ("resistance: 1 kohm, ", "", "pin T1 is pulled up, but by what resistance?"),
        ("low below 2 V, high", "low below 2 V, mid below 1 V, high", "the bands do not rise"),
        ("low below 2 V, high", "low below 2 V, low", "two bands of one name"),
        ("low below 2 V, high", "low, high", "band 'low' is not understood"),
        ("low below 2 V, high", "low below 2 A, high", 'unit "A" is not known'),
        ("T1 is low", "T1 is lwo", "line 42: 'T1' has no value 'lwo'"),
        ("T1 is low", "T2 is low", "line 42: unknown name 'T2'"),
        ("OUT on when", "OUTT on when", "line 42: "),
        ("on when T1", "whn T1", "line 42: "),
        ("  A1:\n    - OUT", "  A2:\n    - OUT", "there is no module A2; the modules are A1"),
    ],
)
def test_slips_about_a_module(old: str, new: str, says: str) -> None:
    """Logic speaks of the module's own pins and bands; anything else is told with its line."""
    assert problems(WITH_MODULE) == []
    assert old in WITH_MODULE
    told = problems(WITH_MODULE.replace(old, new, 1))
    assert any(says in line for line in told), told


def test_all_problems_are_told_at_once() -> None:
    """Nobody corrects a file ten times to learn of ten mistakes."""
    text = changed(
        ("12 V", "12,4 V"),
        ("price: 300", "price: x"),
        ("rating: 10 A", "rating: ten"),
        ("rest: off", "rest: of"),
        ("to K1.30", "to K1.88"),
        ("GY 1 mm2", "GREY 1 mm2"),
    )
    assert [int(line.split("line ")[1].split(":")[0]) for line in problems(text)] == [
        *(3, 6, 13, 16, 26, 30),
    ]


def test_one_wrong_entry_is_told_once() -> None:
    """Wires of a part that is wrong itself are not called wrong as well."""
    assert "part L1: 'power': 21 A" not in _one(changed(("power: 21 W", "power: 21 A")))
    assert "part L1: 'power'" in _one(changed(("power: 21 W", "power: 21 A")))


@pytest.mark.parametrize(
    ("kind", "says"), [("battery", "there is no battery"), ("ground", "there is no ground point")]
)
def test_current_needs_a_source_and_a_ground(kind: str, says: str) -> None:
    """A drawing without one of them is not finished."""
    lines = [line for line in SMALL.splitlines() if f"kind: {kind}" not in line]
    assert any(says in line for line in problems("\n".join(lines)))


def test_a_part_without_a_wire() -> None:
    """A part that nothing is connected to is a wire forgotten."""
    text = changed(("  G1: {", "  L2: {kind: lamp, power: 5 W, in: lamp}\n  G1: {"))
    assert "line 21: nothing is connected to lamp L2" in _one(text)


def test_a_connector_and_a_part_of_one_name() -> None:
    """A name before the point means one thing."""
    assert any(
        "is the name of a part and of a conn" in p for p in problems(changed(("C2:", "K1:")))
    )


def test_a_misspelt_half_is_not_taken_for_a_loom() -> None:
    """A half owned by "fuse bx" would put the fuse box's pins out of reach."""
    told = problems(changed(("halves: [fuse box,", "halves: [fuse bx,")))
    assert any("'fuse bx' is no unit" in p and "did you mean 'fuse box'?" in p for p in told)


def test_both_halves_of_one_owner() -> None:
    """Nobody could tell the two sides of such a plug apart."""
    told = problems(changed(("halves: [dash loom, panel]", "halves: [panel, panel]")))
    assert any("both halves of connector C2 belong to 'panel'" in p for p in told)


def test_the_same_wire_twice() -> None:
    """Two cables between the battery posts are a slip."""
    text = changed(("wires:\n", "wires:\n  - BAT.+ to BAT.-\n  - BAT.+ to BAT.-\n"))
    assert "this is a second wire from BAT.+ to BAT.-" in _one(text)


def test_a_wire_from_a_pin_to_itself() -> None:
    """A wire has two ends."""
    assert any("comes to BAT.+ twice" in p for p in problems(SMALL + "  - BAT.+ to BAT.+\n"))


def test_a_ground_in_an_engine_bay_has_no_unit() -> None:
    """A ground need not sit in anything."""
    assert (
        problems(changed(("  G1: {kind: ground, pins", "  G1: {kind: ground, access: none, pins")))
        == []
    )


def test_a_thirty_part_file_is_read_quickly() -> None:
    """Reading must not be felt: 150 ms for thirty parts, the best of three tries."""
    text = shelf_text("radiator-fans")
    took_s = []
    for _ in range(3):
        begin = time.perf_counter()
        read_circuit(text, "f")
        took_s.append(time.perf_counter() - begin)
    assert min(took_s) < 0.15


def _survives(text: str) -> None:
    """Reading gives a circuit or problems that each say what and what next; nothing else."""
    try:
        read_circuit(text, "f")
    except FileError as error:
        assert error.problems
        assert all(p.what and p.hint and p.file == "f" for p in error.problems)


@given(st.text(max_size=300))
@example("\ufeff")
@example("a: \u2028 b")
@example("%YAML 9.9\n---\n")
def test_no_text_breaks_the_reader(text: str) -> None:
    """Whatever is opened as a circuit, the answer is in words."""
    _survives(text)


LEAF = st.text("abK1.-+ :,#", max_size=8) | st.sampled_from(
    ["12 V", "NO", "nan", "", "C1.1 to F1.2"]
)
TREES = st.recursive(
    LEAF,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(LEAF, inner, max_size=3),
    max_leaves=12,
)
SECTIONS = ["title", "supply", "sources", "labour", "cautions", "units", "connectors", "controls"]
SECTIONS += ["parts", "wires", "logic", "format", "note"]


@given(st.sampled_from(SECTIONS), TREES)
def test_no_section_breaks_the_reader(section: str, tree: Any) -> None:
    """Any section may hold anything at all: it is told, not stumbled over."""
    kept = [line for line in _sections() if not line.startswith(f"{section}:")]
    _survives("".join(kept) + f"{section}: {_flow(tree)}\n")


def _sections() -> list[str]:
    found: list[str] = []
    for line in SMALL.splitlines(keepends=True):
        if line.startswith(" "):
            found[-1] += line
        else:
            found.append(line)
    return found


def _flow(tree: Any) -> str:
    if isinstance(tree, dict):
        return "{" + ", ".join(f"'{k}': {_flow(v)}" for k, v in tree.items()) + "}"
    if isinstance(tree, list):
        return "[" + ", ".join(map(_flow, tree)) + "]"
    return f"'{tree}'"


PIECES = st.sampled_from(["&a ", "*a", "!t ", "[", "]", "{", "}", ": ", "\n", "\t", '"', "'", "- "])
PIECES |= st.sampled_from([" to ", ".", "C1.1", "C2.2", "-1", "1e999", "nan", "\x00", "é", "# "])


@given(
    st.sampled_from(shelf_names()),
    st.lists(st.tuples(st.floats(0, 1), st.integers(0, 30), PIECES | st.just("")), max_size=5),
)
def test_no_damage_to_a_file_breaks_the_reader(
    name: str, damage: list[tuple[float, int, str]]
) -> None:
    """A file cut, blotted or mistyped anywhere is either still sound or refused in words."""
    text = shelf_text(name)
    for where, length, piece in damage:
        at = int(where * len(text))
        text = text[:at] + piece + text[at + length :]
    _survives(text)
