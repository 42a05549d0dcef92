"""A job file becomes a job, or a list of everything wrong with it."""

import pytest

from loomwise.circuit.model import Circuit
from loomwise.errors import FileError, InputError
from loomwise.evidence import Reading, Sign
from loomwise.evidence.items import AT_HAND, OPEN_OHM
from loomwise.job import Ending, Job, read_job
from loomwise.setups import parse_setup
from loomwise.shelf import read_shelf

HEAD = """\
format: 1
complaint: Fans stay off
vehicle: {name: Norvik T4, mileage_km: 184000}
circuit: radiator-fans
"""


def job_of(body: str, head: str = HEAD) -> Job:
    """The job of this body."""
    return read_job(head + body, "job.yaml", read_shelf)


def reading_of(body: str) -> Reading:
    """The only item, a reading."""
    (item,) = job_of(f"readings:\n  - {body}\n").evidence
    assert isinstance(item, Reading)
    return item


def problems_of(body: str, head: str = HEAD) -> list[str]:
    """What is wrong with this body."""
    with pytest.raises(FileError) as caught:
        job_of(body, head)
    return [str(p) for p in caught.value.problems]


@pytest.fixture
def circuit() -> Circuit:
    """The circuit of these jobs."""
    return read_shelf("radiator-fans")


def test_the_head_of_a_job(circuit: Circuit) -> None:
    """Complaint, vehicle and circuit are what the file says; the vehicle stands at rest."""
    job = job_of("")
    assert job.complaint == "Fans stay off"
    assert (job.vehicle.name, job.vehicle.mileage_km) == ("Norvik T4", 184000.0)
    assert job.circuit is circuit and job.evidence == ()
    assert job.here == parse_setup(circuit)
    assert job.instruments == AT_HAND


def test_a_line_says_the_same_as_an_entry(circuit: Circuit) -> None:
    """A reading written in one line is the reading written out."""
    long = reading_of(
        "{red: C1.2.a, black: BAT.-, value: 12.4 V, method: pierce, complaint: yes,"
        " setup: {key: run, AC: 'on'}, undone: [C3 apart, F2 out]}"
    )
    short = reading_of(
        "volts C1.2.a to BAT.- 12.4 V, key=run, AC=on, C3 apart, F2 out, pierce, complaint yes"
    )
    assert long == short
    assert long.value == 12.4
    assert long.setup == parse_setup(circuit, "key=run, AC=on", ["C3 apart", "F2 out"])


def test_black_is_battery_minus() -> None:
    """The black lead stays at the battery's minus unless it is moved."""
    assert reading_of("volts C1.2.a 850 mV").black == "BAT.-"
    assert reading_of("volts C1.2.a 850 mV").value == 0.85
    assert reading_of("look F1 intact").black == ""


@pytest.mark.parametrize(
    ("line", "instrument", "value", "word"),
    [
        ("lamp C1.2.a dim", "test lamp", None, "dim"),
        ("amps C1.2 8 A", "clamp", 8.0, ""),
        ("ohms M1.+ to M1.- 0.2 ohm, BAT off", "ohmmeter", 0.2, ""),
        ("look C1.2 burnt or loose", "look", None, "burnt or loose"),
        ("volts C1.2.a wandering", "voltmeter", None, "wandering"),
    ],
)
def test_every_instrument(line: str, instrument: str, value: float | None, word: str) -> None:
    """Each instrument answers in its own unit or in its own words."""
    reading = reading_of(line)
    assert (reading.instrument, reading.value, reading.word) == (instrument, value, word)


def test_named_setups(circuit: Circuit) -> None:
    """A setup used often has a name, and can be gone on from."""
    setups = "setups: {slow: 'key=run, AC=on', hot: {key: run, coolant: hot}}\n"
    job = job_of(f"{setups}here: slow\nsigns: ['M1 off, in hot', 'M1 off, in hot, AC=on']\n")
    assert job.here == parse_setup(circuit, "key=run, AC=on")
    assert job.evidence[0].setup == parse_setup(circuit, "key=run, coolant=hot")
    assert job.evidence[1].setup == parse_setup(circuit, "key=run, coolant=hot, AC=on")


def test_what_went_before(circuit: Circuit) -> None:
    """A setup remembers the control states gone through before it."""
    job = job_of("signs:\n  - {what: M1, seen: 'off', setup: key=run, after: ['key=off', 'AC=on']}")
    assert job.evidence[0].setup == parse_setup(circuit, "key=run", after=["key=off", "AC=on"])


def test_ids_follow_the_order_unless_given() -> None:
    """Items are called by their place in the list, or by their own id."""
    job = job_of(
        "signs: [M1 off, M2 off]\nreadings: ['volts F1.1 12 V', {id: Q, red: F1.2, value: 1}]"
    )
    assert [e.id for e in job.evidence] == ["S1", "S2", "R1", "Q"]
    assert isinstance(job.evidence[0], Sign)


def test_a_withdrawn_item_keeps_its_place_and_reason() -> None:
    """What was withdrawn no longer counts, stays on record, and shifts no other's name."""
    job = job_of(
        "readings:\n  - {red: F1.1, value: 0 V, withdrawn: the clip was off}\n  - volts F1.1 12 V\n"
    )
    assert job.withdrawn == (("R1", "the clip was off"),)
    assert [e.id for e in job.evidence] == ["R2"]


def test_a_withdrawn_item_must_still_be_possible() -> None:
    """A place that is not there is a slip of the pen even in a withdrawn reading."""
    assert "C1.9.a" in problems_of("readings: [{red: C1.9.a, value: 0, withdrawn: slip}]")[0]


def test_all_problems_come_at_once() -> None:
    """A job is mended in one go: every line that is wrong is told, each with its number."""
    found = problems_of(
        "here: key=gone\nopened: [C77]\nsigns:\n  - M1 sleepy\n  - Q7 off\nreadings:\n"
        "  - volts C1.2.a 12,4 V\n  - {red: C9.1.a, value: 1 V}\n  - volts C1.2.a 1 V, K1 out\n"
    )
    lines = [int(p.split("line ")[1].split(":")[0]) for p in found]
    assert lines == [5, 6, 8, 9, 11, 12, 13]


def test_two_items_of_one_name() -> None:
    """A name stands for one item."""
    found = problems_of("signs: [{id: A, what: M1, seen: 'off'}, {id: A, what: M2, seen: 'off'}]")
    assert "a second entry is called A" in found[0]


def test_an_unused_setup_is_checked_too() -> None:
    """A named setup that cannot be is told where it is named."""
    assert "line 5" in problems_of("setups: {x: key=gone}\n")[0]


@pytest.mark.parametrize(
    ("head", "words"),
    [
        (HEAD.replace("format: 1", "format: 2"), "this program reads format 1"),
        (HEAD.replace("complaint: Fans stay off\n", ""), "'complaint' is missing"),
        (HEAD.replace("name: Norvik T4, ", ""), "'name' is missing"),
        (HEAD.replace("184000", "184 thousand"), "mileage_km"),
        (HEAD.replace("radiator-fans", "radiator-fan"), "did you mean 'radiator-fans'"),
        (HEAD.replace("vehicle:", "vehcile:"), "did you mean 'vehicle'"),
    ],
)
def test_a_wrong_head(head: str, words: str) -> None:
    """What the head of a job lacks is named."""
    assert any(words in p for p in problems_of("", head))


def test_a_circuit_that_cannot_be_found() -> None:
    """What finding the circuit says is told at the line that names it."""

    def nowhere(name: str) -> Circuit:
        raise InputError(f"no {name} here", hint="look elsewhere")

    with pytest.raises(FileError, match="line 4: no radiator-fans here; look elsewhere"):
        read_job(HEAD, "job.yaml", nowhere)


def test_an_open_ohmmeter_is_written_as_it_shows() -> None:
    """OL on the display is entered as OL; no number of megohms has to be made up."""
    line = "readings: ['ohms C3.1.b to C3.2.b OL, C3 apart']"
    (reading,) = job_of(line).evidence
    assert isinstance(reading, Reading)
    assert reading.value == OPEN_OHM


def test_a_repair_and_a_condition_stand_with_the_item() -> None:
    """What had been repaired before, and what else held, in a line or spelled out."""
    job = job_of(
        "signs: ['M1 off, key=run, AC=on, repaired left fan, when hot']\n"
        "cannot: [clamp, C5]\nauthorised: 60 min\nspent: 12 min"
    )
    (sign,) = job.evidence
    assert (sign.repaired, sign.condition) == (("left fan",), "hot")
    assert job.cannot == {"clamp", "C5"}
    assert (job.authorised_minutes, job.spent_minutes) == (60.0, 12.0)


def test_a_repaired_unit_must_exist() -> None:
    """A unit nobody knows is named with its line and what there is."""
    with pytest.raises(FileError, match="no unit left fans"):
        job_of("signs: ['M1 off, key=run, repaired left fans']")
    with pytest.raises(FileError, match="there is no C99"):
        job_of("cannot: [C99]")


def test_how_a_job_ended() -> None:
    """A finished job tells the verdict, what was repaired and what was found; a unit that is not
    in the circuit is a slip of the pen."""
    assert job_of("").ending is None
    job = job_of("ending: {verdict: proven, units: [fuse box], found: K2 break contact open}\n")
    assert job.ending == Ending("proven", ("fuse box",), "K2 break contact open")
    (problem,) = problems_of("ending: {verdict: proven, units: [fuse bix]}\n")
    assert "there is no unit fuse bix" in problem and "fuse box" in problem
