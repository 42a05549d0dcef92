import pytest

from loomwise.circuit.fuse_curve import cold_resistance_ohm
from loomwise.shelf import read_shelf
from tests.circuit.samples import changed, problems, small


@pytest.mark.parametrize(
    ("contact", "pins"),
    [
        ("NO", ("30", "85", "86", "87")),
        ("NC", ("30", "85", "86", "87a")),
        ("change-over", ("30", "85", "86", "87", "87a")),
    ],
)
def test_a_relay_has_the_pins_of_its_contact(contact: str, pins: tuple[str, ...]) -> None:
    """A make contact has no 87a, a break contact no 87."""
    out = "87a" if contact == "NC" else "87"
    circuit = small(("contact: NO", f"contact: {contact}"), ("K1.87 to", f"K1.{out} to"))
    assert circuit.parts["K1"].pins == pins
    assert circuit.parts["K1"].options == {"contact": contact, "suppression": "none"}


def test_values_not_given_come_from_the_table() -> None:
    """What the diagram does not say is filled in: half a dozen figures make a relay."""
    values = small(("contact: NO", "contact: NO, coil: 85 ohm, pull in: 7 V")).parts["K1"].values
    assert (values["coil_ohm"], values["pull_in_v"]) == (85.0, 7.0)
    assert values["drop_out_v"] == pytest.approx(0.3 * 12)


def test_per_volt_defaults_follow_the_supply() -> None:
    """A 24 V relay has a coil of twice the resistance and pulls in at twice the voltage."""
    values = small(("supply: 12 V", "supply: 24 V")).parts["K1"].values
    assert (values["coil_ohm"], values["pull_in_v"]) == (pytest.approx(180), pytest.approx(14.4))


def test_a_fuse_has_a_resistance_by_its_rating() -> None:
    """The voltage drop across a fuse tells its current."""
    assert small().parts["F1"].values["resistance_ohm"] == cold_resistance_ohm(10)


def test_a_motor_draws_seven_times_its_current_when_it_stands() -> None:
    """A winding nobody measured is taken as a seventh of what V/I would give."""
    values = (
        small(
            ("{kind: lamp, power: 21 W", "{kind: motor, current: 6 A"),
            ("L1.1", "L1.+"),
            ("L1.2", "L1.-"),
        )
        .parts["L1"]
        .values
    )
    assert values["resistance_ohm"] == pytest.approx(12 / 6 / 7)


def test_a_plugged_in_relay_is_a_unit_of_its_own() -> None:
    """It can be bought alone, and is reached by opening the fuse box."""
    circuit = small()
    unit = circuit.units[circuit.parts["K1"].unit]
    assert (unit.id, unit.title, unit.price, unit.minutes) == ("K1", "relay K1", 14, 5)
    assert unit.access_minutes == 0.5


def test_a_soldered_relay_belongs_to_the_fuse_box() -> None:
    """It cannot be bought alone."""
    circuit = small(("contact: NO, in: fuse box", "contact: NO, in: fuse box, fixed: yes"))
    assert circuit.parts["K1"].unit == "fuse box" and "K1" not in circuit.units
    assert circuit.places["K1.87"].method == "none"


def test_a_declared_unit_overrides_the_usual_price() -> None:
    """An expensive relay is declared by its own name."""
    circuit = small(("  lamp: {", "  K1: {price: 60, minutes: 5}\n  lamp: {"))
    assert circuit.units["K1"].price == 60


def test_a_splice_in_a_loom_is_a_unit_of_its_own() -> None:
    """A splice in a fuse box is part of it; one in a loom can be opened and made anew."""
    circuit = small(("pins: [1, 2, 3], in: fuse box}", "pins: [1, 2, 3], in: dash loom}"))
    assert circuit.units[circuit.parts["SP1"].unit].title == "splice SP1"
    assert circuit.places["SP1.1"].method == "pierce"
    assert small().parts["SP1"].unit == "fuse box"


@pytest.mark.parametrize(
    ("place", "method", "title"),
    [
        ("BAT.+", "post", "battery BAT, pin +"),
        ("F1.1", "fuse ear", "fuse F1, pin 1"),
        ("K1.87", "back-probe", "relay K1, pin 87"),
        ("S1.1", "none", "switch S1, pin 1"),
        ("L1.1", "back-probe", "filament lamp L1, pin 1"),
        ("SP1.1", "none", "splice SP1, pin 1"),
        ("G1.1", "open", "ground point G1, pin 1"),
        ("C1.1.a", "back-probe", "C1 cavity 1, fuse-box side"),
        ("C1.1.b", "back-probe", "C1 cavity 1, dash-loom side"),
    ],
)
def test_how_a_probe_gets_there(place: str, method: str, title: str) -> None:
    """Each place has the way a probe usually gets to it; what is inside a unit has none."""
    found = small().places[place]
    assert (found.method, found.title) == (method, title)


def test_a_sealed_connector_is_probed_through_its_seal() -> None:
    """That takes longer, on both sides."""
    circuit = small(
        ("[dash loom, panel], cavities: 2", "[dash loom, panel], cavities: 2, access: sealed")
    )
    assert circuit.connectors["C2"].sealed
    assert {circuit.places[p].method for p in ("C2.1.a", "C2.1.b")} == {"sealed"}
    assert circuit.places["C2.1.a"].minutes == 4


def test_the_file_may_say_how_a_part_is_reached() -> None:
    """A lamp behind a panel is not back-probed in two minutes."""
    circuit = small(("power: 21 W,", "power: 21 W, access: under dash,"))
    assert circuit.places["L1.1"].method == "under dash"


def test_named_cavities() -> None:
    """Cavities have the names on the housing."""
    circuit = small(
        ("panel], cavities: 2", "panel], cavities: [A, B2]"),
        ("to C2.1 to", "to C2.A to"),
        ("C2.2", "C2.B2"),
    )
    assert circuit.connectors["C2"].cavities == ("A", "B2")
    assert "C2.B2" in circuit.segments


def test_a_module_knows_what_its_inputs_mean() -> None:
    """Bands rise, and the last has no end."""
    pin = read_shelf("radiator-fans").parts["A1"].module_pins["T1"]
    assert (pin.role, pin.pull, pin.to_v, pin.ohm) == ("input", "up", 5.0, 2200.0)
    assert [(b.name, b.below_v) for b in pin.bands][::3] == [("hot", 0.75), ("open", float("inf"))]


def test_a_sensor_follows_its_control() -> None:
    """The resistance of the coolant sensor falls as the coolant warms."""
    circuit = read_shelf("radiator-fans")
    assert circuit.parts["B1"].ohms == {"cold": 5800.0, "warm": 620.0, "hot": 240.0}
    assert circuit.controls["coolant"].nobody and not circuit.controls["key"].nobody


def test_a_switch_joins_pins_by_position() -> None:
    """Off joins nothing, on joins 1 and 2."""
    assert small().parts["S1"].positions == {"off": (), "on": (("1", "2"),)}


def test_the_circuit_keeps_its_text_and_a_digest_of_it() -> None:
    """A job can tell whether the circuit it was worked with is still the same."""
    circuit = small()
    assert circuit.text == changed()
    assert circuit.digest != small(("One lamp", "One Lamp")).digest and len(circuit.digest) == 64


def test_the_sample_itself_is_sound() -> None:
    """The tests below and above begin from a circuit without a problem."""
    assert problems(changed()) == []
