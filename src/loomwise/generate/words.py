"""The looms, controls, names and costs that circuits are made of. All of it is invented."""

from dataclasses import dataclass

LOOMS = {
    "dash loom": "fuse box",
    "front loom": "fuse box",
    "rear loom": "dash loom",
    "left door loom": "dash loom",
    "right door loom": "dash loom",
    "roof loom": "dash loom",
    "tailgate loom": "rear loom",
    "frame loom": "rear loom",
    "left side loom": "front loom",
    "right side loom": "front loom",
    "trailer loom": "rear loom",
}
"""Every loom, and what it is plugged to on the way to the battery; the last by a trailer socket."""
TRAILER = "trailer loom"
LENGTHS_M = {
    **{"dash loom": (0.4, 1.8), "front loom": (0.6, 2.2), "rear loom": (1.5, 4.5)},
    **{"frame loom": (1.0, 4.0), "roof loom": (0.8, 2.0), TRAILER: (2.0, 6.0)},
}
"""Length of a piece of wire in a loom. Engineering judgement."""
OTHER_LENGTH_M = (0.5, 1.6)
BOXES = {
    "fuse box": "",
    "rear fuse box": "rear loom",
    "dash fuse box": "dash loom",
    "front fuse box": "front loom",
    "roof fuse box": "roof loom",
    "frame fuse box": "frame loom",
}
"""Fuse boxes, and the loom each is plugged to; the first has looms of its own."""


@dataclass(frozen=True)
class Control:
    """What can be set, or (``happens``) what just comes about. The first state is the rest."""

    states: tuple[str, ...]
    happens: bool = False


KEY = "key"
SWITCHES = (
    *("lights", "work lights", "fog lights", "beacon", "AC", "seat heater", "brake"),
    *("reverse gear", "interior light", "feed pump"),
)
DOORS = ("left door", "right door", "tailgate")
WIPER, BLOWER = "wiper", "blower"
SENSED = ("coolant", "oil", "intake")
HORN = "horn"
ENGINE, START, PEDAL, COOLANT = "engine", "start button", "pedal", "coolant"
LIGHTS, BRAKE, TURN, FLASH, STALK = "lights", "brake", "turn", "flash", "light stalk"
WIPER_ARM, LOCK = "wiper arm", "door lock"
WINDOWS = ("left window", "right window")
CONTROLS = {
    KEY: Control(("off", "run")),
    HORN: Control(("free", "pressed")),
    **{name: Control(("off", "on")) for name in SWITCHES},
    **{name: Control(("closed", "open")) for name in DOORS},
    **{name: Control(("off", "slow", "fast")) for name in (WIPER, BLOWER)},
    **{name: Control(("cold", "hot"), happens=True) for name in SENSED},
    "coolant": Control(("cold", "warm", "hot"), happens=True),
    "brake": Control(("free", "pressed")),
    "reverse gear": Control(("out", "in")),
    ENGINE: Control(("stopped", "running")),
    START: Control(("free", "pressed")),
    PEDAL: Control(("up", "half", "down")),
    TURN: Control(("off", "left", "right")),
    FLASH: Control(("dark", "lit"), happens=True),
    STALK: Control(("off", "dip", "main")),
    WIPER_ARM: Control(("parked", "moving"), happens=True),
    LOCK: Control(("rest", "lock", "unlock")),
    **{name: Control(("off", "up", "down")) for name in WINDOWS},
}

LAMPS = ("work lamp", "side lamp", "marker lamp", "step lamp", "cargo lamp", "flood lamp")
HEATERS = ("screen heater", "filter heater", "seat heater mat", "mirror heater", "nozzle heater")
VALVES = ("fuel shut-off valve", "tipper valve", "air suspension valve", "differential lock valve")
MOTORS = ("fan", "coolant pump", "washer pump", "fuel pump", "vent fan", "winch")
VEHICLES = ("Brandel R6", "Ostvik K2", "Halmor 310", "Kelvarn S8", "Tornhus D4", "Mirrick 75")


@dataclass(frozen=True)
class Cost:
    """Least and most price, minutes to replace, and minutes to reach. Engineering judgement."""

    price: tuple[int, int]
    minutes: tuple[int, int]
    reach: tuple[int, int] = (0, 0)


COSTS = {
    "battery": Cost((110, 190), (15, 25)),
    "generator": Cost((220, 420), (50, 110), (2, 8)),
    "starter": Cost((180, 360), (40, 90), (2, 10)),
    "converter": Cost((120, 260), (20, 40), (1, 5)),
    "instruments": Cost((180, 380), (25, 45), (2, 6)),
    "holder": Cost((8, 20), (8, 15), (0, 3)),
    "valve": Cost((35, 120), (15, 40), (0, 5)),
    "box": Cost((280, 460), (50, 80), (0, 2)),
    "lamp": Cost((6, 40), (5, 20), (0, 3)),
    "heater": Cost((40, 160), (15, 45), (0, 6)),
    "motor": Cost((70, 240), (20, 60), (0, 6)),
    "horn": Cost((25, 50), (10, 25), (0, 4)),
    "switch": Cost((20, 90), (10, 40), (1, 8)),
    "sensor": Cost((20, 50), (10, 30), (1, 5)),
    "resistor": Cost((15, 50), (10, 30), (1, 5)),
    "diode": Cost((10, 25), (10, 20), (1, 6)),
    "module": Cost((160, 420), (20, 45), (2, 8)),
}

SOCKETS = {
    12: ("ISO 1724", {"L": 1, "31": 3, "R": 4, "58R": 5, "54": 6, "58L": 7}),
    24: ("ISO 1185", {"31": 1, "58L": 2, "L": 3, "54": 4, "R": 5, "58R": 6}),
}
"""Trailer socket of each supply voltage, and its contacts; from the table of trailer sockets."""
