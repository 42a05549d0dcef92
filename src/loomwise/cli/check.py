"""`loomwise check`."""

import sys
from collections.abc import Sequence

import typer

from loomwise.cli.errors import BAD_INPUT
from loomwise.cli.show import lines, print_json, table
from loomwise.usecases.check_files import FileChecked, check_files


def run(files: Sequence[str], places: bool, as_json: bool) -> None:
    """Check the files; exit 2 if any has a problem."""
    answer = check_files(files)
    if as_json:
        print_json(answer)
    else:
        for checked in answer.files:
            _show(checked, places)
    if not answer.ok:
        raise typer.Exit(BAD_INPUT)


def _show(checked: FileChecked, places: bool) -> None:
    for problem in checked.problems:
        print(problem.text, file=sys.stderr)
    if checked.ok:
        counted = ", ".join(f"{n} {word}" for word, n in checked.counts.items())
        lines(f"{checked.file}: a good {checked.kind} file: {checked.title}; {counted}", "  ", "")
        if places:
            rows = [(p.place, p.title, p.unit, p.method) for p in checked.places]
            table(("place", "what it is", "unit", "reached by"), rows)
