"""What the advice says, as data: a proposed test, and a verdict."""

from dataclasses import dataclass

from loomwise.setups import Setup


@dataclass(frozen=True)
class Expectation:
    """What a leading suspect predicts for a test: ``text`` such as "12.1 V" or "dark"."""

    unit: str
    title: str
    share: float
    text: str


@dataclass(frozen=True)
class Outcome:
    """One group of results: its chance, who leads if it comes out so, and one such result: a number
    in V, A or ohm, or a word."""

    text: str
    chance: float
    unit: str
    share: float
    typical: float | str


@dataclass(frozen=True)
class Proposal:
    """A test: set up, probe, expect. ``changes`` lead from the present setup to ``setup``.

    ``instrument`` is one of the evidence's instruments, "sign" for watching a load (``red``)
    or "scan tool" for asking its module.
    ``gain_bits`` is the expected gain about which repair to make, ``minutes`` the whole cost.
    """

    setup: Setup
    changes: tuple[str, ...]
    instrument: str
    red: str
    black: str
    method: str
    title: str
    minutes: float
    gain_bits: float
    expectations: tuple[Expectation, ...]
    outcomes: tuple[Outcome, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class Bet:
    """Repairing a unit now: what it costs for certain, and what it may cost beside.

    ``cost`` is price and labour, ``comeback`` what is paid if it was not the unit, ``expected``
    the sum by ``share``, the chance that the unit needs repair. In the shop's currency.
    """

    unit: str
    title: str
    share: float
    price: float
    minutes: float
    cost: float
    comeback: float
    expected: float


@dataclass(frozen=True)
class Verdict:
    """Where the job stands.

    ``kind``: proven, best bet, not separable, open, not explained, as designed, or authorised time
    reached. ``unit`` is the one to repair, ``share`` the chance that it needs it (of all ``units``
    where they are not separable); ``weakest`` is the share left if the one most important item
    were taken away, and ``weakest_reading`` which. ``fuse`` is one whose blowing is not explained;
    ``remarks`` go with the repair. ``bets`` are the repairs one could make now, cheapest first,
    ``settles`` the cheapest test that would settle it, ``going_on`` what settling is expected to
    cost and ``at_risk`` what being wrong is.
    """

    kind: str
    unit: str
    share: float
    weakest: float
    weakest_reading: str
    reasons: tuple[str, ...]
    units: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()
    fuse: str = ""
    bets: tuple[Bet, ...] = ()
    settles: Proposal | None = None
    going_on: float = 0.0
    at_risk: float = 0.0
