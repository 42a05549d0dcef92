"""`loomwise shelf`."""

from loomwise.cli.show import heading, lines, print_json, table
from loomwise.usecases.shelf import copy_shelf, list_shelf, show_shelf
from loomwise.usecases.shelf_jobs import ShelfJob, list_shelf_jobs


def run_list(as_json: bool) -> None:
    """The circuits at hand, in a table."""
    answer = list_shelf()
    if as_json:
        print_json(answer)
        return
    rows = [
        (c.name, c.title, *(str(n) for n in (c.parts, c.wires, c.places, c.jobs)))
        for c in answer.circuits
    ]
    table(("name", "circuit", "parts", "wires", "places", "jobs"), rows, right=[2, 3, 4, 5])


def run_jobs(name: str, as_json: bool) -> None:
    """The worked jobs on a circuit, one after the other."""
    answer = list_shelf_jobs(name)
    if as_json:
        print_json(answer)
        return
    print(answer.title)
    for job in answer.jobs:
        heading(f"{job.name}: {job.vehicle}, {job.signs} signs, {job.readings} readings")
        lines(job.complaint, "  ")
        lines(_ended(job), "  ", "  ended ")


def _ended(job: ShelfJob) -> str:
    units = f" {', '.join(job.units)}" if job.units else ""
    found = f" ({job.found})" if job.found else ""
    return f"{job.verdict}{':' if units else ''}{units}{found}"


def run_show(name: str, as_json: bool) -> None:
    """The file of a circuit or worked job, as it is."""
    answer = show_shelf(name)
    if as_json:
        print_json(answer)
    else:
        print(answer.text, end="")


def run_copy(name: str, file: str, as_json: bool) -> None:
    """A circuit or worked job written to a new file."""
    answer = copy_shelf(name, file)
    if as_json:
        print_json(answer)
    else:
        print(f"{answer.name} is now in {answer.file}")
