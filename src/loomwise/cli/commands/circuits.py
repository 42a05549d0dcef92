"""Commands about a circuit: what is in it, what it does, how it is drawn."""

from typing import Annotated

import typer

from loomwise.cli.commands.options import HeadingFile, Json, Paper, PaperFile, Source
from loomwise.cli.errors import answers

commands = typer.Typer()


@commands.command(epilog="Example: loomwise check fans.yaml")
@answers
def check(
    files: Annotated[
        list[str],
        typer.Argument(metavar="FILE", help="Circuit or job files.", show_default=False),
    ],
    places: Annotated[bool, typer.Option("--places", help="List the places to probe.")] = False,
    as_json: Json = False,
) -> None:
    """Check circuit and job files: every problem, with its line and what would be right."""
    from loomwise.cli.check import run

    run(files, places, as_json)


@commands.command(epilog="Example: loomwise kinds relay")
@answers
def kinds(
    kind: Annotated[
        str | None, typer.Argument(metavar="KIND", help="One kind.", show_default=False)
    ] = None,
    as_json: Json = False,
) -> None:
    """List the part kinds, or one: pins, values with units and defaults, what can break."""
    from loomwise.cli.kinds import run

    run(kind, as_json)


@commands.command(
    epilog='Example: loomwise predict radiator-fans --setup "key=run, AC=on" --at C1.3.a'
    ' --fault "K2 break contact open"'
)
@answers
def predict(
    circuit: Source,
    setup: Annotated[
        str,
        typer.Option(
            metavar="CONTROLS", help="Controls that are not at rest, as in 'key=run, AC=on'."
        ),
    ] = "",
    undo: Annotated[
        list[str] | None,
        typer.Option(
            metavar="WHAT", help="'F1 out', 'C1 apart', 'BAT off' or 'jumper A to B'. Repeatable."
        ),
    ] = None,
    after: Annotated[
        list[str] | None,
        typer.Option(
            metavar="CONTROLS", help="Controls as they stood before. Repeatable, in order."
        ),
    ] = None,
    fault: Annotated[
        list[str] | None,
        typer.Option(
            metavar="FAULT",
            help="A fault by the name --faults gives, with its size if it has several. Repeatable.",
        ),
    ] = None,
    faults: Annotated[bool, typer.Option("--faults", help="List the circuit's faults.")] = False,
    at: Annotated[
        str,
        typer.Option(
            metavar="PLACES", help="PLACE (to battery minus), PLACE,PLACE, or a wire for the clamp."
        ),
    ] = "",
    instrument: Annotated[
        str,
        typer.Option(
            "--with",
            metavar="INSTRUMENT",
            help="voltmeter, test-lamp, ohmmeter, clamp, ripple-meter or duty-meter.",
        ),
    ] = "voltmeter",
    everything: Annotated[
        bool, typer.Option("--all", help="Also places and wires that nobody can reach.")
    ] = False,
    as_json: Json = False,
) -> None:
    """Solve a circuit in a setup: what the loads do, volts, amps, and what a meter shows."""
    from loomwise.cli.predict import Wanted, run

    wanted = Wanted(
        setup, tuple(undo or ()), tuple(after or ()), tuple(fault or ()), at, instrument
    )
    run(circuit, wanted, faults, everything, as_json)


@commands.command(epilog="Example: loomwise how radiator-fans M1")
@answers
def how(
    circuit: Source,
    load: Annotated[
        str | None,
        typer.Argument(metavar="LOAD", help="One load, such as M1.", show_default=False),
    ] = None,
    as_json: Json = False,
) -> None:
    """Explain how a circuit works: what runs each load, by which way, what would start or stop it.

    All of it is read off the solved circuit.
    """
    from loomwise.cli.how import run

    run(circuit, load, as_json)


@commands.command(epilog='Example: loomwise sheet horn --setup "horn=pressed"')
@answers
def sheet(
    circuit: Source,
    setup: Annotated[
        list[str] | None,
        typer.Option(
            metavar="CONTROLS",
            help="Controls that are not at rest, as in 'key=run, AC=on'. Repeatable; by default"
            " one setup for each thing the circuit does.",
        ),
    ] = None,
    undo: Annotated[
        list[str] | None,
        typer.Option(metavar="WHAT", help="What is undone in all of them, as in predict."),
    ] = None,
    output: PaperFile = "",
    paper: Paper = "A4",
    heading: HeadingFile = "",
    as_json: Json = False,
) -> None:
    """Print a test sheet: the volts to expect at every place a probe can reach, setup by setup."""
    from loomwise.cli.sheet import run, run_paper
    from loomwise.usecases.paper import Output

    named, undone = tuple(setup or ()), tuple(undo or ())
    if output:
        run_paper(circuit, named, undone, Output(output, paper, heading), as_json)
    else:
        run(circuit, named, undone, as_json)


@commands.command(epilog="Example: loomwise compare maker.yaml redrawn.yaml")
@answers
def compare(
    first: Annotated[
        str,
        typer.Argument(
            metavar="A", help="A circuit file, or a name on the shelf.", show_default=False
        ),
    ],
    second: Annotated[
        str, typer.Argument(metavar="B", help="Another drawing of it.", show_default=False)
    ],
    as_json: Json = False,
) -> None:
    """Compare two drawings of one circuit, whatever the parts are called in each.

    Exit 1 if more than names differs.
    """
    from loomwise.cli.compare import run

    run(first, second, as_json)


@commands.command(
    epilog="Example: loomwise draw radiator-fans -o fans.svg --view voltage --setup key=run"
)
@answers
def draw(
    circuit: Source,
    output: Annotated[
        str, typer.Option("--output", "-o", metavar="FILE", help="The new SVG file.")
    ] = "",
    setup: Annotated[
        str, typer.Option(metavar="CONTROLS", help="Controls that are not at rest.")
    ] = "",
    undo: Annotated[
        list[str] | None,
        typer.Option(metavar="WHAT", help="'F1 out', 'C1 apart' and so on. Repeatable."),
    ] = None,
    fault: Annotated[
        list[str] | None,
        typer.Option(metavar="FAULT", help="Put in and mark a fault, as in predict. Repeatable."),
    ] = None,
    view: Annotated[
        str, typer.Option(metavar="VIEW", help="insulation: colours of the wires; or voltage.")
    ] = "insulation",
    load: Annotated[
        str, typer.Option(metavar="LOAD", help="Draw one load's part of a large circuit.")
    ] = "",
    probe: Annotated[
        list[str] | None, typer.Option(metavar="PLACE", help="Mark a place. Repeatable.")
    ] = None,
    grey: Annotated[bool, typer.Option("--grey", help="Without colour, for printing.")] = False,
    move: Annotated[
        list[str] | None,
        typer.Option(
            metavar="PART=X,Y",
            help="Put a symbol's left upper corner there, in pixels; K1=back takes it back."
            " Repeatable.",
        ),
    ] = None,
    write: Annotated[
        bool, typer.Option("--write", help="Keep what was moved in the circuit file.")
    ] = False,
    as_json: Json = False,
) -> None:
    """Draw a circuit as SVG: feeds at the top, grounds below; print it or write a file.

    A stored job's number draws its circuit. Room is made for a symbol that is moved, so that
    nothing lies on anything else.
    """
    from loomwise.cli.draw import run
    from loomwise.usecases.draw import Drawing

    marked = tuple((place, str(number)) for number, place in enumerate(probe or (), 1))
    wanted = Drawing(setup, tuple(undo or ()), (), tuple(fault or ()), view, load, grey, marked)
    run(circuit, wanted, output, as_json, tuple(move or ()), write)


@commands.command(epilog="Example: loomwise generate --parts 40 --seed 3 -o invented.yaml")
@answers
def generate(
    parts: Annotated[
        int, typer.Option(metavar="NUMBER", help="Parts of the circuit, 8 to 600.")
    ] = 40,
    seed: Annotated[int, typer.Option(metavar="NUMBER", help="Start of the random numbers.")] = 1,
    output: Annotated[
        str, typer.Option("--output", "-o", metavar="FILE", help="The new file.")
    ] = "",
    as_json: Json = False,
) -> None:
    """Invent a circuit of any size, for practice and for measurements; print it or write a file."""
    from loomwise.cli.generate import run

    run(parts, seed, output, as_json)
