"""Commands that take a job through: suspects, tests, proof, report, end."""

from typing import Annotated

import typer

from loomwise.cli.commands.options import (
    Authorised,
    HeadingFile,
    JobFile,
    Json,
    Paper,
    PaperFile,
    Spent,
    StoredJob,
)
from loomwise.cli.errors import answers

commands = typer.Typer()


@commands.command(epilog="Example: loomwise rank job.yaml")
@answers
def rank(
    job: JobFile, spent: Spent = 0.0, authorised: Authorised = None, as_json: Json = False
) -> None:
    """Rank the suspects of a job: units, doubts, and the evidence for and against.

    Exit 1 if nothing in the circuit explains what was seen and read.
    """
    from loomwise.cli.rank import run
    from loomwise.usecases.rank import Time

    run(job, Time(spent, authorised), as_json)


@commands.command("next", epilog="Example: loomwise next job.yaml --most 3")
@answers
def next_(
    job: JobFile,
    most: Annotated[
        int, typer.Option(min=1, max=20, metavar="NUMBER", help="How many tests to propose.")
    ] = 1,
    plan: Annotated[
        bool, typer.Option("--plan", help="Print the tree of tests from here, for paper.")
    ] = False,
    drawing: Annotated[
        bool,
        typer.Option("--drawing", help="Tests that tell what the drawing has wrong, if anything."),
    ] = False,
    spent: Spent = 0.0,
    authorised: Authorised = None,
    output: PaperFile = "",
    paper: Paper = "A4",
    heading: HeadingFile = "",
    as_json: Json = False,
) -> None:
    """Propose the next test of a job: what to set, where to probe, what each suspect predicts.

    Exit 1 if no test is worth its time.
    """
    from loomwise.cli.next import run, run_plan, run_plan_paper
    from loomwise.errors import InputError
    from loomwise.usecases.paper import Output
    from loomwise.usecases.rank import PLAN_LEAVES, Time

    if output and not plan:
        raise InputError("only the plan is written to a file", output, "add --plan")
    if output:
        run_plan_paper(job, Time(spent, authorised), Output(output, paper, heading), as_json)
    elif plan:
        run_plan(job, PLAN_LEAVES, Time(spent, authorised), as_json)
    else:
        run(job, most, Time(spent, authorised), drawing, as_json)


@commands.command(epilog='Example: loomwise proof job.yaml --repaired "fuse box" --answer P1=slow')
@answers
def proof(
    job: JobFile,
    repaired: Annotated[
        list[str],
        typer.Option(metavar="UNIT", help="What was repaired. Repeatable.", show_default=False),
    ],
    answer: Annotated[
        list[str] | None,
        typer.Option(
            metavar="CHECK=SHOWN", help="What a check showed: P1=slow, P2=12.4 V. Repeatable."
        ),
    ] = None,
    as_json: Json = False,
) -> None:
    """Plan the proof after a repair: the fewest checks that show it if a fault were still there.

    With answers: exit 1 if the repair is not proven by them.
    """
    from loomwise.cli.proof import run

    run(job, tuple(repaired), tuple(answer or ()), as_json)


@commands.command(epilog='Example: loomwise report job.yaml -o report.pdf --repaired "fuse box"')
@answers
def report(
    job: JobFile,
    output: Annotated[
        str, typer.Option("--output", "-o", metavar="FILE", help="The new file, .pdf or .html.")
    ],
    paper: Paper = "A4",
    heading: HeadingFile = "",
    repaired: Annotated[
        list[str] | None,
        typer.Option(metavar="UNIT", help="What was repaired, in order. Repeatable."),
    ] = None,
    done: Annotated[
        str, typer.Option(metavar="WORDS", help="What was done, in your own words.")
    ] = "",
    answer: Annotated[
        list[str] | None,
        typer.Option(metavar="CHECK=SHOWN", help="What a check showed, as in proof. Repeatable."),
    ] = None,
    photo: Annotated[
        list[str] | None,
        typer.Option(metavar="FILE[=CAPTION]", help="A photograph. Repeatable."),
    ] = None,
    prices: Annotated[bool, typer.Option("--prices", help="With part, labour and sum.")] = False,
    sign: Annotated[bool, typer.Option("--sign", help="With lines to sign on.")] = False,
    grey: Annotated[bool, typer.Option("--grey", help="The drawing without colour.")] = False,
    as_json: Json = False,
) -> None:
    """Write a job up for customer, insurer and the next technician: cause, evidence, repair, proof.

    The same job gives the same bytes.
    """
    from loomwise.cli.report import run
    from loomwise.usecases.report import ReportWanted, Wanted

    wanted = ReportWanted(
        output, paper, heading, tuple(repaired or ()), done, tuple(answer or ()),
        tuple(photo or ()), Wanted(prices, sign, grey),
    )  # fmt: skip
    run(job, wanted, as_json)


@commands.command(
    epilog="Example: loomwise record drive.csv 12 --name 'Fan demand=ECU.LOW' --at 31.5"
)
@answers
def record(
    file: Annotated[
        str,
        typer.Argument(
            metavar="FILE",
            help="Live data as CSV: time, name, value, or a column for each name.",
            show_default=False,
        ),
    ],
    job: StoredJob,
    name: Annotated[
        list[str] | None,
        typer.Option(
            metavar="COLUMN=PIN",
            help="What a name of the file is: 'Fan demand=ECU.LOW';"
            " nothing behind '=' to leave it out. Remembered. Repeatable.",
        ),
    ] = None,
    value: Annotated[
        list[str] | None,
        typer.Option(
            metavar="COLUMN:VALUE=WORD",
            help="What a value means: 'Coolant:below 60=cold'"
            ", 'Coolant:else=hot'. Remembered. Repeatable.",
        ),
    ] = None,
    time: Annotated[
        str, typer.Option(metavar="COLUMN", help="Which column holds the times. Remembered.")
    ] = "",
    at: Annotated[
        float | None,
        typer.Option(min=0, metavar="SECONDS", help="The moment that counts, from the start."),
    ] = None,
    look: Annotated[
        bool, typer.Option("--look", help="Only show what the file holds; enter nothing.")
    ] = False,
    as_json: Json = False,
) -> None:
    """Read a record of live data from elsewhere as signs of a job's modules, as it stands.

    Exit 1 if no sign could be entered.
    """
    from loomwise.cli.record import run
    from loomwise.usecases.record_match import asked_in_words

    run(file, job, asked_in_words(time, name or (), value or (), at, look), as_json)


@commands.command(
    epilog="Example: loomwise close 12 --repaired 'fuse box' --answer P1=slow --answer 'P2=12.4 V'"
)
@answers
def close(
    job: StoredJob,
    repaired: Annotated[
        list[str] | None,
        typer.Option(metavar="UNIT", help="What was repaired; it is kept. Repeatable."),
    ] = None,
    answer: Annotated[
        list[str] | None,
        typer.Option(metavar="CHECK=SHOWN", help="What a check showed; it is kept. Repeatable."),
    ] = None,
    unproven: Annotated[
        str, typer.Option(metavar="REASON", help="Close it without its proof, for this reason.")
    ] = "",
    look: Annotated[
        bool, typer.Option("--look", help="Only say what is still missing; do not close it.")
    ] = False,
    as_json: Json = False,
) -> None:
    """Close a stored job: as proven with its proof passed, otherwise as unproven with the reason.

    Nothing is closed while something is still to be put back. A proven job moves the weights.
    """
    from loomwise.cli.close import run_close

    run_close(job, tuple(repaired or ()), tuple(answer or ()), unproven, look, as_json)


@commands.command(epilog="Example: loomwise reopen 12 'the horn is silent again' --comeback")
@answers
def reopen(
    job: StoredJob,
    reason: Annotated[str, typer.Argument(metavar="REASON", help="Why it is opened again.")],
    comeback: Annotated[
        bool, typer.Option("--comeback", help="The vehicle came back with its complaint.")
    ] = False,
    as_json: Json = False,
) -> None:
    """Open a closed job again; what it had taught the weights is taken back."""
    from loomwise.cli.close import run_reopen

    run_reopen(job, reason, comeback, as_json)


@commands.command(epilog="Example: loomwise similar 12")
@answers
def similar(
    job: JobFile,
    most: Annotated[
        int, typer.Option(min=1, max=100, metavar="NUMBER", help="How many to show.")
    ] = 10,
    as_json: Json = False,
) -> None:
    """Show earlier jobs on the same circuit, by the signs they share, and how they ended."""
    from loomwise.cli.memory import run_similar

    run_similar(job, most, as_json)
