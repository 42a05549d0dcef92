"""The answer as data; units are in the names."""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class Condition:
    """Combinations of controls. ``any_of`` lists alternatives; each gives the states that the
    controls it names may have. One without controls is "always", no alternative is "never"."""

    text: str
    any_of: tuple[Mapping[str, tuple[str, ...]], ...]


@dataclass(frozen=True)
class Step:
    """One part or conductor that the current passes, in its direction.

    ``kind`` is a part's kind, or wire, contact or inner (a trace inside a unit); ``device`` is what
    switches there, if anything does, and ``state`` its state. ``colour`` to ``length_m`` are a
    wire's. The source's outer ends are left empty.
    """

    kind: str
    id: str
    title: str
    from_place: str
    to_place: str
    device: str
    state: str
    unit: str
    current_a: float
    colour: str
    area_mm2: float
    length_m: float


@dataclass(frozen=True)
class Decider:
    """What lets the current through on the way: a switch, a relay, a module's output, a fuse.

    ``control`` is who sets a switch. ``feed`` and ``ground`` are the ways to and from the coil of
    a relay that is pulled in. ``rules`` are what a module's output goes by; none: not known.
    """

    id: str
    kind: str
    state: str
    control: str
    feed: tuple[Step, ...]
    ground: tuple[Step, ...]
    rules: tuple[str, ...]


@dataclass(frozen=True)
class Run:
    """One thing that a load does. ``when``: from rest, whatever went before left no trace.

    ``setup`` is the one nearest to rest in which it does so; there ``current_a`` flows by
    ``path``, from feed to ground. ``deciders`` are on the path or lead to one on it.
    ``in_series`` are other loads on the path; ``idle`` those of them that show nothing for it.
    ``backwards`` are those that the current passes against its usual direction.
    """

    does: str
    when: Condition
    setup: Mapping[str, str]
    current_a: float
    path: tuple[Step, ...]
    deciders: tuple[Decider, ...]
    in_series: tuple[str, ...]
    idle: tuple[str, ...]
    backwards: tuple[str, ...]


@dataclass(frozen=True)
class Memory:
    """A load whose doing depends on what went before: ``does`` is what it then keeps doing
    ``when`` the controls stand so, where from rest it does not; it is empty where it then stays
    still. ``holders`` are the parts that keep their state."""

    does: str
    when: Condition
    holders: tuple[str, ...]


@dataclass(frozen=True)
class Cause:
    """A single fault that starts or stops a load. ``setup`` names the controls away from rest with
    which it does so, the nearest to rest; ``does`` is what the load then does, empty where it is
    stopped; ``through`` are
    other loads that the current comes or goes through, where it did not before (back-feed).
    ``kind`` is wire, contact or inner, a part's kind, or several (a loom, a whole plug)."""

    fault: str
    title: str
    where: str
    kind: str
    mode: str
    unit: str
    setup: str
    does: str
    through: tuple[str, ...]


@dataclass(frozen=True)
class Chatter:
    """Parts that do not come to rest, and when."""

    parts: tuple[str, ...]
    when: Condition


@dataclass(frozen=True)
class LoadExplained:
    """How one load works. ``runs`` is empty where no combination of controls runs it.

    ``unasked`` are single faults that make it run though nothing asks for it, ``stops`` those
    that keep it from running though something does; each in the order of the units.
    """

    load: str
    title: str
    unit: str
    runs: tuple[Run, ...]
    memories: tuple[Memory, ...]
    chatter: tuple[Chatter, ...]
    unasked: tuple[Cause, ...]
    stops: tuple[Cause, ...]
    text: tuple[str, ...] = ()


@dataclass(frozen=True)
class Explanation:
    """How a circuit works. ``looked_at`` of ``combinations`` of controls (and of outputs whose
    logic is unknown) were solved, those nearest to rest; what is said of the others follows from
    them."""

    circuit: str
    combinations: int
    looked_at: int
    loads: tuple[LoadExplained, ...]
