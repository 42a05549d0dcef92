"""Part kinds to branches and devices: one small function a kind.

Ids: ``PART.word`` for branches (``K1.coil``), ``PART`` or ``PART.PIN`` for devices, ``PART#word``
for nodes inside a part, which no probe reaches.
"""

from collections.abc import Callable

from loomwise.circuit.model import Circuit, Part
from loomwise.solver.stamps import feeds, loads, modules, sensing, switching
from loomwise.solver.stamps.common import Stamped

STAMPS: dict[str, Callable[[Part, Circuit], Stamped]] = {
    "battery": feeds.battery,
    "charging source": feeds.charging_source,
    "equaliser": feeds.equaliser,
    "fuse": feeds.fuse,
    "fusible link": feeds.fuse,
    "breaker": feeds.breaker,
    "PTC": feeds.ptc,
    "splice": feeds.splice,
    "ground": feeds.ground,
    "relay": switching.relay,
    "split-charge relay": switching.split_charge_relay,
    "starter solenoid": switching.starter_solenoid,
    "flasher": switching.flasher,
    "switch": switching.switch,
    "park switch": switching.park_switch,
    "diode": switching.diode,
    "zener": switching.zener,
    "resistor": sensing.resistor,
    "capacitor": sensing.capacitor,
    "sensor": sensing.sensor,
    "NTC": sensing.sensor,
    "ladder switch": sensing.sensor,
    "potentiometer": sensing.potentiometer,
    "heater": loads.heater,
    "lamp": loads.lamp,
    "two-filament lamp": loads.two_filament_lamp,
    "LED": loads.led,
    "motor": loads.motor,
    "reversible motor": loads.motor,
    "two-speed motor": loads.two_speed_motor,
    "horn": loads.by_current,
    "solenoid": loads.by_current,
    "module": modules.module,
}
