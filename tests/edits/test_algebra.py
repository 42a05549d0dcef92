"""Edits compose: the order they were written in never matters."""

from itertools import permutations

from loomwise.edits import AddOhm, Bridge, Edit, Hold, Limit, Open, canonical, key

EDITS: tuple[Edit, ...] = (
    Open("a"),
    AddOhm("a", 0.1),
    Hold("K1", "pulled"),
    Bridge("a", "body", 2.0),
    Limit("F1", 0, 0.5),
)


def test_one_key_for_every_order() -> None:
    """Fuse out then plug apart is the same vehicle as plug apart then fuse out."""
    assert len({key(order) for order in permutations(EDITS)}) == 1
    assert len({canonical(order) for order in permutations(EDITS)}) == 1


def test_repeats_count_once() -> None:
    """A fuse that is out cannot be taken out again."""
    assert key([*EDITS, EDITS[0]]) == key(EDITS)
    assert canonical([*EDITS, EDITS[0]]) == canonical(EDITS)


def test_different_edits_have_different_keys() -> None:
    """A joint of 0.1 ohm and one of 0.2 ohm are two faults, as are open and bridged."""
    keys = {key([e]) for e in (*EDITS, AddOhm("a", 0.2), AddOhm("b", 0.1), Open("b"))}
    assert len(keys) == len(EDITS) + 3


def test_each_limit_of_a_device_is_its_own() -> None:
    """A relay that pulls in late and one that lets go late are two faults."""
    limits = [Limit("K1", 0, 0.5), Limit("K1", 1, 0.5), Limit("K2", 1, 0.5), Limit("K1", 1, 0.0)]
    assert len({key([e]) for e in limits}) == len(limits)


def test_no_edits_at_all() -> None:
    """The vehicle as drawn has the empty key."""
    assert key([]) == "" and canonical([]) == ()
