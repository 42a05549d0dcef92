"""What a probe finds on insulation and on floating pieces."""

from loomwise.circuit.kinds.tables import access_methods
from loomwise.edits import Open
from loomwise.shelf import read_shelf
from loomwise.solver.result import source_between_ohm
from tests.solver.bench import solve


def test_a_probe_through_insulation_can_miss() -> None:
    """A pin pushed through insulation can miss the strands and read 0 V on a live wire.

    Common practice, no source: every way to a place but the last has some chance of that, and
    piercing more than an open terminal.
    """
    methods = access_methods()
    assert methods["pierce"].missed > methods["open"].missed > 0.0
    assert methods["none"].missed == 1.0


def test_two_places_of_a_floating_piece_hold_a_meter() -> None:
    """A circuit whose ground is off floats as a whole, and a meter across its battery is steady."""
    horn = read_shelf("horn")
    ground = next(p.id for p in horn.parts_of_kind("ground") if "BAT" in str(horn.segments))
    point = solve(horn, "horn=free", [Open(f"{ground}.stud")])[0]
    assert point.solution is not None
    assert source_between_ohm(point.solution, "BAT.+", "BAT.-") < 1.0
