"""Two drawings of one circuit: what differs is found, and nothing else."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwise.compare import Difference, compare
from loomwise.generate import generate_circuit
from loomwise.shelf import read_shelf, shelf_names, shelf_text
from tests.compare.drawings import changed, read, renamed

FANS = "radiator-fans"
SP2 = "SP2: {kind: splice, pins: [1, 2, 3, 4, 5], in: fuse box}"
TWO_SPLICES = """SP2: {kind: splice, pins: [1, 2, 3], in: fuse box}
  SP9: {kind: splice, pins: [1, 2, 3, 4], in: fuse box}"""

Changes = tuple[tuple[str, str], ...]
CASES: list[tuple[str, Changes, str, str]] = [
    ("fuse", (("F3:  {kind: fuse, rating: 10 A", "F3:  {kind: fuse, rating: 15 A"),),
     "value", "fuse F3: rating 10 A in A, 15 A in B"),
    ("motor plug", (("C3.1 to M1.+", "C3.1 to M1.-"), ("- M1.- to", "- M1.+ to")),
     "exchanged", "C3.1 leads to M1.+ in A, to M1.- in B"),
    ("loom side of a plug", (("K1.87 to C1.1", "K1.87 to C1.3"), ("SP3.3 to C1.3", "SP3.3 to C1.1"),
     ("C1.3 to C3.1", "C1.3 to C4.1"), ("C1.1 to C4.1", "C1.1 to C3.1"),
     ("C4.1 to M1.+", "C4.1 to M2.q"), ("C3.1 to M2.+", "C3.1 to M1.+"), ("M2.q", "M2.+")),
     "exchanged", "the wires at C1.1 and C1.3 are exchanged"),
    ("change-over", (("K2.87a to SP3.1", "K2.87 to SP3.1"),
     ("- K2.87 to C1.4", "- K2.87a to C1.4")),
     "exchanged", "the wires at K2.87 and K2.87a are exchanged"),
    ("splice leg", (("  - SP2.4 to K3.86\n", ""),),
     "missing", "K3.86: joined to F3.2, K1.86, K2.86 and C2.2 (on to A1.15) in A, to nothing"),
    ("make or break", (("K1:  {kind: relay, contact: NO", "K1:  {kind: relay, contact: NC"),
     ("K1.87 ", "K1.87a ")), "contact", "relay K1: contact NO in A, NC in B"),
    ("ground", (("to C4.2 to G1.2", "to C4.2 to G2.3"),
     ("G2:  {kind: ground, pins: [1, 2]}", "G2:  {kind: ground, pins: [1, 2, 3]}")),
     "ground", "C4.2 goes to ground G1 in A, to ground G2 (shared with C5.2"),
    ("logic", (("OUT2 on when T1 is hot", "OUT2 on when T1 is warm"),),
     "logic", "'OUT2 on when T1 is hot' in A, 'OUT2 on when T1 is warm' in B"),
    ("one more fuse", (("- F2.2 to K3.30", "- F2.2 to F9.1\n  - F9.2 to K3.30"),
     ("  F3:  {", "  F9:  {kind: fuse, rating: 5 A, in: fuse box}\n  F3:  {")),
     "part", "(5 A) is only in B, between F2.2 and K3.30"),
    ("cavities", (("C2.3", "C2.q"), ("C2.4", "C2.3"), ("C2.q", "C2.4")),
     "cavity", "connector C2: cavities numbered otherwise (exchanged on both sides): 3 in A is 4"),
    ("colour", (("BNYE 4 mm2", "BN 4 mm2"),), "wire", "BNYE in A, BN in B"),
    ("splices", ((SP2, TWO_SPLICES), ("SP2.3 to", "SP9.2 to"), ("SP2.4 to", "SP9.3 to"),
     ("SP2.5 to", "SP9.4 to"), ("- SP2.2 to K1.86", "- SP2.2 to K1.86\n  - SP2.3 to SP9.1")),
     "splice", "F3.2, K1.86, K2.86, K3.86 and C2.2 meet at SP2 in A, at "),
    ("sensor", (("hot: 240 ohm", "hot: 270 ohm"),), "value", "240 Ω when hot in A, 270 Ω in B"),
]  # fmt: skip


def _found(a: str, b: str) -> list[Difference]:
    return [d for d in compare(read(a), read(b)).differences if d.kind != "name"]


@pytest.mark.parametrize("anew", [False, True], ids=["same names", "other names"])
@pytest.mark.parametrize(("changes", "kind", "text"), [c[1:] for c in CASES],
                         ids=[c[0] for c in CASES])  # fmt: skip
def test_one_difference_is_found_and_no_other(
    changes: Changes, kind: str, text: str, anew: bool
) -> None:
    """Whatever the parts are called, one thing drawn otherwise gives one line that says it."""
    other = changed(FANS, *changes)
    found = _found(shelf_text(FANS), renamed(other, 5) if anew else other)
    assert [d.kind for d in found] == [kind], [d.text for d in found]
    assert text in found[0].text


def test_several_differences_stand_in_order() -> None:
    """What changes the function comes first, colours last."""
    picked = {"colour", "fuse", "splice leg", "cavities", "motor plug"}
    changes = [change for name, pairs, *_ in CASES if name in picked for change in pairs]
    found = _found(shelf_text(FANS), renamed(changed(FANS, *changes), 2))
    assert sorted({d.rank for d in found}) == [2, 3, 4, 7]
    assert [d.rank for d in found] == sorted(d.rank for d in found)
    assert {d.kind for d in found[:2]} == {"exchanged", "missing"}


@pytest.mark.parametrize("name", shelf_names())
def test_a_drawing_and_itself(name: str) -> None:
    """A drawing does not differ from itself."""
    assert compare(read_shelf(name), read_shelf(name)).differences == ()


@settings(max_examples=12)
@given(seed=st.integers(0, 10_000), name=st.sampled_from(shelf_names()), shuffled=st.booleans())
def test_names_do_not_matter(seed: int, name: str, shuffled: bool) -> None:
    """Under new names, even names dealt out anew, every part is found and only names differ."""
    a, b = read_shelf(name), read(renamed(shelf_text(name), seed, shuffled))
    found = compare(a, b)
    assert found.same and len(found.parts) == len(a.parts)
    assert {d.kind for d in found.differences} <= {"name"}
    for one, other in found.parts.items():
        assert a.parts[one].values == b.parts[other].values


@settings(max_examples=8)
@given(seed=st.integers(0, 10_000), parts=st.integers(12, 60))
def test_names_do_not_matter_in_any_circuit(seed: int, parts: int) -> None:
    """In invented circuits too every part is found under its new name."""
    text = generate_circuit(parts, seed)
    found = compare(read(text), read(renamed(text, seed)))
    assert found.same and {d.kind for d in found.differences} <= {"name"}


def test_a_renamed_part_is_said_once() -> None:
    """One part under two names is one line."""
    other = changed("horn", ("F4", "F27"))
    found = compare(read_shelf("horn"), read(other))
    assert [d.text for d in found.differences] == ["the same fuse: F4 in A, F27 in B"]
    assert found.same


def test_halves_the_other_way_round() -> None:
    """A connector whose halves are named in the other order is the same connector."""
    other = changed(
        "horn", ("C1: {halves: [fuse box, front loom]", "C1: {halves: [front loom, fuse box]")
    )
    assert not compare(read_shelf("horn"), read(other)).differences


def test_a_plug_that_one_drawing_leaves_out() -> None:
    """A plug that is not drawn is said, and its wires are the same wires."""
    plug = "  C5: {halves: [clock spring, steering wheel], cavities: 2, minutes: 10}\n"
    other = changed("horn", ("C4.1 to C5.1", "C4.1"), ("C5.2 to C4.2", "C4.2"), (plug, ""),
                    ("in: steering wheel", "in: clock spring"))  # fmt: skip
    found = [d for d in compare(read_shelf("horn"), read(other)).differences]
    assert [d.text for d in found] == ["connector C5 is only in A"]
