"""`loomwise proof`, and where a job ends short of proof, as printed."""

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Run

JOB = """\
format: 1
complaint: The horn is silent
vehicle: {name: Norvik T4}
circuit: horn
here: horn=pressed
signs:
  - H1 silent, horn=pressed, complaint yes
"""


@pytest.fixture
def job(tmp_path: Path) -> str:
    """A job with the complaint alone."""
    file = tmp_path / "job.yaml"
    file.write_text(JOB, encoding="utf-8")
    return str(file)


def test_the_plan_of_a_proof(run: Run, job: str) -> None:
    """After the repair the page says what to watch and what must be found, on a narrow page."""
    result = run("proof", job, "--repaired", "horn")
    assert result.exit_code == 0, result.stderr
    assert "watch horn H1: sounds" in result.stdout
    assert max(map(len, result.stdout.splitlines())) <= 100
    answer = json.loads(run("proof", job, "--repaired", "horn", "--json").stdout)
    assert answer["checks"] and answer["proof"] is None
    assert all(c["expected"] for c in answer["checks"])


def test_a_failed_proof_is_a_no(run: Run, job: str) -> None:
    """A horn that is still silent after the repair: exit 1 and the check by its name."""
    result = run("proof", job, "--repaired", "horn", "--answer", "P1=silent")
    assert result.exit_code == 1
    assert "Not proven: P1 failed: silent, expected sounds" in result.stdout


def test_a_proof_with_all_answers_right(run: Run, job: str) -> None:
    """Every check as expected: proven, exit 0."""
    words = ("proof", job, "--repaired", "horn")
    checks = json.loads(run(*words, "--json").stdout)["checks"]
    given = [f"{c['id']}={c['word'] or (c['low'] + c['high']) / 2}" for c in checks]
    answers = [word for text in given for word in ("--answer", text)]
    result = run(*words, *answers)
    assert result.exit_code == 0, result.stdout
    assert "Proven: every check is as expected." in result.stdout


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--repaired", "hron"), "did you mean 'horn'?"),
        (("--repaired", "horn", "--answer", "P1"), "write P1=slow"),
        (("--repaired", "horn", "--answer", "P99=silent"), "there is no check P99"),
        (("--repaired", "horn", "--answer", "P1=12 V"), "say silent, weak, sounds"),
    ],
)
def test_bad_input_is_named(run: Run, job: str, words: tuple[str, ...], said: str) -> None:
    """A unit or an answer that cannot be is answered with what would be right, exit 2."""
    result = run("proof", job, *words)
    assert result.exit_code == 2
    assert said in result.stderr


def test_authorised_time_is_said_with_what_is_known(run: Run, job: str) -> None:
    """With the minutes used up the customer is asked, and the repairs stand with their figures."""
    result = run("rank", job, "--spent", "30", "--authorised", "30")
    assert result.exit_code == 0
    assert "Authorised time reached, ask the customer" in result.stdout
    assert "repairs that could be made now" in result.stdout
    assert max(map(len, result.stdout.splitlines())) <= 100
    assert "Authorised time" in run("next", job, "--spent", "30", "--authorised", "30").stdout
    assert run("rank", job, "--spent", "-1").exit_code == 2
