"""What every command prints, and its exit codes."""

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Run

JOB = """\
format: 1
complaint: Fans stay off with the air conditioning on
vehicle: {name: Norvik T4, mileage_km: 184000}
circuit: radiator-fans
setups: {slow: "key=run, AC=on", hot: "key=run, coolant=hot"}
here: slow
signs:
  - M1 off, in slow, complaint yes
  - M2 off, in slow, complaint yes
  - {id: S9, setup: hot, what: M1, seen: normal, complaint: no}
readings:
  - volts C1.2.a 12.6 V, in slow, complaint yes
  - volts C1.3.a 0.02 V, in slow, complaint yes
  - {id: R7, setup: slow, red: C1.1.a, value: 0 V, withdrawn: the clip had come off}
"""


@pytest.fixture
def job(tmp_path: Path) -> str:
    """A job file with signs, readings and one withdrawn."""
    file = tmp_path / "job.yaml"
    file.write_text(JOB, encoding="utf-8")
    return str(file)


@pytest.mark.parametrize(
    "words",
    [
        ("check", "radiator-fans", "--places"),
        ("kinds",),
        ("kinds", "relay"),
        ("shelf",),
        ("predict", "horn", "--faults"),
        ("predict", "headlamps", "--all"),
        ("predict", "radiator-fans", "--setup", "key=run, AC=on", "--undo", "C1 apart"),
    ],
)
def test_pages_are_plain_and_narrow(run: Run, words: tuple[str, ...]) -> None:
    """What is printed fits a page of 100 columns, without colour codes or trailing blanks."""
    result = run(*words)
    assert result.exit_code == 0, result.stderr
    assert "\x1b" not in result.output
    lines = result.stdout.splitlines()
    assert max(map(len, lines)) <= 100
    assert not [line for line in lines if line != line.rstrip()]


def test_a_checked_file_is_named_with_what_is_in_it(run: Run, job: str) -> None:
    """A good file is told by its title and what it holds."""
    result = run("check", job, "horn")
    assert result.exit_code == 0
    assert "a good job file" in result.stdout and "1 withdrawn" in result.stdout
    assert "a good circuit file" in result.stdout


def test_one_bad_file_among_good_ones(run: Run, job: str, tmp_path: Path) -> None:
    """Every file is checked, and one bad one makes the answer no."""
    bad = tmp_path / "bad.yaml"
    bad.write_text("format: 1\n", encoding="utf-8")
    result = run("check", job, str(bad), "horn", "--json")
    assert result.exit_code == 2
    answer = json.loads(result.stdout)
    assert [f["ok"] for f in answer["files"]] == [True, False, True] and answer["ok"] is False


def test_a_fault_in_a_setup(run: Run) -> None:
    """With the break contact open the left fan's return carries full voltage, and goes nowhere."""
    words = ("predict", "radiator-fans", "--setup", "key=run, AC=on",
             "--fault", "K2 break contact open")  # fmt: skip
    assert "voltmeter, C1.2.a to BAT.-: 12.6" in run(*words, "--at", "C1.2.a").stdout
    assert "M1 off, M2 off" in run(*words).stdout
    healthy = run("predict", "radiator-fans", "--setup", "key=run, AC=on", "--at", "C1.2.a").stdout
    assert "voltmeter, C1.2.a to BAT.-: 6.2" in healthy


def test_a_floating_place_is_not_called_dead(run: Run) -> None:
    """A meter on a wire that hangs free wanders; the answer says so instead of 0 V."""
    result = run("predict", "radiator-fans", "--undo", "C1 apart, C3 apart", "--at", "C1.1.b")
    assert "floating: a meter wanders" in result.stdout


@pytest.mark.parametrize(
    ("words", "shown"),
    [
        (("--at", "C1.1.a", "--with", "test-lamp"), "bright"),
        (("--at", "C1.1", "--with", "clamp"), "A"),
        (("--at", "C1.1.b,C1.2.b", "--with", "ohmmeter", "--undo", "BAT off, C1 apart"), "mΩ"),
    ],
)
def test_other_instruments(run: Run, words: tuple[str, ...], shown: str) -> None:
    """A lamp answers with its light, a clamp with amps, an ohmmeter (supply off) with ohms."""
    result = run("predict", "radiator-fans", "--setup", "key=run, AC=on", *words)
    assert result.exit_code == 0, result.stderr
    assert result.stdout.splitlines()[2].rstrip().endswith(shown)


def test_a_misspelt_fault(run: Run) -> None:
    """A fault's name that is almost right is answered with the right one."""
    result = run("predict", "radiator-fans", "--fault", "K2 brake contact open")
    assert result.exit_code == 2
    assert "did you mean 'K2 break contact open'?" in result.stderr


def test_a_fault_in_several_sizes(run: Run) -> None:
    """A resistance comes in sizes; one of them must be named."""
    result = run("predict", "horn", "--fault", "BAT high resistance")
    assert result.exit_code == 2
    assert "comes in 4 sizes" in result.stderr and "'BAT high resistance 0.06 ohm'" in result.stderr


def test_a_job_with_nothing_seen_yet(run: Run, tmp_path: Path) -> None:
    """Before anything is seen or read the shares are what is likely beforehand, and it says so."""
    file = tmp_path / "new.yaml"
    file.write_text(
        "format: 1\ncomplaint: The horn is silent\nvehicle: {name: Norvik T4}\ncircuit: horn\n",
        encoding="utf-8",
    )
    assert "Nothing counts yet" in run("rank", str(file)).stdout


def test_ranking_a_job(run: Run, job: str) -> None:
    """The unit that explains all is first; a withdrawn reading stays on paper with its reason."""
    result = run("rank", job)
    assert result.exit_code == 0
    assert "suspects" in result.stdout and "fuse box" in result.stdout
    assert "taken with the complaint present" in result.stdout
    assert "complaint absent: clears nothing" in result.stdout
    assert "the clip had come off" in result.stdout
    assert "100 %" not in result.stdout and "100.0 %" not in result.stdout
    assert max(map(len, result.stdout.splitlines())) <= 100
    answer = json.loads(run("rank", job, "--json").stdout)
    assert answer["format"] == 1 and answer["units"][0]["unit"] == "fuse box"
    assert answer["withdrawn"] == [{"id": "R7", "reason": "the clip had come off"}]


def test_the_next_test_of_a_job(run: Run, job: str) -> None:
    """A proposal says what to do, how long it takes, and what each suspect predicts."""
    result = run("next", job, "--most", "2")
    assert result.exit_code == 0
    assert "what each suspect predicts" in result.stdout and "min" in result.stdout
    answer = json.loads(run("next", job, "--most", "2", "--json").stdout)
    assert len(answer["tests"]) == 2
    first = answer["tests"][0]
    assert first["gain_bits"] > 0 and first["minutes"] > 0 and first["expectations"]


def test_only_instruments_at_hand(run: Run, tmp_path: Path) -> None:
    """Who has no test lamp is not told to use one."""
    file = tmp_path / "job.yaml"
    file.write_text(JOB + "instruments: [look]\n", encoding="utf-8")
    answer = json.loads(run("next", str(file), "--most", "10", "--json").stdout)
    assert {t["instrument"] for t in answer["tests"]} <= {"look", "sign"}


def test_a_job_that_nothing_explains(run: Run, tmp_path: Path) -> None:
    """Readings that no fault of the circuit gives are answered with "not explained", exit 1."""
    places = ("C1.1.a", "C2.8.a", "C2.1.a", "F1.1", "F2.1", "F3.2")
    lines = "".join(f"  - volts {p} 24 V, in slow, complaint yes\n" for p in places)
    file = tmp_path / "job.yaml"
    head = JOB[: JOB.index("signs:")]
    file.write_text(f"{head}readings:\n{lines}", encoding="utf-8")
    result = run("rank", str(file))
    assert result.exit_code == 1, result.stdout
    assert "Not explained" in result.stdout


def test_copy_from_the_shelf(run: Run, tmp_path: Path) -> None:
    """A copied circuit is the shelf's own file, and good."""
    file = tmp_path / "mine.yaml"
    assert run("shelf", "copy", "horn", str(file)).exit_code == 0
    assert file.read_text(encoding="utf-8") == run("shelf", "show", "horn").stdout
    assert run("check", str(file)).exit_code == 0


def test_a_fault_of_the_program(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    """A mistake of ours is said in short, with how to report it, and exit 3."""

    def broken(*_: object) -> None:
        raise RuntimeError("a wheel came off")

    monkeypatch.setattr("loomwise.cli.kinds.run", broken)
    result = run("kinds")
    assert result.exit_code == 3
    assert "a wheel came off" in result.stderr and "--debug" in result.stderr
    assert "Traceback" not in result.output
    assert "Traceback" in run("--debug", "kinds").stderr


def test_the_version(run: Run) -> None:
    """The program says which version it is."""
    assert run("--version").stdout.startswith("loomwise ")


def test_help_loads_nothing_heavy() -> None:
    """Asking for help must not wait for arrays or tables: they are loaded when needed."""
    import subprocess
    import sys

    code = (
        "import sys, loomwise.cli.main; "
        "print([m for m in ('numpy', 'rich', 'pydantic', 'ruamel') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
