"""`loomwise similar` and `figures`: what the shop's earlier jobs tell."""

from loomwise.cli.show import heading, lines, patience, percent, print_json, table, words
from loomwise.store import open_store
from loomwise.usecases.figures import Figures, figures_of, write_plots
from loomwise.usecases.similar import Similar, SimilarJob, similar_jobs


def run_similar(job: str, most: int, as_json: bool) -> None:
    """Earlier jobs on the same circuit."""
    with patience("reading the jobs"):
        found = similar_jobs(open_store(), job, most)
    if as_json:
        print_json(found)
    else:
        _show(found)


def run_figures(file: str, as_json: bool) -> None:
    """The months in figures; with a file also as plots."""
    found = figures_of(open_store())
    if file:
        found = write_plots(found, file)
    if as_json:
        print_json(found)
    else:
        _months(found)


def _show(found: Similar) -> None:
    if not found.jobs:
        lines(f"No other job on this circuit yet: {found.circuit}.")
        return
    heading(f"jobs on the same circuit: {found.circuit}")
    head = ("", "opened", "vehicle", "alike", "signs shared", "repaired", "ended")
    rows = [
        (str(j.number), j.opened, j.vehicle, percent(j.likeness) if j.likeness else "",
         ", ".join(j.shared), words(j.repaired), _ended(j))
        for j in found.jobs
    ]  # fmt: skip
    table(head, rows, [0, 3])


def _ended(job: SimilarJob) -> str:
    return f"{job.ended or 'open'}{', came back' if job.came_back else ''}"


def _months(found: Figures) -> None:
    if not found.months:
        lines("No job has been closed yet: loomwise close JOB.")
        return
    head = ("month", "jobs", "testing a job", "proven", "came back")
    rows = [
        (m.month, str(m.jobs), f"{m.minutes_a_job:.0f} min", f"{100 * m.proven_share:.0f} %",
         f"{m.comebacks} ({100 * m.comeback_share:.0f} %)")
        for m in found.months
    ]  # fmt: skip
    table(head, rows, [1, 2, 3, 4])
    if found.file:
        lines(f"plots written to {found.file}")
