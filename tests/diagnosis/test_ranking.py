import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwise.diagnosis.ranking import NOTHING_WRONG, Ranking
from loomwise.evidence import Evidence, Reading, Sign
from loomwise.setups import parse_setup
from tests.diagnosis.experts import (
    fans_complaint,
    fans_expert,
    fans_high,
    fans_low,
    fresh,
    horn_dead,
    horn_expert,
    pressed,
    rank,
    volts,
)


def horn_evidence() -> list[Evidence]:
    """A silent horn and readings along its feed, one of them odd."""
    return [
        horn_dead(),
        Sign("s2", pressed(), "K1", "pulled", "yes"),
        volts("r1", pressed(), "BAT.+", 12.5, method="post"),
        volts("r2", pressed(), "C1.3.a", 12.4),
        volts("r3", pressed(), "C3.1.a", 0.02),
        Reading("r4", pressed(), "test lamp", "C3.1.b", "BAT.-", word="dark", complaint="yes"),
    ]


def everything(ranking: Ranking) -> dict[str, float]:
    """All shares of a ranking as plain numbers (a whole ranking is too large to print)."""
    return {
        **{f"unit {u}": s for u, s in ranking.units.items()},
        **{f"exchanged {e}": s for e, s in ranking.doubted.items()},
        **{f"bad {r}": s for r, s in ranking.bad.items()},
        **{
            f"{s.fault and s.fault.id}, {s.exchange and s.exchange.id}": s.share
            for s in ranking.suspects
        },
        "not explained": ranking.not_explained,
        "nothing wrong": ranking.nothing_wrong,
    }


@settings(max_examples=8)
@given(st.permutations(range(6)))
def test_order_of_entry_never_matters(order: list[int]) -> None:
    """Whether the sign or the reading is written down first changes nothing at all."""
    items = horn_evidence()
    turned = everything(rank(horn_expert(), *(items[k] for k in order)))
    assert turned == everything(rank(horn_expert(), *items))


def test_what_a_reading_is_called_does_not_matter() -> None:
    """Readings numbered in another order weigh the same."""
    items = horn_evidence()
    names = ["s9", "s8", "r8", "r7", "r6", "r5"]
    renamed = [type(e)(**{**vars(e), "id": name}) for e, name in zip(items, names, strict=True)]
    one, other = rank(horn_expert(), *items), rank(horn_expert(), *renamed)
    assert other.units == pytest.approx(one.units, abs=1e-6)
    assert other.bad["r7"] == pytest.approx(one.bad["r2"], abs=1e-6)


def test_same_input_same_output() -> None:
    """Asking twice, warm or cold, gives the same answer to the last digit."""
    items, judge = horn_evidence(), fresh(horn_expert())
    first = everything(judge.rank(items))
    judge.rank(items[:2])
    assert everything(judge.rank(items)) == first
    assert everything(rank(horn_expert(), *items)) == first


@pytest.mark.parametrize("count", range(7))
def test_shares_sum_to_one(count: int) -> None:
    """Something or nothing is wrong: with any evidence the shares of all suspects sum to one."""
    ranking = rank(horn_expert(), *horn_evidence()[:count])
    assert sum(s.share for s in ranking.suspects) == pytest.approx(1.0, abs=1e-4)
    assert all(0.0 <= share <= 1.0 + 1e-9 for share in everything(ranking).values())


def test_units_are_sums_over_their_suspects() -> None:
    """A unit's share is that it needs repair, alone or beside another."""
    ranking = rank(horn_expert(), *horn_evidence())
    for unit, share in ranking.units.items():
        mine = sum(s.share for s in ranking.suspects if unit in s.unit.split(" + "))
        assert share == pytest.approx(mine, abs=1e-9)
    shares = [s.share for s in ranking.suspects]
    assert shares == sorted(shares, reverse=True)
    assert ranking.leader == max(ranking.units.items(), key=lambda kv: kv[1])


def test_before_any_evidence_the_weights_stand() -> None:
    """With nothing seen, two in a hundred jobs are not electrical and two fit nothing known."""
    ranking = rank(horn_expert())
    plain = [s for s in ranking.suspects if s.fault and not s.doubt and not s.fault.parts]
    singles = sum(s.share for s in plain if s.unit != NOTHING_WRONG)
    nothing = sum(s.share for s in plain if s.unit == NOTHING_WRONG)
    assert nothing / singles == pytest.approx(0.02 / 0.87, rel=1e-4)
    assert ranking.not_explained / singles == pytest.approx(0.02 / 0.87, rel=1e-4)


def test_open_break_contact_is_found() -> None:
    """No slow speed, fast speed good, live up to K2 and dead behind it: the fuse box."""
    ranking = rank(
        fans_expert(), *fans_complaint(),
        volts("r1", fans_low(), "BAT.+", 12.55, method="post"),
        volts("r2", fans_low(), "C1.1.a", 12.5),
        volts("r3", fans_low(), "C1.2.a", 12.5),
        volts("r4", fans_low(), "C1.3.a", 0.01),
    )  # fmt: skip
    assert ranking.leader[0] == "fuse box"
    assert ranking.leader[1] > 0.99
    best = ranking.suspects[0].fault
    assert best is not None
    assert best.id == "K2 break contact open"
    assert max(ranking.doubted.values()) < 0.01  # the drawing is not blamed for it
    assert max(ranking.bad.values()) < 0.05  # nor the readings


@pytest.mark.parametrize("value_v", [0.0, 6.2, 12.5])
def test_a_reading_without_the_complaint_clears_nothing(value_v: float) -> None:
    """A fault that comes and goes was away: whatever was read then says nothing."""
    taken = volts("r9", fans_low(), "C1.3.a", value_v, complaint="no")
    sign = Sign("s9", fans_low(), "M1", "normal", "no")
    assert everything(rank(fans_expert(), *fans_complaint(), taken, sign)) == everything(
        rank(fans_expert(), *fans_complaint())
    )


def test_a_reading_of_unknown_presence_counts() -> None:
    """Only a complaint known to be absent makes a reading worthless."""
    before = rank(fans_expert(), *fans_complaint())
    taken = volts("r9", fans_low(), "C1.2.a", 12.5, complaint="unknown")
    assert rank(fans_expert(), *fans_complaint(), taken).units != before.units


def test_two_blown_fuses_are_found_together() -> None:
    """Both fans dead, both fuses blown, both fans well on new fuses: a pair, not a riddle."""
    high = fans_high()
    renewed = parse_setup(fans_expert().circuit, "key=run, coolant=hot", ["F1 new, F2 new"])
    ranking = rank(
        fans_expert(),
        *(Sign(f"s{m}", high, m, "off", "yes") for m in ("M1", "M2")),
        volts("r1", high, "F1.1", 12.5, method="fuse ear"),
        volts("r2", high, "F1.2", 0.0, method="fuse ear"),
        volts("r3", high, "F2.1", 12.5, method="fuse ear"),
        volts("r4", high, "F2.2", 0.0, method="fuse ear"),
        *(Sign(f"n{m}", renewed, m, "normal", "yes") for m in ("M1", "M2")),
    )
    best = ranking.suspects[0]
    assert best.unit == "F1 + F2"
    assert list(ranking.units)[:2] in (["F1", "F2"], ["F2", "F1"])
    assert min(ranking.units["F1"], ranking.units["F2"]) > 0.9


def test_evidence_that_fits_nothing_says_so() -> None:
    """The horn sounds with its relay released, half the volts here and more behind, the same when
    taken again (so nothing chatters): no fault that we know does this, and that is what leads."""
    p = pressed()
    ranking = rank(
        horn_expert(), Sign("s1", p, "H1", "sounds", "yes"), Sign("s2", p, "K1", "released", "yes"),
        volts("r1", p, "BAT.+", 12.6, method="post"), volts("r2", p, "C1.3.a", 5.5),
        volts("r3", p, "C3.1.b", 9.0), volts("r4", p, "C3.2.a", 4.0),
        volts("r5", p, "C1.3.a", 5.5), volts("r6", p, "C3.1.b", 9.0),
        volts("r7", p, "C3.2.a", 4.0),
    )  # fmt: skip
    assert ranking.not_explained > 0.5
    assert ranking.not_explained > ranking.leader[1]


def test_an_honest_reading_is_not_called_unexplained() -> None:
    """With readings that some fault explains well, "not explained" stays far behind."""
    assert rank(horn_expert(), *horn_evidence()).not_explained < 0.01


def test_a_wandering_meter_speaks_for_an_open() -> None:
    """With the relay out, the horn's feed hangs on the horn and its ground: where the meter wanders
    there, the way to ground is open, and the relay is not to blame."""
    circuit = horn_expert().circuit
    out = parse_setup(circuit, "horn=pressed", ["K1 out"])
    known = horn_dead(), volts("r1", pressed(), "F4.2", 12.5, method="fuse ear")
    place = Reading("r2", out, "voltmeter", "C3.1.b", "BAT.-", word="wandering", complaint="yes")
    steady = volts("r2", out, "C3.1.b", 0.0)
    before, wanders, zero = (
        rank(horn_expert(), *known, *more) for more in ((), (place,), (steady,))
    )

    def opens(ranking: Ranking) -> float:
        away = {"H1", "C3.1.b-H1.1", "H1.2-C3.2.b", "C3.2", "C3.2.a-G2.1", "G2.1", "G2.stud",
                "G1.stud", "G1.1", "BAT.--G1.1"}  # fmt: skip
        ids = {f"{where} open" for where in away}
        return sum(s.share for s in ranking.suspects if s.fault and s.fault.id in ids)

    share_before, share_wanders, share_zero = map(opens, (before, wanders, zero))
    assert share_wanders > 0.75
    assert share_wanders > 2.5 * share_before
    assert share_zero < share_before
    assert wanders.units["K1"] < 0.3 * before.units["K1"]
