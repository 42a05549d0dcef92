"""`loomwise wire`."""

import typer

from loomwise.cli.errors import NO
from loomwise.cli.show import heading, lines, print_json, table
from loomwise.usecases.tool_wording import wire_question, wire_row, wire_sizes
from loomwise.usecases.wire import Asked, Judged, Wanted, wire

__all__ = ["Wanted", "run"]


def run(wanted: Wanted, as_json: bool) -> None:
    """A wire chosen or judged; exit 1 if none does it."""
    found = wire(wanted)
    if as_json:
        print_json(found)
    else:
        _show(found.asked, found.answer)
    if not found.answer.ok:
        raise typer.Exit(NO)


def _show(asked: Asked, answer: Judged) -> None:
    lines(wire_question(asked))
    print()
    for sentence in answer.why:
        lines(sentence, "  ", "  " if answer.ok else "no: ")
    if sizes := wire_sizes(answer):
        print()
        head = ("size", "lost", "", "warms to", "stands", "largest fuse", "")
        table(head, (wire_row(w, answer) for w in sizes), right=range(1, 6))
    heading("mind")
    for caution in answer.cautions:
        lines(caution, "    ", "  - ")
