"""`loomwise record`."""

import typer

from loomwise.cli.errors import NO
from loomwise.cli.show import heading, lines, print_json, table, words
from loomwise.store import open_store
from loomwise.usecases.record_file import RecordRead, names_entered, read_file
from loomwise.usecases.record_match import Asked


def run(file: str, job: int, asked: Asked, as_json: bool) -> None:
    """Read a record as signs; exit 1 if none could be entered."""
    found = read_file(open_store(), file, job, asked)
    if as_json:
        print_json(found)
    else:
        _show(found, job, asked.look)
    if not names_entered(found.names) and not asked.look:
        raise typer.Exit(NO)


def _show(found: RecordRead, job: int, look: bool) -> None:
    heading(f"{found.file}: {found.seconds:.1f} s, times from '{found.time}'")
    rows = [
        (n.name, n.what, n.shown, n.sign or "; ".join(filter(None, (n.why_not, n.hint))) or n.word)
        for n in found.names
    ]
    table(("name", "is", "showed", "sign"), rows)
    for text in (*found.gaps, *found.unread):
        lines(text, "  ", "")
    if found.empty:
        lines(f"{found.empty} cells are empty; the value before them went on counting.")
    signs = names_entered(found.names)
    if look:
        lines("Only looked at: nothing was entered.")
    elif signs:
        lines(f"entered in job {job}: {words(signs)}")
    else:
        lines("No sign was entered.")
