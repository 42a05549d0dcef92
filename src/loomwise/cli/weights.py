"""`loomwise weights`."""

from collections.abc import Callable

from loomwise.cli.show import heading, lines, patience, print_json, table
from loomwise.usecases.weights import Weights, count_job, forget_job, list_weights


def run_list(as_json: bool) -> None:
    """The weights, and the jobs that moved them."""
    _done(list_weights, as_json)


def run_count(job: str, found: str, as_json: bool) -> None:
    """Count a finished job in."""
    with patience("reading the job"):
        answer = count_job(job, found)
    _done(lambda: answer, as_json)


def run_forget(job: str, as_json: bool) -> None:
    """Take a job out again."""
    _done(lambda: forget_job(job), as_json)


def _done(asked: Callable[[], Weights], as_json: bool) -> None:
    answer = asked()
    if as_json:
        print_json(answer)
    else:
        _show(answer)


def _show(answer: Weights) -> None:
    if answer.changed:
        lines(answer.changed)
    heading("how often each class of faults is the answer, before anything is measured")
    rows = [
        (c.title, f"{c.table_percent:.1f} %", str(c.jobs or ""), f"{c.now_percent:.1f} %")
        for c in sorted(answer.classes, key=lambda c: -c.now_percent)
    ]
    table(("class", "by the table", "jobs", "now"), rows, [1, 2, 3])
    if not answer.jobs:
        lines("No finished job has been counted yet.")
        return
    heading("finished jobs counted")
    table(("job", "found"), [(j.job, j.found) for j in answer.jobs])
