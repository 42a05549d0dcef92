"""`loomwise practice`: a hidden fault to find."""

from typing import Annotated

import typer

from loomwise.cli.commands.options import Json, Source
from loomwise.cli.errors import answers

commands = typer.Typer(
    help="Practise on a vehicle with a hidden fault: start, ask, decide, show, list.",
    rich_markup_mode=None, no_args_is_help=True,
)  # fmt: skip


PracticeNumber = Annotated[
    int, typer.Argument(metavar="N", min=1, help="The number of a practice.", show_default=False)
]


Person = Annotated[str, typer.Option("--person", metavar="NAME", help="Who practises.")]


@commands.command("start", epilog="Example: loomwise practice start horn --difficulty middling")
@answers
def practice_start(
    circuit: Source,
    difficulty: Annotated[
        str, typer.Option(metavar="LEVEL", help="easy, middling or hard, as measured.")
    ] = "easy",
    seed: Annotated[
        int | None,
        typer.Option(min=0, metavar="NUMBER", help="The same seed hides the same fault again."),
    ] = None,
    person: Person = "",
    as_json: Json = False,
) -> None:
    """Hide a fault in a vehicle, and say what its owner complains about."""
    from loomwise.cli.practice import run_start

    run_start(circuit, difficulty, seed, person, as_json)


@commands.command(
    "ask", epilog="Example: loomwise practice ask 7 volts F1.2 --setup 'key=run' --undo 'C1 apart'"
)
@answers
def practice_ask(
    number: PracticeNumber,
    test: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="TEST",
            help="volts, lamp, amps, ohms, look or watch, and where: 'volts C1.2.a', 'watch M1'.",
            show_default=False,
        ),
    ] = None,
    setup: Annotated[
        str,
        typer.Option(metavar="CONTROLS", help="Controls that are not at rest; 'rest' for none."),
    ] = "",
    undo: Annotated[
        list[str] | None,
        typer.Option(metavar="WHAT", help="'F1 out', 'C1 apart' and so on. Repeatable."),
    ] = None,
    back: Annotated[
        list[str] | None,
        typer.Option(metavar="WHAT", help="Put back what was undone; 'all'. Repeatable."),
    ] = None,
    as_json: Json = False,
) -> None:
    """Set the vehicle up, make one test, or both: it answers as a real one would."""
    from loomwise.cli.practice import run_ask

    run_ask(number, " ".join(test or ()), setup, tuple(undo or ()), tuple(back or ()), as_json)


@commands.command("decide", epilog="Example: loomwise practice decide 7 'fuse box'")
@answers
def practice_decide(
    number: PracticeNumber,
    unit: Annotated[str, typer.Argument(metavar="UNIT", help="The unit to repair.")],
    as_json: Json = False,
) -> None:
    """Name the unit to repair, and see your path beside the advised one.

    Exit 1 if it was another unit.
    """
    from loomwise.cli.practice import run_decide

    run_decide(number, unit, as_json)


@commands.command("show", epilog="Example: loomwise practice show 7")
@answers
def practice_show(number: PracticeNumber, as_json: Json = False) -> None:
    """Show a practice as it stands, or how it ended."""
    from loomwise.cli.practice import run_show

    run_show(number, as_json)


@commands.command("list", epilog="Example: loomwise practice list --person Kim")
@answers
def practice_list(person: Person = "", as_json: Json = False) -> None:
    """List what was practised, and how it went beside the advised paths."""
    from loomwise.cli.practice import run_list

    run_list(person, as_json)
