"""Commands that play jobs through: the demo and the study."""

from typing import Annotated

import typer

from loomwise.cli.commands.options import Json, Paper
from loomwise.cli.errors import answers

commands = typer.Typer()


@commands.command(epilog="Example: loomwise study horn --cases 100 --seed 1")
@answers
def study(
    circuits: Annotated[
        list[str] | None,
        typer.Argument(metavar="FILE", help="Circuit files or names; the shelf by default."),
    ] = None,
    cases: Annotated[
        int, typer.Option(min=1, max=100_000, metavar="NUMBER", help="Cases a circuit.")
    ] = 300,
    scenario: Annotated[
        str,
        typer.Option(
            metavar="NAME,...",
            help="plain, rough, exchanged, redrawn, doubles, coming, outside, half-split,"
            " in-order; several with commas.",
        ),
    ] = "plain",
    shelf: Annotated[
        bool, typer.Option("--shelf", help="The whole shelf, half-splitting beside.")
    ] = False,
    seed: Annotated[
        int, typer.Option(min=0, metavar="NUMBER", help="Start of the random numbers.")
    ] = 1,
    fresh: Annotated[
        bool, typer.Option("--fresh", help="A seed nobody has seen; it is printed.")
    ] = False,
    keep: Annotated[
        str, typer.Option(metavar="FILE", help="Keep cases there, and go on from them.")
    ] = "",
    jobs: Annotated[
        int, typer.Option(min=0, max=64, metavar="NUMBER", help="Processes; 0: one a core.")
    ] = 0,
    as_json: Json = False,
) -> None:
    """Play faults through with a simulated technician, and measure how well the advice works."""
    from loomwise.cli.study import run

    drawn = None if fresh else seed
    run(tuple(circuits or ()), cases, drawn, jobs, as_json, scenario, keep, shelf)


@commands.command(epilog="Example: loomwise demo --report demo.pdf")
@answers
def demo(
    report: Annotated[
        str,
        typer.Option(metavar="FILE", help="Write the job's report too, with repair and proof."),
    ] = "",
    paper: Paper = "A4",
    as_json: Json = False,
) -> None:
    """Play a whole job on an invented vehicle, from the complaint to the unit to replace."""
    from loomwise.cli.demo import run

    run(as_json, report, paper)
