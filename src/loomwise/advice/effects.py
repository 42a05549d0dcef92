"""A blown fuse and a burnt contact are usually effects: what must be known before they are causes.

A fuse that blew by itself is proven only once what could blow it is refuted: a new fuse holds with
the circuit in use, or an ohmmeter or a lamp in its place shows no short. A burnt contact is still
the thing to replace, but the load's current should have been read, or the next one burns as well.
"""

from collections.abc import Sequence

import numpy as np

from loomwise.advice.candidates import Candidate
from loomwise.advice.expert import Expert
from loomwise.advice.telling import bands, differs
from loomwise.diagnosis.answers import currents
from loomwise.diagnosis.choices import counted
from loomwise.diagnosis.composite import components
from loomwise.diagnosis.ranking import Ranking
from loomwise.edits import Hold
from loomwise.evidence import Evidence, Reading
from loomwise.solver.network import Floats, Ints

REFUTED_NATS = float(np.log(10.0))
"""A cause of the blown fuse counts as refuted where it is this much less likely: tenfold."""
REFUTED_SHARE = 0.9
"""Share, by weight, of what could blow the fuse that must be refuted. Engineering judgement."""
SAME_CURRENT = 0.5
"""A clamp reads a contact's current where at least this share of it flows. [-]"""
BURNT = {"contact burnt": "make", "break contact burnt": "break"}


def effect_shares(ranking: Ranking, unit: str) -> dict[tuple[str, str], float]:
    """Shares of the unit's hypotheses that are effects, by (part, mode): fuse blown, contact
    burnt."""
    sums: dict[tuple[str, str], float] = {}
    for s in ranking.suspects:
        for fault in components(s.fault) if s.fault else ():
            if fault.unit == unit and fault.mode in ("blown", *BURNT):
                key = fault.where.partition(".")[0], fault.mode
                sums[key] = sums.get(key, 0.0) + s.share
    return sums


def unsettled_fuse(
    expert: Expert, evidence: Sequence[Evidence], ranking: Ranking, unit: str, enough: float
) -> str:
    """The fuse whose blowing is the unit's case while nobody knows what blew it, or nothing.

    Its case it is where the unit's share is below ``enough`` without it.
    """
    blown = {p: s for (p, mode), s in effect_shares(ranking, unit).items() if mode == "blown"}
    if not blown or ranking.units.get(unit, 0.0) - sum(blown.values()) >= enough:
        return ""
    fuse = max(blown, key=lambda name: blown[name])
    rows, weights = could_blow(expert, fuse)
    left = not_refuted(expert, evidence, fuse, rows)
    return fuse if float(weights[left].sum()) > 1.0 - REFUTED_SHARE else ""


def could_blow(expert: Expert, fuse: str) -> tuple[Ints, Floats]:
    """Rows of the faults elsewhere that blow a fuse in ordinary use, and their weights (sum 1)."""
    table, hold = expert.table, Hold(fuse, "blown")
    rows = [
        h
        for h, effects in enumerate(table.effects)
        if hold in effects and table.fault(h).where.partition(".")[0] != fuse
    ]
    weights = np.array([table.fault(h).weight for h in rows])
    return np.array(rows, dtype=np.int64), weights / max(float(weights.sum()), 1e-300)


def not_refuted(expert: Expert, evidence: Sequence[Evidence], fuse: str, rows: Ints) -> Ints:
    """Places in ``rows`` of what could have blown the fuse and is still possible."""
    items = [e for e in counted(evidence) if _tries(expert, e, fuse)]
    own = expert.judge.singles.numbers.get(f"{fuse} blown")
    if not items or own is None:
        return np.arange(len(rows))
    look = expert.judge.singles.look(items, rows=np.array([own, *rows], dtype=np.int64))
    logs = look.each(expert.table.variances()).sum(axis=1) + look.extra
    return np.flatnonzero(logs[0] - logs[1:] < REFUTED_NATS)


def _tries(expert: Expert, item: Evidence, fuse: str) -> bool:
    """Whether an item could show a short behind a fuse: a new fuse, or a meter in its place."""
    undone = {(u.what, u.target) for u in item.setup.undone}
    if undone & {("new", fuse), ("out", fuse)} or expert.circuit.parts[fuse].unit in item.repaired:
        return True
    return isinstance(item, Reading) and item.instrument == "ohmmeter"


def fuse_trials(
    expert: Expert, evidence: Sequence[Evidence], fuse: str, tests: Sequence[Candidate]
) -> list[int]:
    """Numbers of the tests that show best whether a new fuse holds, the best first."""
    trials = [
        t
        for t, test in enumerate(tests)
        if ("new", fuse) in {(u.what, u.target) for u in test.setup.undone}
    ]
    rows, weights = could_blow(expert, fuse)
    left = not_refuted(expert, evidence, fuse, rows)
    if not trials or not len(left):
        return []
    some, source = [tests[t] for t in trials], expert.judge.singles
    shows = differs(source, rows[left], some, bands(source, some)) @ weights[left]
    order = np.argsort(-np.round(shows, 3), kind="stable")
    return [trials[k] for k in order if shows[k] > 0.0]


def burnt_remarks(
    expert: Expert, evidence: Sequence[Evidence], ranking: Ranking, unit: str
) -> tuple[str, ...]:
    """What to find out beside replacing a relay whose contact burnt."""
    relay = _current_unread(expert, evidence, ranking, unit)
    text = f"find out why the contact of {relay} burnt: measure the load's current"
    return (text,) if relay else ()


def _current_unread(
    expert: Expert, evidence: Sequence[Evidence], ranking: Ranking, unit: str
) -> str:
    """The relay whose burnt contact is most of the unit's case though its current was not read."""
    share = ranking.units.get(unit, 0.0)
    for (part, mode), burnt in effect_shares(ranking, unit).items():
        if mode in BURNT and burnt > 0.5 * share:
            branch = f"{part}.{BURNT[mode]}"
            if not any(_reads_current(expert, e, branch) for e in counted(evidence)):
                return part
    return ""


def _reads_current(expert: Expert, item: Evidence, branch: str) -> bool:
    """Whether an item is a clamp, or a drop across a fuse, where the branch's current flows."""
    if not isinstance(item, Reading) or item.value is None:
        return False
    index, at = expert.table.net.branch_index, ""
    if item.instrument == "clamp":
        at = item.red
    elif item.instrument == "voltmeter":
        ends = {item.red.partition(".")[0], item.black.partition(".")[0]}
        at = f"{ends.pop()}.link" if len(ends) == 1 else ""
    if at not in index:
        return False
    sound = np.zeros(1, dtype=np.int64)
    amps = np.abs(currents(expert.table, item.setup, sound, [index[branch], index[at]])[0][0])
    return bool(amps[0] > 0.0 and amps[1] >= SAME_CURRENT * amps[0])
