"""Blocks that move something: windows, locks, a wiper that parks, valves; and what guards them."""

from loomwise.generate.feeds import MOTOR_MARGIN, SIGNAL_MM2, earth, fuse, join, switch
from loomwise.generate.loads import CLAMP_V, Load, motor, solenoid
from loomwise.generate.modules import add_module
from loomwise.generate.plan import Plan
from loomwise.generate.words import LOCK, SWITCHES, WINDOWS, WIPER, WIPER_ARM

WINDOW_W, LOCK_W = 72, 24
"""At nominal supply. Engineering judgement."""


def window(plan: Plan) -> None:
    """A window motor, turned round by its switch, behind a breaker or a polymer fuse."""
    control = plan.control(WINDOWS)
    loom = f"{control.partition(' ')[0]} door loom"
    loom = loom if loom in plan.looms else "dash loom"
    amps = WINDOW_W / plan.supply_v
    unit = plan.unit(f"{control} motor", "motor", loom)
    name = plan.add("M", "reversible motor", unit, current=f"{amps:g} A")
    by_breaker = plan.dice.chance(0.5)
    reset = plan.dice.pick(("cycling", "held")) if by_breaker else ""
    feed, area_mm2 = fuse(
        plan, plan.dice.pick(plan.boxes), amps, always=False, margin=MOTOR_MARGIN, reset=reset
    )
    button = plan.add(
        "S", "switch", plan.unit(f"{control} switch", "switch", loom), pins="[30, 31, U, D]",
        set_by=control,
        positions="{off: [U-31, D-31], up: [30-U, D-31], down: [U-31, 30-D]}",
    )  # fmt: skip
    up = f"{name}.1" if by_breaker else _polymer_fuse(plan, unit, f"{name}.1", amps)
    for a, b in ((feed, f"{button}.30"), (f"{button}.U", up), (f"{button}.D", f"{name}.2")):
        plan.connect(a, b, area_mm2)
    earth(plan, f"{button}.31", loom, area_mm2)


def _polymer_fuse(plan: Plan, unit: str, pin: str, amps: float) -> str:
    """A polymer fuse before a pin, inside the same unit; its other pin."""
    name = plan.add("PT", "PTC", unit, hold=f"{round(1.5 * amps, 1):g} A")
    plan.connect(f"{name}.2", pin, 1.5)
    return f"{name}.1"


def locking(plan: Plan) -> None:
    """Two or three door locks, driven both ways by a module with half-bridges; once."""
    plan.once("locking", 30)
    doors = ("left door", "right door", "tailgate")[: plan.dice.between(2, 3)]
    amps = LOCK_W / plan.supply_v
    motors = [
        plan.add(
            "M", "reversible motor", plan.unit(f"{door} lock motor", "motor", _loom_of(plan, door)),
            current=f"{amps:g} A",
        )
        for door in doors
    ]  # fmt: skip
    pull_up = f"role: input, pull: up, to: {plan.supply_v} V, resistance: 4.7 kohm"
    pins = {"30": "role: supply", "31": "role: ground"}
    pins |= dict.fromkeys(("L", "U"), f"{pull_up}, bands: [on below 4 V, off]")
    pins |= dict.fromkeys(("O1", "O2"), "role: half-bridge, trip: 25 A")
    name = add_module(plan, "locking module", "dash loom", pins)
    plan.logic[name] = ("O1 on when L is on and U is off", "O2 on when U is on and L is off")
    feed, area_mm2 = fuse(
        plan, plan.dice.pick(plan.boxes), amps * len(motors), always=True, margin=MOTOR_MARGIN
    )
    plan.connect(feed, f"{name}.30", area_mm2)
    earth(plan, f"{name}.31", "dash loom", area_mm2)
    for out, pin in (("O1", "1"), ("O2", "2")):
        join(plan, f"{name}.{out}", [f"{each}.{pin}" for each in motors], "dash loom", area_mm2)
    _lock_button(plan, name)


def _lock_button(plan: Plan, module: str) -> None:
    button = plan.add(
        "S", "switch", plan.unit("lock button", "switch", "dash loom"), pins="[L, U, 31]",
        set_by=plan.control((LOCK,)),
        positions="{rest: [], lock: [L-31], unlock: [U-31]}",
    )  # fmt: skip
    for pin in ("L", "U"):
        plan.connect(f"{module}.{pin}", f"{button}.{pin}", SIGNAL_MM2)
    earth(plan, f"{button}.31", "dash loom", SIGNAL_MM2)


def _loom_of(plan: Plan, door: str) -> str:
    own = f"{door} loom"
    return own if own in plan.looms else plan.looms[-1]


def parking_wiper(plan: Plan) -> None:
    """A wiper of two speeds whose cam contact runs it on until it is parked, and then brakes it;
    once."""
    plan.once("parking wiper", 20)
    amps = round(plan.dice.pick((40, 60, 80)) / plan.supply_v, 1)
    unit = plan.unit("front wiper motor", "motor", "front loom", plugged=True)
    name = plan.add("M", "two-speed motor", unit, current=f"{amps:g} A")
    moves = {"set by": plan.control((WIPER_ARM,)), "while": "[parked]"}
    cam = plan.add("S", "park switch", unit, **moves)
    stalk = plan.add(
        "S", "switch", plan.unit("wiper stalk", "switch", "dash loom", plugged=True),
        pins="[53a, 53, 53i, 53e]", set_by=plan.control((WIPER,)),
        positions="{off: [53-53e], slow: [53a-53], fast: [53a-53i]}",
    )  # fmt: skip
    box = plan.dice.pick(plan.boxes)
    feed, area_mm2 = fuse(plan, box, 2 * amps, always=False)
    join(plan, feed, [f"{stalk}.53a", f"{cam}.53a"], box, area_mm2)
    for pin, end in (("53", name), ("53i", name), ("53e", cam)):
        plan.connect(f"{stalk}.{pin}", f"{end}.{pin}", area_mm2)
    back = plan.splice(unit)
    for end in (name, cam):
        plan.connect(f"{end}.31", plan.leg(back), area_mm2, "BN")
    earth(plan, plan.leg(back), "front loom", area_mm2)


def valve(plan: Plan) -> None:
    """A solenoid valve, mostly with a zener in its plug against the peak as it is switched off."""
    load = solenoid(plan, plan.dice.pick(plan.looms))
    feed, area_mm2 = fuse(plan, plan.dice.pick(plan.boxes), load.current_a, plan.dice.chance(0.2))
    if plan.dice.chance(0.7):
        load = _bridged(plan, load, "V", "zener", breakdown=CLAMP_V[plan.supply_v], both_ways="yes")
    _switched(plan, feed, load, area_mm2)


def quiet_motor(plan: Plan) -> None:
    """A fan or pump with a capacitor across it against interference."""
    load = motor(plan, plan.dice.pick(plan.looms), most_w=120)
    box = plan.dice.pick(plan.boxes)
    reset = plan.dice.pick(("", "cycling", "by hand"))
    feed, area_mm2 = fuse(plan, box, load.current_a, False, load.margin, reset)
    load = _bridged(plan, load, "CP", "capacitor", capacitance="470 nF")
    _switched(plan, feed, load, area_mm2)


def _switched(plan: Plan, feed: str, load: Load, area_mm2: float) -> None:
    name = switch(plan, plan.control(SWITCHES))
    plan.connect(feed, f"{name}.1", area_mm2)
    plan.connect(f"{name}.2", load.plus, area_mm2)
    earth(plan, load.minus, load.loom, area_mm2)


def _bridged(plan: Plan, load: Load, prefix: str, kind: str, **entries: str) -> Load:
    """A load with something across it, inside its unit."""
    unit = plan.parts[load.plus.partition(".")[0]].home
    name = plan.add(prefix, kind, unit, **entries)
    pins = ("K", "A") if kind == "zener" else ("1", "2")
    ends = list[str]()
    for own, pin in zip((load.plus, load.minus), pins, strict=True):
        joint = plan.splice(unit)
        plan.connect(plan.leg(joint), own, 1.0)
        plan.connect(plan.leg(joint), f"{name}.{pin}", 1.0)
        ends.append(plan.leg(joint))
    return Load(ends[0], ends[1], load.current_a, load.loom, load.margin)
