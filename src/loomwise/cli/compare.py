"""`loomwise compare`."""

from collections.abc import Sequence

import typer

from loomwise.cli.errors import NO
from loomwise.cli.show import heading, lines, print_json
from loomwise.usecases.compare import Compared, DifferenceShown, DrawingShown, compare_sources


def run(first: str, second: str, as_json: bool) -> None:
    """The two drawings compared; exit 1 if they differ in more than names."""
    answer = compare_sources(first, second)
    if as_json:
        print_json(answer)
    else:
        _show(answer)
    if not answer.same:
        raise typer.Exit(NO)


def _show(answer: Compared) -> None:
    for letter, drawing in (("A", answer.a), ("B", answer.b)):
        lines(_title(drawing), "   ", f"{letter}: ")
    in_function = [d for d in answer.differences if d.in_function]
    drawn = [d for d in answer.differences if not d.in_function]
    _list("what the circuit does differs", in_function)
    _list("drawn otherwise, the same in function", drawn)
    if answer.renamed:
        heading("the same thing under two names (A = B)")
        lines(", ".join(f"{r.a} = {r.b}" for r in answer.renamed), "  ")
    print()
    lines(_verdict(answer, len(in_function), len(drawn)))


def _title(drawing: DrawingShown) -> str:
    sources = f"; {', '.join(drawing.sources)}" if drawing.sources else ""
    return f"{drawing.file}: {drawing.title}{sources}"


def _list(title: str, differences: Sequence[DifferenceShown]) -> None:
    if not differences:
        return
    heading(title)
    for number, difference in enumerate(differences, 1):
        lines(difference.text, "     ", f"{number:>3}. ")
        here, there = difference.a_places, difference.b_places
        if here and there and here != there:
            lines(f"in B's names: {', '.join(there)}", "     ", "     ")


def _verdict(answer: Compared, in_function: int, drawn: int) -> str:
    if answer.same:
        return f"The same circuit: all {answer.matched} parts and their wiring agree."
    if not in_function:
        return f"The same in function: {answer.matched} parts agree; {drawn} notes above."
    count = "one difference" if in_function == 1 else f"{in_function} differences"
    return f"They differ: {count} in function; {answer.matched} parts are in both."
