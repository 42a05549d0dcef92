"""The usual cautions where the work meets them. They defer to the maker and to licensed practice.

All of them: common practice, no source.
"""

from loomwise.advice.candidates import Candidate
from loomwise.circuit.model import Circuit

MOVING = "Moving parts can start unasked: keep hands, hair and leads clear."
BATTERY = "Battery: no bridge between the posts, no sparks near it."
LAMP = "Fused leads only; never a test lamp on airbag or module circuits."
PIERCE = "Seal a pierced wire at once."
FUSE = "Never fit a higher fuse than the circuit is made for."
CUT = "Cut only as the last resort; splice and seal the wire afterwards."
LOADED = "A lamp as load: a bulb in a holder with a fuse, hands off while it is hot."
APART = "Key off before parting or mating a connector."


def cautions_for(circuit: Circuit, test: Candidate) -> tuple[str, ...]:
    """Cautions of one test, the circuit's own first: an airbag is as near with the key off."""
    found = list(circuit.cautions)
    rest = {c.name: c.rest for c in circuit.controls.values()}
    moving = not found and circuit.parts_of_kind("motor", "two-speed motor")
    if moving and test.setup.asked(rest):
        found.append(MOVING)
    if test.instrument == "test lamp":
        found.append(LAMP)
    if test.method == "post":
        found.append(BATTERY)
    if test.method == "pierce":
        found.append(PIERCE)
    if any(u.what == "apart" for u in test.setup.undone):
        found.append(APART)
    if any(u.what == "cut" for u in test.setup.undone):
        found.append(CUT)
    if any(u.what == "lamp" for u in test.setup.undone):
        found.append(LOADED)
    if any(u.what == "out" for u in test.setup.undone):
        found.append(FUSE)
    return tuple(dict.fromkeys(found))
