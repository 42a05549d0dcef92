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
    """One group of results: its chance, and who leads if it comes out so."""

    text: str
    chance: float
    unit: str
    share: float


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
class Verdict:
    """Where the job stands. ``kind``: proven, best bet, not explained, or open.

    ``unit`` is the one to repair, ``share`` the chance that it needs it; ``weakest`` is the share
    left if the one most important reading were taken away, and ``weakest_reading`` which.
    """

    kind: str
    unit: str
    share: float
    weakest: float
    weakest_reading: str
    reasons: tuple[str, ...]
