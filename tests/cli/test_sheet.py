"""What `loomwise sheet` prints."""

import json

from tests.cli.conftest import Run


def test_setups_stand_side_by_side_on_a_page(run: Run) -> None:
    """Four setups of the fans fit a page of 100 columns, with a legend of what each shows."""
    shown = run("sheet", "radiator-fans").stdout
    assert max(map(len, shown.splitlines())) <= 100
    assert "S3   key run, AC off, coolant warm; M1 slow, M2 slow" in shown
    assert "C1.3.a  C1 cavity 3, fuse-box side" in shown


def test_many_setups_go_on_in_further_tables(run: Run) -> None:
    """What does not fit beside each other stands below, each setup once."""
    words = [w for _ in range(9) for w in ("--setup", "horn=pressed")]
    shown = run("sheet", "horn", *words).stdout
    assert max(map(len, shown.splitlines())) <= 100
    heads = [line.split() for line in shown.splitlines() if line.lstrip().startswith("place")]
    assert [name for head in heads for name in head if name.startswith("S")] == [
        f"S{k}" for k in range(1, 10)
    ]


def test_floating_is_said(run: Run) -> None:
    """A wire that hangs on nothing is not 0 V."""
    answer = run("sheet", "horn", "--setup", "", "--undo", "C3 apart")
    assert "floats" in answer.stdout
    data = json.loads(run("sheet", "horn", "--undo", "C3 apart", "--json").stdout)
    row = next(r for r in data["rows"] if r["place"] == "C1.3.b")
    assert row["expected"][0]["floating"] is True


def test_bad_setups_are_refused(run: Run) -> None:
    """A state that a control has not, and an undoing that cannot be."""
    assert run("sheet", "horn", "--setup", "horn=loud").exit_code == 2
    assert run("sheet", "radiator-fans", "--undo", "K1 out").exit_code == 2
