"""An instrument put into the circuit: voltmeter, test lamp, ohmmeter, clamp, ripple, duty meter."""

from dataclasses import dataclass

from loomwise.circuit.explain import nearest
from loomwise.circuit.model import BODY, Circuit
from loomwise.diagnosis.meters import WAVES
from loomwise.diagnosis.predict import TEST_LAMP_W, VOLTMETER_OHM
from loomwise.diagnosis.waves import TRIGGERS_V
from loomwise.diagnosis.words import LAMP_STEPS
from loomwise.edits import Bridge, BridgeLamp, Edit
from loomwise.errors import EvidenceError
from loomwise.evidence.items import check_ohmmeter, near_places
from loomwise.setups import Setup
from loomwise.solver.result import (
    FLOATING_OHM,
    LAMP_EXPONENT,
    OperatingPoint,
    source_between_ohm,
)
from loomwise.solver.waves import duty_of, ripple_of
from loomwise.units import format_quantity

OHMMETER_V, OHMMETER_OHM = 1.0, 1000.0
"""An ohmmeter's own source, 1 V behind 1 kΩ: engineering judgement."""
MOST_OHM = 40e6
"""Above this an ohmmeter shows OL. Common practice, no source."""
NAMES = ("voltmeter", "test lamp", "ohmmeter", "clamp", "ripple meter", "duty meter")


@dataclass(frozen=True)
class Shown:
    """What the instrument shows: ``text`` in words; ``value`` in V, Ω or A where there is one.

    ``floating``: a tip hangs free, the meter wanders and its value is not to be trusted.
    """

    instrument: str
    red: str
    black: str
    value: float | None
    unit: str
    text: str
    floating: bool


@dataclass(frozen=True)
class Connected:
    """An instrument at its places. ``edits`` put it into the circuit."""

    instrument: str
    red: str
    black: str
    rated_v: float
    edits: tuple[Edit, ...]

    circuit: Circuit

    def read(self, alone: OperatingPoint, points: tuple[OperatingPoint, ...]) -> Shown:
        """What it shows; ``points`` are solved with it in, ``alone`` without it.

        Of several states the one nearest to ``alone`` is taken: connecting a meter changes little.
        """
        point = min(points, key=lambda p: sum(p.states[d] != s for d, s in alone.states.items()))
        if self.instrument == "clamp":
            amps = point.currents_a[self.red]
            return Shown("clamp", self.red, "", amps, "A", format_quantity(amps, "A"), False)
        if self.instrument in WAVES:
            return self._waves(point)
        volts = _at(point, self.red) - _at(point, self.black)
        if self.instrument == "voltmeter":
            return self._volts(alone, volts)
        if self.instrument == "ohmmeter":
            return self._ohms(volts)
        light = (abs(volts) / self.rated_v) ** LAMP_EXPONENT
        word = next(word for below, word in LAMP_STEPS if light < below)
        return Shown("test lamp", self.red, self.black, None, "", word, False)

    def _volts(self, alone: OperatingPoint, volts: float) -> Shown:
        solved = alone.solution
        floating = solved is not None and (
            source_between_ohm(solved, self.red, self.black) > FLOATING_OHM
        )
        text = "floating: a meter wanders" if floating else volts_text(volts)
        if alone.band_v and not floating:
            text = f"unsteady: {_band(alone, self.red, self.black)}"
        return Shown("voltmeter", self.red, self.black, volts, "V", text, floating)

    def _waves(self, point: OperatingPoint) -> Shown:
        """Ripple in V, or duty in percent; ``point`` is solved by its mean."""
        tips = self.red, self.black
        if point.solution is None:
            return Shown(self.instrument, *tips, None, "", "nothing steady", True)
        if self.instrument == "ripple meter":
            volts = ripple_of(point.solution, self.circuit, *tips)
            text = f"{format_quantity(float(f'{volts:.2g}'), 'V')} ripple"
            return Shown(self.instrument, *tips, volts, "V", text, False)
        swing, high = duty_of(point.solution, self.circuit, *tips)
        if swing < TRIGGERS_V:
            return Shown(self.instrument, *tips, None, "percent", "steady: no pulses", False)
        text = f"high {100 * high:.0f} % of the time"
        return Shown(self.instrument, *tips, 100.0 * high, "percent", text, False)

    def _ohms(self, volts: float) -> Shown:
        amps = (OHMMETER_V - volts) / OHMMETER_OHM
        ohm = volts / amps if amps > OHMMETER_V / MOST_OHM else None
        text = "OL (open)" if ohm is None else format_quantity(max(ohm, 0.0), "ohm")
        return Shown("ohmmeter", self.red, self.black, ohm, "ohm", text, False)


def volts_text(volts: float) -> str:
    """Volts as a meter shows them: "12.65 V", below 0.1 V in millivolts."""
    if abs(volts) >= 0.0995:
        return f"{volts:.2f} V"
    return f"{volts * 1e3:.1f} mV".replace("-0.0 ", "0.0 ")


def _at(point: OperatingPoint, place: str) -> float:
    return 0.0 if place == BODY else point.voltages_v[place]


def _band(point: OperatingPoint, red: str, black: str) -> str:
    low_r, high_r = point.band_v.get(red, (0.0, 0.0))
    low_b, high_b = point.band_v.get(black, (0.0, 0.0))
    ends = sorted((low_r - low_b, high_r - high_b))
    return " to ".join(volts_text(v) for v in ends)


def show_instrument(circuit: Circuit, at: str, instrument: str, setup: Setup) -> Connected | None:
    """The instrument at ``at`` ("RED" or "RED,BLACK"; a conductor for the clamp), or None.

    Raises
    ------
    EvidenceError : no such instrument or place, or an ohmmeter with the supply on.
    """
    name = instrument.replace("-", " ")
    if name not in NAMES:
        raise EvidenceError(f"no instrument '{instrument}'", "with", nearest(name, NAMES, "ways"))
    if not at:
        return None
    if name == "clamp":
        return _clamp(circuit, at.strip())
    red, black = _tips(circuit, at)
    rated = circuit.supply_v
    if name == "voltmeter" or name in WAVES:
        meter = Bridge(red, black, VOLTMETER_OHM)
        return Connected(name, red, black, rated, (meter,), circuit)
    if name == "test lamp":
        lamp = BridgeLamp(red, black, TEST_LAMP_W, rated)
        return Connected(name, red, black, rated, (lamp,), circuit)
    check_ohmmeter(circuit, setup, red, black, "with")
    own = Bridge(red, black, OHMMETER_OHM, OHMMETER_V)
    return Connected(name, red, black, rated, (own,), circuit)


def _tips(circuit: Circuit, at: str) -> tuple[str, str]:
    tips = [word.strip() for word in at.split(",") if word.strip()]
    if len(tips) == 1:
        tips.append(next(f"{p.id}.-" for p in circuit.parts_of_kind("battery")))
    if len(tips) != 2:
        raise EvidenceError(
            f"'{at}' is not one or two places", "at", "write C1.2.a or C1.2.a,BAT.-"
        )
    for place in tips:
        if place != BODY and place not in circuit.places:
            raise EvidenceError(f"no place '{place}'", "at", near_places(circuit, place))
    if tips[0] == tips[1]:
        raise EvidenceError(f"both tips at {tips[0]}", "at", "name two places")
    return tips[0], tips[1]


def _clamp(circuit: Circuit, at: str) -> Connected:
    if at not in circuit.segments:
        near = nearest(at, circuit.segments, "conductors")
        raise EvidenceError(f"no conductor '{at}' to clamp", "at", near)
    return Connected("clamp", at, "", circuit.supply_v, (), circuit)
