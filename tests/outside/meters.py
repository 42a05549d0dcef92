"""Meters as part of the circuit."""

from collections.abc import Iterator
from functools import partial

import numpy as np

from loomwise.circuit.model import BODY
from loomwise.diagnosis.predict import TEST_LAMP_W, VOLTMETER_OHM
from loomwise.edits import AddOhm, Bridge
from loomwise.faults import enumerate_faults
from loomwise.shelf import read_shelf
from loomwise.solver.engines import Direct
from loomwise.solver.rows import prepared
from loomwise.solver.waves import BROKEN_SHARE, SOUND_SHARE, ripple_of
from tests.outside import sources as s
from tests.outside.check import REMEMBERED, Check, about, at_least, at_most, digits, share
from tests.solver.bench import solve
from tests.solver.check_laws import assert_laws, currents
from tests.solver.small import network_of, parse_element

DIVIDER = ("B V 24 a 0", "R1 R 250k a b", "R2 R 250k b 0")
"""2 x 250 Mohm in print; a thousandth here, as 1 Gohm of leak at every node would be felt."""
BRANCHES = ("B V 2 a 0", "R1 R 3 a 0", "R2 R 1.5 a 0")
LINE = ("B V 10 a 0", "R R 10 a 0")
METER = Bridge("b", BODY, VOLTMETER_OHM / 1000)


def edited(
    lines: tuple[str, ...], *edits: AddOhm | Bridge
) -> tuple[dict[str, float], dict[str, float]]:
    """Node volts and branch amps of an element list with edits made."""
    net = network_of(parse_element(line) for line in lines)
    net, rows = prepared(net, np.zeros(0, dtype=np.int8), [edits])
    v = Direct().solve(net, rows, rows.start)
    assert_laws(net, rows, rows.start, v)
    i = currents(net, rows, rows.start, v)[0]
    volts = {n: float(v[0, k]) for n, k in net.node_index.items()}
    return volts, {b.id: float(a) for b, a in zip(net.branches, i, strict=True)}


def checks() -> Iterator[Check]:
    """Every check of this topic."""
    yield Check(
        "input resistance of a voltmeter",
        "Mohm",
        lambda: VOLTMETER_OHM / 1e6,
        about(10, 0, "taken from the book"),
        s.UP,
        "10.4 (m58456)",
    )
    yield Check(
        "a 12 V test lamp takes", "A", lambda: TEST_LAMP_W / 12, digits("0.25"), s.INFINISPARK
    )
    where = "ch. 8"
    yield Check(
        "24 V divider of 2 x 250 Mohm", "V", partial(_volts, "b"), digits("12"), s.LESSONS, where
    )
    yield Check(
        "the same with the meter on it",
        "V",
        partial(_volts, "b", METER),
        digits("0.8889"),
        s.LESSONS,
        where,
    )
    yield Check("the rest of the 24 V then", "V", _above, digits("23.1111"), s.LESSONS, where)
    yield Check("2 V on 3 ohm", "mA", partial(_milliamps, "R1"), digits("666.7"), s.LESSONS, where)
    yield Check(
        "2 V on 1.5 ohm", "A", lambda: _milliamps("R2") / 1000, digits("1.333"), s.LESSONS, where
    )
    yield Check(
        "2 V on 3 ohm through a 0.5 ohm ammeter",
        "mA",
        partial(_milliamps, "R1", AddOhm("R1", 0.5)),
        digits("571.43"),
        s.LESSONS,
        where,
    )
    yield Check(
        "share left by a 0.02 ohm ammeter before 10 ohm", "-", _left, digits("0.9980"), s.CP, "21.4"
    )

    yield from _ripple()


def _ripple() -> Iterator[Check]:
    yield Check(
        "RMS ripple of a three-phase bridge, six diodes", "%", partial(_bridge_percent, 6),
        share(4.2, 0.01, "two digits"), REMEMBERED, "textbook ripple factor",
    )  # fmt: skip
    for diodes, taken in ((6, SOUND_SHARE), (5, BROKEN_SHARE)):
        yield Check(
            f"what the program takes with {diodes} diodes", "%", partial(_bridge_percent, diodes),
            share(100 * taken, 0.01, "three digits"), REMEMBERED, "waveform integrated",
        )  # fmt: skip
    yield Check(
        "ripple at the posts, sound generator", "V", partial(_ripple_v, "BAT", False),
        at_most(0.09), s.LABSCOPES,
    )  # fmt: skip
    yield Check(
        "ripple at B+, one diode open", "V", partial(_ripple_v, "AL1.B", True), at_least(0.25),
        s.AUTOEDU,
    )  # fmt: skip
    yield Check(
        "ripple at B+, sound generator", "V", partial(_ripple_v, "AL1.B", False), at_most(0.25),
        s.AUTOEDU,
    )  # fmt: skip


def _bridge_percent(diodes: int) -> float:
    """RMS ripple of an ideal bridge over the mean of one with six diodes, by its waveform. [%]"""
    t = np.linspace(0.0, 2.0 * np.pi, 36001)[:-1]
    phases = np.stack([np.cos(t - k * 2.0 * np.pi / 3.0) for k in range(3)])
    whole = phases.max(axis=0) - phases.min(axis=0)
    left = phases[: diodes - 3].max(axis=0) - phases.min(axis=0)
    return float(100.0 * left.std() / whole.mean())


def _ripple_v(part: str, broken: bool) -> float:
    circuit = read_shelf("starting-charging")
    faults = enumerate_faults(circuit, {}) if broken else ()
    edits = next((f.edits for f in faults if f.id == "AL1 ripple"), ())
    solved = solve(circuit, "engine=running", edits)[0].solution
    assert solved is not None
    posts = part == "BAT"
    return ripple_of(solved, circuit, f"{part}.+" if posts else f"{part}+",
                     f"{part}.-" if posts else f"{part}-")  # fmt: skip


def _volts(node: str, *edits: Bridge) -> float:
    return edited(DIVIDER, *edits)[0][node]


def _above() -> float:
    volts = edited(DIVIDER, METER)[0]
    return volts["a"] - volts["b"]


def _milliamps(branch: str, *edits: AddOhm) -> float:
    return 1000 * edited(BRANCHES, *edits)[1][branch]


def _left() -> float:
    return edited(LINE, AddOhm("R", 0.02))[1]["R"] / edited(LINE)[1]["R"]
