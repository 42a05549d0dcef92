"""Test plan and test sheet as documents."""

from loomwise.advice.ahead import End, Step
from loomwise.report.document import Plan, PlanStep, Table
from loomwise.report.test_plan import DEEP, plan_document
from loomwise.report.test_sheet import SheetRow, sheet_document

HEAD = (("Vehicle", "Norvik T4"), ("Circuit", "Horn"))


def steps_of(root: Step | End) -> tuple[PlanStep, ...]:
    """The tests of the plan's document."""
    blocks = [b for s in plan_document(root, HEAD, "Open.").sections for b in s.blocks]
    return next((b.steps for b in blocks if isinstance(b, Plan)), ())


def test_each_result_leads_to_a_test_or_an_end() -> None:
    """Whoever follows the arrows gets from the first test to a repair, and no test is left over."""
    horn, wire = End("horn", 0.99, 0.5, False), End("wire (1 mm2)", 0.7, 0.3, True)
    inner = Step("volts at C1", ("press",), 0.5, 2.0, (("0 V", wire), ("12 V", horn)))
    again = Step("look", (), 0.2, 1.0, (("blown", horn), ("intact", horn)))
    root = Step("watch", (), 1.0, 5.0, (("silent", inner), ("faint", again)))
    steps = steps_of(root)
    assert [s.number for s in steps] == [1, 2, 3]
    assert {n for s in steps for _, _, n in s.results if n} == {2, 3}
    assert steps[1].results[0][1] == "repair wire (1 mm²): 70 % there *"
    assert steps[2].results == (("blown; intact", "repair horn: 99 % there", 0),)


def test_a_deep_plan_lies_on_its_side() -> None:
    """A plan with many tests behind each other has the longer side of the page for its branches."""
    root: Step | End = End("horn", 0.99, 0.5, False)
    for _ in range(DEEP):
        root = Step("look", (), 0.2, 1.0, (("blown", root),))
    assert not plan_document(root, HEAD, "Open.").wide
    assert plan_document(Step("look", (), 0.2, 1.0, (("blown", root),)), HEAD, "Open.").wide


def test_a_sheet_has_room_for_every_reading() -> None:
    """Beside each expected value there is an empty cell, four setups to a table."""
    rows = [SheetRow("F1.1", "fuse F1", "fuse ear", tuple(f"{n}.00 V" for n in range(6)))]
    found = sheet_document("Horn", [f"setup {n}" for n in range(6)], rows, "2 more")
    tables = [b for s in found.sections for b in s.blocks if isinstance(b, Table) and b.blank]
    assert [len(t.blank) for t in tables] == [4, 2]
    cells = [t.rows[0][k - 1] for t in tables for k in t.blank]
    assert cells == [f"{n}.00 V" for n in range(6)]
    assert all(t.rows[0][k] == "" for t in tables for k in t.blank)
