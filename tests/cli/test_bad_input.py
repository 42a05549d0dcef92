"""Bad input: a message with line and hint, exit 2, no traceback, nothing written."""

import json
from pathlib import Path

import pytest

from loomwise.usecases import check_files
from tests.cli.conftest import Run

GOOD = """\
format: 1
title: One lamp
supply: 12 V
units:
  battery: {price: 100, minutes: 10}
  dash: {price: 50, minutes: 30}
controls:
  key: {states: [off, run], rest: off}
parts:
  BAT: {kind: battery, in: battery}
  F1: {kind: fuse, rating: 10 A, in: dash}
  S1: {kind: switch, pins: [30, 15], in: dash, set by: key, positions: {off: [], run: [30-15]}}
  E1: {kind: lamp, power: 21 W, in: dash}
  G1: {kind: ground, pins: [1, 2]}
wires:
  - BAT.+ to F1.1, RD 4 mm2, 1 m
  - F1.2 to S1.30, RD 1.5 mm2, 1 m
  - S1.15 to E1.1, GN 1.5 mm2, 2 m
  - E1.2 to G1.1, BN 1.5 mm2, 1 m
  - BAT.- to G1.2, BK 16 mm2, 0.4 m
"""
LOGIC = """\
logic:
  A1:
    - X on when Y is on
    - Y on when X is on
"""
MODULE = """\
  A1: {kind: module, in: dash, pins: {15: {role: supply}, 31: {role: ground},
       X: {role: low-side}, Y: {role: low-side}}}
"""
JOB = """\
format: 1
complaint: Fans stay off
vehicle: {name: Norvik T4}
circuit: radiator-fans
readings:
  - {READING}
"""


def circuit(old: str, new: str) -> str:
    """The good circuit with one thing made wrong."""
    assert old in GOOD
    return GOOD.replace(old, new)


CIRCUITS = [
    ("empty file", "", "", "the file is empty"),
    ("unknown pin", circuit("F1.2 to S1.30", "F1.3 to S1.30"), "line 17", "F1 has no pin 3"),
    ("a part with no unit", circuit("rating: 10 A, in: dash", "rating: 10 A"), "line 11", "'in'"),
    ("negative length", circuit("GN 1.5 mm2, 2 m", "GN 1.5 mm2, -2 m"), "line 18", "-2 m"),
    ("not a number", circuit("10 A", "NaN A"), "line 11", "not a number"),
    ("decimal comma", circuit("GN 1.5 mm2, 2 m", "GN 1,5 mm2, 2 m"), "line 18", "not a comma"),
    ("high voltage", circuit("supply: 12 V", "supply: 14.2 kV"), "line 3", "high voltage"),
    ("shorted battery", circuit("BAT.+ to F1.1", "BAT.+ to G1.3, RD\n  - F1.1 to BAT.+")
     .replace("pins: [1, 2]}", "pins: [1, 2, 3]}"), "line 16", "are shorted"),
    ("no ground", circuit("  G1: {kind: ground, pins: [1, 2]}\n", "")
     .replace("E1.2 to G1.1", "E1.2 to BAT.-").replace("  - BAT.- to G1.2, BK 16 mm2, 0.4 m\n", ""),
     "line 9", "no ground"),
    ("not YAML", circuit("rating: 10 A, in", "rating: [10 A, in"), "line", "not YAML"),
    ("bomb", "a: &a [x, x]\nb: &b [*a, *a]\nc: [*b, *b]\n", "line 1", "anchors"),
    ("an alias", circuit("in: dash}", "in: *dash}"), "line 11", "anchors"),
    ("unknown kind", circuit("kind: lamp", "kind: lmap"), "line 13", "did you mean 'lamp'"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "line", "words"), [c[1:] for c in CIRCUITS], ids=[c[0] for c in CIRCUITS]
)
def test_a_wrong_circuit_file(run: Run, tmp_path: Path, text: str, line: str, words: str) -> None:
    """A mistake in the drawing is named with its line and what would be right."""
    file = tmp_path / "one.yaml"
    file.write_text(text, encoding="utf-8")
    checked = run("check", str(file))
    assert checked.exit_code == 2
    assert line in checked.stderr and words in checked.stderr and "; " in checked.stderr
    for command in ("check", "predict"):
        result = run(command, str(file))
        assert result.exit_code == 2
        assert "Traceback" not in result.output
        assert not result.stdout


def test_the_good_circuit_is_good(run: Run, tmp_path: Path) -> None:
    """The file the wrong ones are made from has nothing wrong with it."""
    file = tmp_path / "one.yaml"
    file.write_text(GOOD, encoding="utf-8")
    assert run("check", str(file)).exit_code == 0


def test_two_wires_on_one_cavity(run: Run, tmp_path: Path) -> None:
    """A cavity takes one wire on each side."""
    text = GOOD.replace(
        "controls:", "connectors:\n  C1: {halves: [dash, loom], cavities: 2}\ncontrols:"
    )
    text = text.replace("F1.2 to S1.30", "F1.2 to C1.1 to S1.30").replace(
        "S1.15 to E1.1", "S1.15 to C1.1 to E1.1"
    )
    file = tmp_path / "one.yaml"
    file.write_text(text, encoding="utf-8")
    result = run("check", str(file))
    assert result.exit_code == 2
    assert "line 20" in result.stderr and "C1" in result.stderr


def test_a_loop_in_the_logic(run: Run, tmp_path: Path) -> None:
    """Outputs that wait for each other can never be worked out."""
    text = GOOD.replace("wires:\n", MODULE + "wires:\n  - A1.15 to F1.2\n  - A1.31 to G1.2\n")
    file = tmp_path / "one.yaml"
    file.write_text(text + LOGIC, encoding="utf-8")
    result = run("check", str(file))
    assert result.exit_code == 2
    assert "line" in result.stderr
    assert "Traceback" not in result.output


def test_all_problems_come_at_once(run: Run, tmp_path: Path) -> None:
    """A file is mended in one go, not once for each message."""
    text = GOOD.replace("F1.2 to S1.30", "F1.9 to S1.30").replace("2 m\n", "-2 m\n", 1)
    text = text.replace("kind: lamp", "kind: lmap")
    file = tmp_path / "one.yaml"
    file.write_text(text, encoding="utf-8")
    assert len(run("check", str(file)).stderr.splitlines()) >= 3


READINGS = [
    ("decimal comma", "{red: C1.2.a, value: '12,4'}", "line 6", "12.4 with a point"),
    ("decimal comma in a line", '"volts C1.2.a 12,4 V"', "line 6", "12.4 with a point"),
    ("NaN", "{red: C1.2.a, value: NaN}", "line 6", '"NaN" is not a number'),
    ("infinite", "{red: C1.2.a, value: .inf}", "line 6", "not a number"),
    ("kilovolts", "{red: C1.2.a, value: 14.2 kV}", "line 6", "check the unit"),
    ("unknown place", "{red: C1.9.a, value: 12 V}", "line 6", "C1.2.a"),
    ("unknown black", "{red: C1.2.a, black: Q, value: 12 V}", "line 6", "no place 'Q'"),
    ("soldered relay out", "{red: C1.2.a, value: 12 V, undone: [K1 out]}", "line 6", "soldered in"),
    ("unknown control", "{setup: 'kee=run', red: C1.2.a, value: 1 V}", "line 6", "mean key?"),
    ("impossible state", "{setup: 'key=start', red: C1.2.a, value: 1 V}", "line 6", "off, run"),
    ("two states", "{setup: 'key=run, key=off', red: C1.2.a, value: 1 V}", "line 6", "at once"),
    ("live ohms", "{instrument: ohmmeter, red: C1.2.a, value: 3 ohm}", "line 6", "BAT off"),
    ("lamp word", "{instrument: test lamp, red: C1.2.a, value: blue}", "line 6", "dark, dim"),
    ("no such way", "{red: C1.2.a, value: 1 V, method: thumb}", "line 6", "back-probe"),
    ("unknown word", "{red: C1.2.a, valeu: 1 V}", "line 6", "did you mean 'value'"),
    ("no value", "{red: C1.2.a, value: }", "line 6", "has no value"),
    ("not a reading", '"amperes 5"', "line 6", "is not a reading"),
    ("both tips", "{red: BAT.-, value: 0 V}", "line 6", "name two places"),
]


@pytest.mark.parametrize(
    ("reading", "line", "words"), [r[1:] for r in READINGS], ids=[r[0] for r in READINGS]
)
def test_a_wrong_reading(run: Run, tmp_path: Path, reading: str, line: str, words: str) -> None:
    """A reading that cannot be is refused with its line, before anything is ranked."""
    file = tmp_path / "job.yaml"
    file.write_text(JOB.replace("{READING}", reading), encoding="utf-8")
    for command in ("check", "rank", "next"):
        result = run(command, str(file))
        assert result.exit_code == 2
        assert line in result.stderr and words in result.stderr
        assert not result.stdout and "Traceback" not in result.output


def test_a_job_with_an_unknown_circuit(run: Run, tmp_path: Path) -> None:
    """A misspelt circuit is answered with the nearest on the shelf."""
    file = tmp_path / "job.yaml"
    file.write_text(JOB.replace("radiator-fans", "radiator-fan"), encoding="utf-8")
    result = run("rank", str(file))
    assert result.exit_code == 2
    assert "line 4" in result.stderr and "did you mean 'radiator-fans'" in result.stderr


def test_a_job_whose_circuit_file_is_wrong(run: Run, tmp_path: Path) -> None:
    """The circuit's own problems come with the circuit's own lines."""
    (tmp_path / "own.yaml").write_text(GOOD.replace("F1.2 to", "F1.7 to"), encoding="utf-8")
    file = tmp_path / "job.yaml"
    job = JOB.replace("radiator-fans", "own.yaml").replace("{READING}", "volts F1.1 12 V")
    file.write_text(job, encoding="utf-8")
    result = run("rank", str(file))
    assert result.exit_code == 2
    assert "own.yaml, line 17" in result.stderr


def test_a_file_of_fifty_megabytes(run: Run, tmp_path: Path) -> None:
    """A file that is far too large is refused by its size, without being read."""
    file = tmp_path / "huge.yaml"
    with file.open("wb") as out:
        out.truncate(50_000_000)
    for command in ("check", "rank", "predict"):
        result = run(command, str(file))
        assert result.exit_code == 2
        assert "50.0 MB" in result.stderr and "the limit is 5 MB" in result.stderr


@pytest.mark.parametrize("command", ["check", "rank", "next", "predict"])
def test_a_file_that_is_not_there(run: Run, tmp_path: Path, command: str) -> None:
    """A wrong file name is said so, with what to check."""
    result = run(command, str(tmp_path / "nothing.yaml"))
    assert result.exit_code == 2
    assert "no such file" in result.stderr and "check the name" in result.stderr


def test_a_file_that_is_not_text(run: Run, tmp_path: Path) -> None:
    """A picture given by mistake is refused with the line where it stops being text."""
    file = tmp_path / "photo.yaml"
    file.write_bytes(b"format: 1\ntitle: \xff\xfe\x00")
    result = run("check", str(file))
    assert result.exit_code == 2
    assert "line 2" in result.stderr and "UTF-8" in result.stderr


def test_a_folder_is_not_a_file(run: Run, tmp_path: Path) -> None:
    """A folder given by mistake is refused."""
    result = run("check", str(tmp_path))
    assert result.exit_code == 2
    assert "not a file" in result.stderr


def test_a_copy_never_overwrites(run: Run, tmp_path: Path) -> None:
    """A file that is there already stays as it was."""
    file = tmp_path / "mine.yaml"
    file.write_text("mine", encoding="utf-8")
    result = run("shelf", "copy", "horn", str(file))
    assert result.exit_code == 2
    assert "there already" in result.stderr
    assert file.read_text(encoding="utf-8") == "mine"


def test_nothing_is_written_for_a_wrong_name(run: Run, tmp_path: Path) -> None:
    """A circuit that is not on the shelf leaves no empty file behind."""
    file = tmp_path / "mine.yaml"
    assert run("shelf", "copy", "hron", str(file)).exit_code == 2
    assert not file.exists()


def test_bad_input_as_json(run: Run, tmp_path: Path) -> None:
    """Programs get the same problems as one object of one shape."""
    file = tmp_path / "job.yaml"
    file.write_text(JOB.replace("{READING}", "{red: C1.2.a, value: '12,4'}"), encoding="utf-8")
    result = run("rank", str(file), "--json")
    assert result.exit_code == 2
    answer = json.loads(result.stdout)
    assert answer["format"] == 1 and answer["error"] == "FileError"
    assert answer["problems"][0]["line"] == 6


@pytest.mark.parametrize("large", [60, 0], ids=["one setup after the other", "all at once first"])
def test_a_circuit_with_no_solution(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, large: int
) -> None:
    """A switch that joins both posts of a stiff battery has no solution, and it is said when; of a
    large circuit, all of whose setups are solved at once, too."""
    monkeypatch.setattr(check_files, "LARGE", large)
    text = GOOD.replace("{kind: battery,", "{kind: battery, resistance: 0.5 mohm,")
    text = text.replace("in: dash, set by", "in: dash, contact: 0.1 mohm, set by")
    text = text.replace("F1.2 to S1.30, RD 1.5 mm2, 1 m", "BAT.+ to S1.30, RD 95 mm2, 0.1 m")
    text = text.replace("S1.15 to E1.1, GN 1.5 mm2, 2 m", "S1.15 to BAT.-, BK 95 mm2, 0.1 m")
    text = text.replace("BAT.+ to F1.1, RD 4 mm2, 1 m", "BAT.+ to F1.1\n  - F1.2 to E1.1")
    file = tmp_path / "one.yaml"
    file.write_text(text, encoding="utf-8")
    result = run("check", str(file))
    assert result.exit_code == 2
    assert "no solution with key run: BAT is shorted" in result.stderr
    assert "no fuse between" in result.stderr
