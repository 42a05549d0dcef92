"""What `loomwise standing-draw` reads and prints, and its exit codes."""

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Run

YAML = """\
clamp:
  - 2.1 A after 5 min
  - 0.46 A after 45 min
  - 0.45 A after 60 min
battery: 70 Ah
charge: 80 %
fuses:
  - F1 60 A 0.5 mV maxi feeds fuse box 2
  - F12 10 A 2.9 mV mini behind F1 feeds radio
"""
CSV = """\
fuse,rating,drop,feeds
F12,10 A,2.9,radio
F3,15,0.1 mV,lamps
"""


def file(folder: Path, name: str, text: str) -> str:
    """A file with this text."""
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return str(path)


def test_a_file_of_readings_is_judged(run: Run, tmp_path: Path) -> None:
    """Clamp, fuses and battery from one file; the branch, the range and the days on a page."""
    result = run("standing-draw", file(tmp_path, "hunt.yaml", YAML))
    assert result.exit_code == 0, result.stderr
    assert (
        "F12 (radio)" in result.stdout and "half its charge in 47 hours" in result.stdout
    )  # 21 Ah
    assert max(map(len, result.stdout.splitlines())) <= 100


def test_a_table_of_fuses_goes_with_the_clamp(run: Run, tmp_path: Path) -> None:
    """A spreadsheet's table, millivolts where no unit stands; the rest as options."""
    table = file(tmp_path, "fuses.csv", CSV)
    result = run("standing-draw", table, "--clamp", "0.45 A after 45 min", "--json")
    data = json.loads(result.stdout)
    assert result.exit_code == 0 and data["suspects"] == ["F12"]
    assert data["draws"][0]["drop_v"] == pytest.approx(0.0029)


def test_no_branch_is_a_no(run: Run) -> None:
    """Exit 1 where the vehicle does not sleep yet."""
    assert run("standing-draw", "--clamp", "0.45 A after 5 min").exit_code == 1


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("a.csv", "fuse,rating\nF1,10\n", "line 1"),
        ("a.csv", "fuse,rating,drop\nF1,10,2,1\n", "a comma inside a number"),
        ("a.csv", 'fuse,rating,drop\nF1,10,"2,1"\n', "write 2.1"),
        ("a.csv", "fuse,rating,drop\nF1,12,2.1\n", "line 2: F1: no mini fuse of 12 A"),
        ("a.csv", "fuse,rating,drop\nF1,10,-2.1\n", "negative"),
        ("a.csv", "fuse,rating,drop\nF1,10,\n", "line 2"),
        ("a.csv", "", "line 1"),
        ("a.yaml", "clamp: 1 A\nfuse: x\n", "line 2"),
        ("a.yaml", "clamp: 1 A\nfuses:\n  - F1 10 A 5 V\n", "line 3"),
        ("a.yaml", "clamp: {a: b}\n", "line 1"),
        ("a.yaml", "clamp: 1 A\nbattery: 70 V\n", "line 2"),
        ("a.yaml", "clamp: 1 A after 40 min\nbattery: 7000 Ah\n", "70 Ah"),
    ],
)
def test_bad_files_are_told_by_line(
    run: Run, tmp_path: Path, name: str, text: str, said: str
) -> None:
    """Every problem with its line and what would be right; exit 2."""
    more = ["--clamp", "1 A after 45 min"] if name.endswith("csv") else []
    result = run("standing-draw", file(tmp_path, name, text), *more)
    assert result.exit_code == 2 and said in result.stderr, result.output


@pytest.mark.parametrize(
    "words",
    [
        ("--clamp", "0,45 A"),
        ("--clamp", "-0.45 A"),
        ("--clamp", "0.45 V"),
        ("--clamp", "0.4 A", "--fuse", "F1 10 A 2,1 mV"),
        ("--clamp", "0.4 A", "--fuse", "F1 10 A"),
        ("--clamp", "0.4 A", "--battery", "70 km"),
        ("--clamp", "0.4 A", "--charge", "130 %", "--battery", "70"),
        ("--clamp", "0.4 A", "--allowed", "0"),
        (),
        ("no-such-file.yaml",),
    ],
)
def test_bad_words_are_refused(run: Run, words: tuple[str, ...]) -> None:
    """Commas, signs, wrong units, nothing at all: exit 2 and a sentence."""
    result = run("standing-draw", *words)
    assert result.exit_code == 2 and result.stderr.strip(), result.output
