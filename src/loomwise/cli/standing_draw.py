"""`loomwise standing-draw`."""

import typer

from loomwise.cli.errors import NO
from loomwise.cli.show import heading, lines, print_json, table
from loomwise.usecases.standing_draw import Hunted, Words, standing_draw
from loomwise.usecases.tool_wording import draw_row, fuses_text, lasts_text

__all__ = ["Words", "run"]

SETTLED = ("usual", "found")


def run(words: Words, file: str, as_json: bool) -> None:
    """The readings judged; exit 1 where they name no branch."""
    answer = standing_draw(words, file)
    if as_json:
        print_json(answer)
    else:
        _show(answer)
    if answer.verdict not in SETTLED:
        raise typer.Exit(NO)


def _show(answer: Hunted) -> None:
    for sentence in answer.text:
        lines(sentence)
    if answer.draws:
        print()
        head = ("fuse", "type", "drop", "draws", "between", "feeds")
        table(head, (draw_row(d) for d in answer.draws), right=(2, 3))
        lines(fuses_text(answer), "  ")
    if answer.lasts_days is not None:
        print()
        lines(lasts_text(answer))
    heading("next")
    for step in answer.next_steps:
        lines(step, "    ", "  - ")
