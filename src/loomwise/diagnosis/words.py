"""Chances of what a person says: dark, slow, clicks, blown. One number per hypothesis."""

import math
from collections.abc import Sequence

import numpy as np

from loomwise.circuit.loads import load_named
from loomwise.circuit.model import Circuit, Part
from loomwise.diagnosis.predict import kept, lamp_light, probe_nodes
from loomwise.diagnosis.table import Table
from loomwise.evidence import Reading, Sign
from loomwise.evidence.items import (
    CLICK_WORDS,
    LAMP_WORDS,
    LOOK_WORDS,
    STIR_WORDS,
    STIRS,
    look_kind,
    sign_words,
)
from loomwise.faults import Fault
from loomwise.setups import Setup
from loomwise.solver.network import Floats, Ints
from loomwise.solver.result import LAMP_EXPONENT, STEPS, levels
from loomwise.solver.solution import Drops

MISTAKE = 0.02
"""Chance that a person reports another word than is true: engineering judgement."""
EYE_SD = 0.12
"""Spread of the natural logarithm of a level as a person judges it: engineering judgement."""
LAMP_STEPS = ((0.02, "dark"), (0.6, "dim"), (9e9, "bright"))
SEES_CONTACT, FALSE_CONTACT = 0.7, 0.04
"""Chance that a bad contact looks bad, and that a good one does: engineering judgement."""
SEES_FUSE = 0.97
UNSURE = 0.2
"""How often a chatter is described in some other way than it is: engineering judgement."""
STIRS_IT, FALSE_STIR = 0.6, 0.03
"""Chance that a fault that comes and goes answers to a hand, and that something else does just
then: engineering judgement."""


def normal_cdf(x: Floats) -> Floats:
    """Standard normal distribution function (Abramowitz and Stegun 7.1.26, within 1.5e-7)."""
    t = 1.0 / (1.0 + 0.3275911 * np.abs(x) / math.sqrt(2.0))
    poly = t * (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (
        -1.453152027 + t * 1.061405429))))  # fmt: skip
    upper = 0.5 * poly * np.exp(-x * x / 2.0)
    return np.asarray(np.where(x >= 0, 1.0 - upper, upper))


def step_chances(level: Floats, steps: Sequence[tuple[float, str]]) -> Floats:
    """Chance (..., w) of each word for levels (...)."""
    log_level = np.log(np.maximum(level, 1e-9))
    edges = np.array([math.log(below) for below, _ in steps[:-1]])
    below = normal_cdf((edges - log_level[..., None]) / EYE_SD)
    full = np.concatenate([np.zeros((*level.shape, 1)), below, np.ones((*level.shape, 1))], -1)
    return np.asarray((1.0 - MISTAKE) * np.diff(full, axis=-1) + MISTAKE / len(steps))


def sign_chances(table: Table, rows: Ints, setup: Setup, what: str) -> Floats:
    """Chance (f, w) of each of ``sign_words`` under each hypothesis."""
    key = (f"sign {what}", setup, b"")
    return kept(table, key, rows, lambda some: (_signs(table, some, setup, what),))[0]


def _signs(table: Table, rows: Ints, setup: Setup, what: str) -> Floats:
    words = sign_words(table.circuit, what)
    if (load := load_named(table.circuit, what)) is not None:
        return _load_chances(table, rows, setup, load)
    part = table.circuit.parts.get(what)
    rest = table.at(setup, rows)
    if part is not None:
        d = table.net.device_index[what]
        number = rest.state[rows, d] if part.kind == "module" else 1 - rest.state[rows, d]
        number = 1 - number if part.kind == "module" else number
        number = np.where(rest.moving(rows, d) & (part.kind in CLICK_WORDS), 2, number)
    else:
        number = _module_pin(table, rows, setup, what)
    hit = number[:, None] == np.arange(len(words))
    chances = np.where(hit, 1.0 - MISTAKE, MISTAKE / max(len(words) - 1, 1))
    module = table.net.device_index[what.partition(".")[0]]
    restless = rest.moving(rows, module) & (part is None or part.kind == "module")
    return np.where(restless[:, None], 1.0 / len(words), chances)


def _module_pin(table: Table, rows: Ints, setup: Setup, what: str) -> Ints:
    """Number of the word of a module's live data; the last is that it does not answer."""
    owner, _, pin = what.partition(".")
    rest = table.at(setup, rows)
    asleep = rest.state[rows, table.net.device_index[owner]] == 0
    if what in table.net.device_index:
        number = rest.state[rows, table.net.device_index[what]]
    else:
        brain = next(b for b in table.plant.brains if b.part.id == owner)
        number = brain.sensed(table.net, rest.v[rows])[pin]
    last = len(sign_words(table.circuit, what)) - 1
    return np.where(asleep, last, number).astype(np.int64)


def _load_chances(table: Table, rows: Ints, setup: Setup, part: Part) -> Floats:
    rest, net, supply = table.at(setup, rows), table.net, table.circuit.supply_v
    v = rest.v[rows]
    level = levels(net, part, v, Drops(net, v), table.health(part)[rows], supply)
    steady = step_chances(level, STEPS[part.kind])
    ways = steady.shape[1] + 1
    chances = np.concatenate([steady * (1 - MISTAKE / ways), np.full((len(rows), 1), 0.004)], 1)
    for k in np.flatnonzero(rest.chatter[rows]).tolist():
        v = rest.cycles[int(rows[k])].v
        level = levels(net, part, v, net.drop(v), table.health(part)[rows[k : k + 1]], supply)
        ends = np.array([level.min(), level.max()])
        chances[k] = _unsteady(step_chances(ends, STEPS[part.kind]))
    return chances


def _unsteady(ends: Floats) -> Floats:
    """Chance of each word and of "on and off" where a circuit chatters, from the chances (2, w) at
    a load's lowest and highest level; a chatter is seen in many ways, or not at all."""
    same = ends.prod(axis=0)
    seen = np.append(same, 1.0 - same.sum())
    return np.asarray((1.0 - UNSURE) * seen + UNSURE / len(seen))


def lamp_chances(table: Table, rows: Ints, reading_setup: Setup, probes: Ints) -> Floats:
    """Chance (f, p, 3) of a test lamp dark, dim or bright at probes."""
    share = lamp_light(table, reading_setup, rows, probes, table.circuit.supply_v)
    return step_chances(share**LAMP_EXPONENT, LAMP_STEPS)


def look_chances(table: Table, rows: Ints, setup: Setup, target: str) -> Floats:
    """Chance (f, w) of each word for what a fuse, contact or ground looks like."""
    kind = look_kind(table.circuit, target)
    faults = [table.fault(h) for h in rows]
    if kind == "fuse":
        return _fuse_looks(table, rows, setup, target, faults)
    bad = np.array([looks_bad(f, kind, target) for f in faults])
    seen = np.where(bad, SEES_CONTACT, FALSE_CONTACT)
    return np.stack([1.0 - seen, seen], axis=1)


def looks_bad(fault: Fault, kind: str, target: str) -> bool:
    """Whether a fault leaves its mark where one looks; a double's marks are both."""
    wheres = fault.where.replace(" and ", " + ").split(" + ")
    names = {w.partition(".")[0] for w in wheres} if kind == "ground" else set(wheres)
    if kind == "contact":
        names |= {target} if target.rpartition(".")[0] in names else set()
    return kind in fault.looks and target in names


def stir_chances(table: Table, rows: Ints, target: str) -> Floats:
    """Chance (f, 2) that the complaint changes while something is wiggled, warmed or cooled."""
    there = np.array([touches(table.circuit, table.fault(h), target) for h in rows.tolist()])
    changes = np.where(there, STIRS_IT, FALSE_STIR)
    return np.stack([changes, 1.0 - changes], axis=1)


def touches(circuit: Circuit, fault: Fault, target: str) -> bool:
    """Whether a fault, or a part of it, lies in a plug, loom, ground or part."""
    wheres = fault.where.replace(" and ", " + ").split(" + ")
    return any(
        where == target
        or where.partition(".")[0] == target
        or (where in circuit.segments and circuit.segments[where].loom == target)
        for where in wheres
    )


def fuse_word(fault: Fault, fuse: str, blown: bool) -> str:
    """What a fuse looks like when it is taken out."""
    groups = fault.group.split(" + ")
    for mode, word in FUSE_WORDS.items():
        if f"{fuse} {mode}" in groups and not (mode == "wrong rating" and blown):
            return word
    return "blown" if blown else "intact"


FUSE_WORDS = {"missing": "missing", "bypassed": "bridged", "wrong rating": "wrong rating"}
"""Modes of a fuse that are seen for what they are."""


def _fuse_looks(
    table: Table, rows: Ints, setup: Setup, target: str, faults: Sequence[Fault]
) -> Floats:
    blown = table.at(setup, rows).state[rows, table.net.device_index[target]] == 1
    words = LOOK_WORDS["fuse"]
    number = np.array([
        words.index(fuse_word(f, target, bool(b))) for f, b in zip(faults, blown, strict=True)
    ])  # fmt: skip
    hit = number[:, None] == np.arange(len(words))
    return np.where(hit, SEES_FUSE, (1.0 - SEES_FUSE) / (len(words) - 1))


def word_chances(table: Table, rows: Ints, item: Sign | Reading) -> tuple[Floats, tuple[str, ...]]:
    """Chances (f, w) of an item answered by a word, and the words."""
    if isinstance(item, Sign):
        return sign_chances(table, rows, item.setup, item.what), sign_words(
            table.circuit, item.what
        )
    if item.instrument in STIRS:
        return stir_chances(table, rows, item.red), STIR_WORDS
    if item.instrument == "look":
        words = LOOK_WORDS[look_kind(table.circuit, item.red)]
        return look_chances(table, rows, item.setup, item.red), words
    probes = probe_nodes(table, [(item.red, item.black)])
    return lamp_chances(table, rows, item.setup, probes)[:, 0, :], LAMP_WORDS
