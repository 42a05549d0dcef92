"""Several things at once: two or three faults, or a fault and what the drawing has wrong.

Best first, never by listing all. What a composition does is foreseen from its members: an item
that one of them changes from what a healthy vehicle shows is as that one says; where both do, as
the better fitting one says. Its bound is the product of the weights and of the likelihoods foreseen
so. The most promising are solved; the sum of the bounds of the others says how much was not looked
at. (Members may do together what neither does alone: then the bound is too low.)
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from loomwise.edits import canonical
from loomwise.faults import Fault
from loomwise.solver.network import Floats, Ints

LEADERS, PER_LEADER = 40, 10
LIKELY = float(np.log(0.1))
"""What is this likely by itself, another drawing, is put to every leader. [nat]"""
CHANGES = 0.5
"""A member changes an item if it moves its log-likelihood by this much. [nat]"""
HELPS = 3.0
"""A further member must explain this much more, in nats, than the rest alone: with less it is
beside the point, which changes no decision about the others."""


@dataclass(frozen=True)
class Members:
    """What can be put together (m): log-prior as it stands alone, log-weight as an addition, and
    each item's log-likelihood (m, items)."""

    faults: tuple[Fault, ...]
    log_prior: Floats
    log_weight: Floats
    fit: Floats

    def __len__(self) -> int:
        return len(self.faults)

    @property
    def repairs(self) -> Ints:
        """How many faults each is (m,); a doubt of the drawing is none."""
        return np.array([repairs(f) for f in self.faults], dtype=np.int64)

    def joined(self, other: "Members") -> "Members":
        """Both lists as one."""
        return Members(
            self.faults + other.faults,
            np.concatenate([self.log_prior, other.log_prior]),
            np.concatenate([self.log_weight, other.log_weight]),
            np.concatenate([self.fit, other.fit]),
        )


@dataclass(frozen=True)
class Promising:
    """The compositions worth solving (c), their weight their whole prior, their log-bounds (c,),
    and the log of the others' bounds summed."""

    faults: tuple[Fault, ...]
    log_bound: Floats
    log_left: float


def repairs(fault: Fault) -> int:
    """How many faults a hypothesis is; a doubt of the drawing is none."""
    return sum(bool(p.unit) for p in components(fault))


def members(faults: Sequence[Fault], log_share: float, fit: Floats, log_post: Floats) -> Members:
    """Of each fault its best cell, with what its other cells add to its weight."""
    best: dict[str, int] = {}
    mass: dict[str, float] = {}
    for k, fault in enumerate(faults):
        group = fault.group
        mass[group] = float(np.logaddexp(mass.get(group, -np.inf), log_post[k]))
        if fault.edits and (group not in best or log_post[k] > log_post[best[group]]):
            best[group] = k
    at = np.array(list(best.values()), dtype=np.int64)
    more = np.array([mass[group] for group in best]) - log_post[at]
    log_weight = np.log(np.array([faults[k].weight for k in at])) + more
    return Members(tuple(faults[k] for k in at), log_weight + log_share, log_weight, fit[at])


def promising(
    first: Members, second: Members, healthy: Floats, most: int, log_step: Floats,
    enough: float = -np.inf,
) -> Promising:  # fmt: skip
    """The best compositions of one of ``first`` with one of ``second``.

    ``healthy`` (items,) is how each item fits a vehicle with nothing wrong.
    ``log_step`` (4,) is what one fault more does to the prior, by how many there are already.
    Only the leaders of ``first`` are combined; nothing below the bound ``enough`` is solved.
    """
    if not len(first) or not len(second):
        return Promising((), np.zeros(0), -np.inf)
    each, other = first.fit.sum(axis=1), second.fit.sum(axis=1)
    lead = np.argsort(-(first.log_prior + each), kind="stable")[:LEADERS]
    prior = first.log_prior[lead][:, None] + second.log_weight[None, :]
    prior += log_step[first.repairs[lead]][:, None] * (second.repairs > 0)
    bound = foreseen(first.fit[lead] - healthy, second.fit - healthy) + healthy.sum()
    helps = np.where(second.log_weight > LIKELY, -np.inf, HELPS)
    bound[bound - np.maximum(each[lead][:, None], other[None, :]) < helps] = -np.inf
    bound += prior
    chosen: dict[frozenset[str], Fault] = {}
    bounds: list[float] = []
    taken = np.zeros(len(lead), dtype=np.int64)
    for flat in np.argsort(-bound, axis=None, kind="stable").tolist():
        if len(chosen) >= most or not bound.flat[flat] > enough:
            break
        i, j = divmod(flat, len(second))
        a, b = first.faults[lead[i]], second.faults[j]
        some = (*components(a), *components(b))
        names = frozenset(p.id for p in some)
        if taken[i] >= PER_LEADER and _apart(a, b) and names not in chosen:
            continue
        if _apart(a, b) and names not in chosen:
            chosen[names] = composed(some, float(np.exp(prior[i, j])))
            bounds.append(float(bound.flat[flat]))
            taken[i] += 1
        bound.flat[flat] = -np.inf
    left = float(np.logaddexp.reduce(bound.ravel()))
    return Promising(tuple(chosen.values()), np.array(bounds), left)


def foreseen(first: Floats, second: Floats) -> Floats:
    """Log-likelihood (f, s) of compositions, from what each member (f, items), (s, items) does to
    that of a healthy vehicle."""
    a, b = first[:, None, :], second[None, :, :]
    either = np.where(np.abs(a) < CHANGES, b, np.where(np.abs(b) < CHANGES, a, np.maximum(a, b)))
    return np.asarray(either.sum(axis=2))


def _apart(a: Fault, b: Fault) -> bool:
    """At different places, and not two doubts of the drawing."""
    wheres = [{p.where for p in components(f)} for f in (a, b)]
    return not wheres[0] & wheres[1] and not (a.doubt and b.doubt)


def components(fault: Fault) -> tuple[Fault, ...]:
    """The single faults and doubts a hypothesis is made of."""
    return fault.parts or (fault,)


def composed(some: Sequence[Fault], weight: float) -> Fault:
    """Some faults and at most one doubt as one hypothesis."""
    parts = tuple(sorted(some, key=lambda f: f.id))
    wrong = [f for f in parts if f.unit]
    units = sorted({f.unit for f in wrong})
    count = {1: "one fault", 2: "two faults"}.get(len(wrong), "three faults")
    return Fault(
        id=" + ".join(f.id for f in parts),
        group=" + ".join(f.group for f in parts),
        mode=count,
        where=" + ".join(f.where for f in parts),
        unit=" + ".join(units),
        title="; and ".join(f.title for f in parts),
        edits=canonical([e for f in parts for e in f.edits]),
        weight=weight,
        spread=next((f.spread for f in parts if f.spread), None),
        looks=" ".join(f.looks for f in parts),
        doubt=next((f.doubt for f in parts if f.doubt), ""),
        parts=parts,
    )


def without(faults: Sequence[Fault], units: Sequence[str]) -> tuple[Fault, ...]:
    """What is left of compositions once units are repaired, where something is and is new."""
    known = {f.id for f in faults}
    found: dict[str, Fault] = {}
    for fault in faults:
        left = [p for p in components(fault) if p.unit not in units]
        if 0 < len(left) < len(components(fault)):
            rest = composed(left, 0.0)
            if rest.id not in known:
                found[rest.id] = rest
    return tuple(found.values())
