"""Minutes a test takes from where we stand: changing the setup, getting there, measuring.

Defaults are engineering judgement, from memory; the file's own minutes
for connectors, units and places come first.
"""

from loomwise.advice.candidates import Candidate
from loomwise.circuit.kinds.tables import access_methods
from loomwise.circuit.model import Circuit
from loomwise.evidence.items import look_kind
from loomwise.setups import Setup, Undoing

CONTROL_MIN = 0.3
WEATHER_MIN = 6.0
"""A state nobody can set (hot coolant) takes warming up or standing in for. [min]"""
FUSE_OUT_MIN = 1.0
RELAY_OUT_MIN = 1.0
NEW_FUSE_MIN = 1.5
BATTERY_OFF_MIN = 12.0
GROUND_OFF_MIN = 5.0
OTHER_MIN = {"jumper": 0.5, "lamp": 0.5, "cut": 12.0, "unplugged": 4.0, "swapped": 2.0}
"""Engineering judgement, from memory; a cut is spliced again."""
PUT_BACK_SHARE = 0.6
SIGN_MIN = 0.2
SCAN_MIN = 2.0
LOOK_MIN = 0.5
LAMP_MIN = 0.3
CLAMP_MIN = 0.7
STIR_MIN = {"wiggle": 1.0, "warm": 4.0, "cool": 3.0}
COMMAND_MIN = 1.0
"""Having a module switch an output by scan tool. [min]"""


def undo_minutes(circuit: Circuit, undoing: Undoing) -> float:
    """Time to undo one thing. [min]"""
    if undoing.what == "apart":
        return circuit.connectors[undoing.target].minutes
    if undoing.what == "off":
        known = circuit.parts[undoing.target].kind == "battery"
        return BATTERY_OFF_MIN if known else GROUND_OFF_MIN
    if undoing.what in OTHER_MIN:
        return OTHER_MIN[undoing.what]
    if undoing.what == "new":
        return NEW_FUSE_MIN
    return RELAY_OUT_MIN if circuit.parts[undoing.target].kind == "relay" else FUSE_OUT_MIN


def setup_minutes(circuit: Circuit, here: Setup, there: Setup) -> float:
    """Time from one setup to another; what is undone for it must be put back too. [min]"""
    minutes = sum(
        WEATHER_MIN if circuit.controls[name].nobody else CONTROL_MIN
        for (name, now), (_, then) in zip(here.controls, there.controls, strict=True)
        if now != then
    )
    minutes += COMMAND_MIN * len(set(there.settled) - set(here.settled))
    for undoing in {*here.undone, *there.undone}:
        full = undo_minutes(circuit, undoing)
        if undoing in there.undone and undoing not in here.undone:
            minutes += full * (1.0 + _back(undoing))
        elif undoing in here.undone and undoing not in there.undone:
            minutes += full * _back(undoing)
    return minutes


def _back(undoing: Undoing) -> float:
    """Share of an undoing's time that putting back takes; a new fuse stays in."""
    return 0.0 if undoing.what == "new" else PUT_BACK_SHARE


def zone(place: str) -> str:
    """What has to be opened to reach a place: its part or connector."""
    return place.partition(".")[0]


def reach_minutes(circuit: Circuit, place: str, opened: frozenset[str]) -> float:
    """Time to open the way to a place; nothing if it is open already. [min]"""
    known = circuit.places.get(place)
    if known is None or {zone(place), known.unit} & opened:
        return 0.0
    return circuit.units[known.unit].access_minutes


def reach_of(circuit: Circuit, candidate: Candidate, opened: frozenset[str]) -> tuple[str, float]:
    """What has to be opened for a test and stays open, and the time it takes; nothing for most."""
    places = _places(circuit, candidate)
    if not places:
        return "", 0.0
    place = max(places, key=lambda p: reach_minutes(circuit, p, opened))
    minutes = reach_minutes(circuit, place, opened)
    return (circuit.places[place].unit if minutes else ""), minutes


def _places(circuit: Circuit, candidate: Candidate) -> list[str]:
    """The places a test has to reach; of a clamped wire the end that is nearer."""
    if candidate.instrument == "clamp":
        seg = circuit.segments[candidate.red]
        return [
            min((seg.a, seg.b), key=lambda p: circuit.units[circuit.places[p].unit].access_minutes)
        ]
    if candidate.instrument == "look":
        contact = look_kind(circuit, candidate.red) == "contact"
        return [circuit.segments[candidate.red].a if contact else f"{candidate.red}.1"]
    return [p for p in (candidate.red, candidate.black) if p in circuit.places]


def minutes_of(
    circuit: Circuit, candidate: Candidate, here: Setup, opened: frozenset[str]
) -> tuple[float, float]:
    """Whole time of a test, and the part of it that several tests in one setup share. [min]"""
    shared = setup_minutes(circuit, here, candidate.setup)
    if candidate.instrument in ("sign", "scan tool"):
        return shared + (SIGN_MIN if candidate.instrument == "sign" else SCAN_MIN), shared
    if candidate.instrument in STIR_MIN:
        return shared + STIR_MIN[candidate.instrument], shared
    if candidate.instrument == "clamp":
        return shared + reach_of(circuit, candidate, opened)[1] + CLAMP_MIN, shared
    if candidate.instrument == "look":
        return shared + _look_minutes(circuit, candidate.red, opened), shared
    places = [p for p in (candidate.red, candidate.black) if p]
    reach = max(reach_minutes(circuit, p, opened) for p in places)
    tips = 2 if _two_probes(circuit, places) else 1
    probing = access_methods()[candidate.method].minutes * tips
    lamp = LAMP_MIN if candidate.instrument == "test lamp" else 0.0
    return shared + reach + probing + lamp, shared


def _two_probes(circuit: Circuit, places: list[str]) -> bool:
    """Whether neither tip rests on a battery post."""
    return not any(circuit.places[p].method == "post" for p in places if p in circuit.places)


def _look_minutes(circuit: Circuit, target: str, opened: frozenset[str]) -> float:
    kind = look_kind(circuit, target)
    if kind == "contact":
        seg = circuit.segments[target]
        apart = circuit.connectors[seg.connector].minutes * (1.0 + PUT_BACK_SHARE)
        return reach_minutes(circuit, seg.a, opened) + apart + LOOK_MIN
    if kind == "fuse":
        return reach_minutes(circuit, f"{target}.1", opened) + FUSE_OUT_MIN + LOOK_MIN
    return reach_minutes(circuit, f"{target}.1", opened) + 2 * LOOK_MIN
