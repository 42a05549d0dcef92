import pytest

from loomwise.diagnosis.ranking import NOTHING_WRONG, Ranking
from loomwise.evidence import Reading
from loomwise.setups import Setup, parse_setup
from tests.diagnosis.exact import floats, shares
from tests.diagnosis.experts import heater_loop, loop_expert, rank, volts

TOLERANCE = 0.012
"""Half of it is a load that may or may not blow the fuse on this vehicle, which the program decides
at nominal values and at limits a little off; the rest is cells integrated as overlapping bells,
and linear scatter."""


def heat_on() -> Setup:
    """The heater switched on."""
    return parse_setup(heater_loop(), "heat=on")


def read(*values: tuple[str, float]) -> tuple[Reading, ...]:
    """Voltmeter readings with the heater on; the battery at its posts."""
    return tuple(
        volts(f"r{k}", heat_on(), place, v, method="post" if place == "BAT.+" else "back-probe")
        for k, (place, v) in enumerate(values)
    )


CASES = {
    "heater weak, ground side high": read(("BAT.+", 12.48), ("C1.1.b", 12.31), ("C2.1.a", 2.1)),
    "nothing arrives at the plug": read(("BAT.+", 12.66), ("C1.1.b", 0.01)),
    "feed side low": read(("BAT.+", 12.52), ("C1.1.b", 9.8), ("C2.1.a", 0.06)),
    "live, but no current": read(("BAT.+", 12.64), ("C1.1.b", 12.65), ("C2.1.a", 0.0)),
    "only the battery read": read(("BAT.+", 12.1)),
    "one reading cannot be": read(("BAT.+", 12.6), ("C1.1.a", 0.0), ("C2.1.a", 3.4)),
}


def single_fault_shares(ranking: Ranking) -> tuple[dict[str, float], float]:
    """The ranking's shares among one fault or none, the drawing taken as right."""
    units: dict[str, float] = {}
    for s in ranking.suspects:
        if s.fault is not None and not (s.doubt or s.fault.parts or floats(s.fault)):
            units[s.unit] = units.get(s.unit, 0.0) + s.share
    total = sum(units.values())
    healthy = units.pop(NOTHING_WRONG, 0.0)
    return {unit: share / total for unit, share in units.items()}, healthy / total


@pytest.mark.parametrize("case", CASES)
def test_shares_agree_with_exact_enumeration(case: str) -> None:
    """The suspects' shares are those that counting every possibility on a fine grid gives."""
    readings = CASES[case]
    exact, exact_healthy = shares(loop_expert(), readings)
    ours, healthy = single_fault_shares(rank(loop_expert(), *readings))
    assert healthy == pytest.approx(exact_healthy, abs=TOLERANCE)
    for unit in exact.keys() | ours.keys():
        assert ours.get(unit, 0.0) == pytest.approx(exact.get(unit, 0.0), abs=TOLERANCE), unit
