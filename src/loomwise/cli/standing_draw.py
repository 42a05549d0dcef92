"""`loomwise standing-draw`."""

import typer

from loomwise.cli.errors import NO
from loomwise.cli.show import heading, lines, print_json, table
from loomwise.units import format_quantity
from loomwise.usecases.standing_draw import FuseDraw, Hunted, Words, standing_draw

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
        table(head, (_row(d) for d in answer.draws), right=(2, 3))
        lines(_sum(answer), "  ")
    if answer.lasts_days is not None:
        print()
        lines(f"The battery is down to half its charge in {_days(answer.lasts_days)}.")
    heading("next")
    for step in answer.next_steps:
        lines(step, "    ", "  - ")


def _row(d: FuseDraw) -> tuple[str, ...]:
    low, high = (format_quantity(a, "A") for a in (d.low_a, d.high_a))
    behind = [f"behind {d.behind}"] if d.behind else []
    return (
        d.fuse, f"{d.type} {d.rating_a:g} A", format_quantity(d.drop_v, "V"),
        format_quantity(d.current_a, "A"), f"{low} and {high}", ", ".join([*behind, d.feeds]),
    )  # fmt: skip


def _sum(answer: Hunted) -> str:
    total, low, high, clamp = (
        format_quantity(a, "A")
        for a in (answer.fuses_a, answer.fuses_low_a, answer.fuses_high_a, answer.clamp_a)
    )
    return f"all fuses together {total} ({low} to {high}); clamp {clamp}"


def _days(days: float) -> str:
    if days < 2:
        return f"{24 * days:.0f} hours"
    return f"{days:.0f} days" if days < 400 else "over a year"
