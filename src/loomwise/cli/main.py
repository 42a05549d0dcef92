"""The `loomwise` command. Commands are declared here; each does its work in its own file.

Nothing but Typer is imported before a command runs, so that --help is quick.
"""

import os
import sys
from io import TextIOWrapper
from typing import Annotated

import typer

from loomwise import __version__
from loomwise.cli.errors import answers, set_debug

# Our matrices are small: more threads of the linear algebra only wait for each other, and on a
# busy machine they wait ten times longer than they compute. Read when numpy is first imported.
for _name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_name, "1")

app = typer.Typer(
    name="loomwise",
    help="A computable model of a vehicle circuit: what is suspected, and what to measure next.",
    epilog="Exit codes: 0 done, 1 the answer is no, 2 bad input, 3 a fault of the program.",
    add_completion=False, no_args_is_help=True, rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)  # fmt: skip

Json = Annotated[bool, typer.Option("--json", help="Print one JSON object (docs/json-output.md).")]
JobFile = Annotated[
    str,
    typer.Argument(
        metavar="JOB",
        help="A job file, the number of a stored job, or a worked job of the shelf.",
        show_default=False,
    ),
]
StoredJob = Annotated[
    int,
    typer.Argument(metavar="JOB", min=1, help="The number of a stored job.", show_default=False),
]
Spent = Annotated[float, typer.Option(min=0, metavar="MIN", help="Minutes of testing used so far.")]
Authorised = Annotated[
    float | None,
    typer.Option(
        min=0, metavar="MIN", help="Minutes the customer has authorised.", show_default=False
    ),
]
Paper = Annotated[str, typer.Option(metavar="PAPER", help="A4 or letter.")]
HeadingFile = Annotated[
    str,
    typer.Option(
        "--heading",
        metavar="FILE",
        help="The workshop's heading (YAML); by default the shop's.",
    ),
]
PaperFile = Annotated[
    str,
    typer.Option("--output", "-o", metavar="FILE", help="Write it for paper: a new .pdf or .html."),
]
Source = Annotated[
    str,
    typer.Argument(
        metavar="CIRCUIT", help="A circuit file, or a name on the shelf.", show_default=False
    ),
]


def _version(asked: bool) -> None:
    if asked:
        print(f"loomwise {__version__}")
        raise typer.Exit


@app.callback()
def _options(
    debug: Annotated[
        bool, typer.Option("--debug", help="Show the traceback of a fault of ours.")
    ] = False,
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version.")
    ] = False,
) -> None:
    set_debug(debug)


@app.command(epilog="Example: loomwise check fans.yaml")
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


@app.command(epilog="Example: loomwise kinds relay")
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


@app.command(
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
            "--with", metavar="INSTRUMENT", help="voltmeter, test-lamp, ohmmeter or clamp."
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


@app.command(epilog="Example: loomwise how radiator-fans M1")
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


@app.command(epilog='Example: loomwise sheet horn --setup "horn=pressed"')
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


@app.command(epilog="Example: loomwise compare maker.yaml redrawn.yaml")
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


@app.command(epilog="Example: loomwise rank job.yaml")
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


@app.command("next", epilog="Example: loomwise next job.yaml --most 3")
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


@app.command(epilog='Example: loomwise proof job.yaml --repaired "fuse box" --answer P1=slow')
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


@app.command(epilog='Example: loomwise report job.yaml -o report.pdf --repaired "fuse box"')
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


@app.command(
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
    as_json: Json = False,
) -> None:
    """Draw a circuit as SVG: feeds at the top, grounds below; print it or write a file."""
    from loomwise.cli.draw import run
    from loomwise.usecases.draw import Drawing

    marked = tuple((place, str(number)) for number, place in enumerate(probe or (), 1))
    wanted = Drawing(setup, tuple(undo or ()), (), tuple(fault or ()), view, load, grey, marked)
    run(circuit, wanted, output, as_json)


@app.command(epilog='Example: loomwise wire 12A 4m --drop "0.3 V" --bundle 6 --temperature "60 C"')
@answers
def wire(
    current: Annotated[
        str, typer.Argument(metavar="AMPS", help="Current for good.", show_default=False)
    ],
    length: Annotated[
        str,
        typer.Argument(
            metavar="LENGTH",
            help="All the wire it goes through, there and, where that is a wire too, back.",
            show_default=False,
        ),
    ],
    supply: Annotated[str, typer.Option(metavar="VOLTS", help="12, 24 or 48 V.")] = "12 V",
    drop: Annotated[
        str, typer.Option(metavar="SHARE", help="What may be lost: '3 %' or '0.3 V'.")
    ] = "3 %",
    size: Annotated[
        str, typer.Option(metavar="SIZE", help="Judge this wire: '2.5 mm2' or '14 AWG'.")
    ] = "",
    fuse: Annotated[str, typer.Option(metavar="AMPS", help="Judge this fuse on it.")] = "",
    bundle: Annotated[
        int, typer.Option(metavar="NUMBER", help="Wires together that carry current at once.")
    ] = 1,
    temperature: Annotated[
        str, typer.Option(metavar="DEGREES", help="Air around it; in an engine bay 80 C or more.")
    ] = "30 C",
    insulation: Annotated[
        str, typer.Option(metavar="DEGREES", help="What its insulation stands.")
    ] = "100 C",
    awg: Annotated[bool, typer.Option("--awg", help="Choose among American gauges.")] = False,
    as_json: Json = False,
) -> None:
    """Size a wire and its fuse for current, length, drop, bundle and heat, or judge a given wire.

    Exit 1 if no usual wire does it, or the given one does not.
    """
    from loomwise.cli.wire import Wanted, run

    wanted = Wanted(current, length, supply, drop, bundle, temperature, insulation, size, fuse, awg)
    run(wanted, as_json)


@app.command(
    "standing-draw",
    epilog="Example: loomwise standing-draw --clamp '0.45 A after 45 min'"
    " --fuse 'F12 10 A 2.9 mV feeds radio' --fuse 'F3 15 A 0.1 mV' --battery '70 Ah'",
)
@answers
def standing_draw(
    file: Annotated[
        str | None,
        typer.Argument(
            metavar="FILE", help="Readings in YAML, or fuses in CSV.", show_default=False
        ),
    ] = None,
    clamp: Annotated[
        list[str] | None,
        typer.Option(
            metavar="READING",
            help="Whole current at the battery, '0.45 A after 40 min'. Repeatable, first first.",
        ),
    ] = None,
    fuse: Annotated[
        list[str] | None,
        typer.Option(
            metavar="READING",
            help="'F12 10 A 2.1 mV mini behind F1 feeds radio': rating, drop; the rest if you"
            " like. Repeatable.",
        ),
    ] = None,
    battery: Annotated[str, typer.Option(metavar="AH", help="Capacity, '70 Ah'.")] = "",
    charge: Annotated[str, typer.Option(metavar="SHARE", help="Its charge now, '80 %'.")] = "",
    allowed: Annotated[
        str, typer.Option(metavar="AMPS", help="What is usual asleep; 50 mA unless told.")
    ] = "",
    asleep: Annotated[
        str, typer.Option(metavar="MIN", help="How long it takes to sleep; 40 min unless told.")
    ] = "",
    as_json: Json = False,
) -> None:
    """Find what empties the battery: from clamp current and millivolts across fuses to the branch.

    Exit 1 if no branch can be named: not asleep yet, a draw past all fuses, readings at odds.
    """
    from loomwise.cli.standing_draw import Words, run

    words = Words(tuple(clamp or ()), tuple(fuse or ()), battery, charge, allowed, asleep)
    run(words, file or "", as_json)


@app.command(epilog="Example: loomwise generate --parts 40 --seed 3 -o invented.yaml")
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


shelf = typer.Typer(
    help="The circuits at hand, and worked jobs on each: list, jobs, show, copy.",
    rich_markup_mode=None, no_args_is_help=False,
)  # fmt: skip
app.add_typer(shelf, name="shelf", invoke_without_command=True)
ShelfName = Annotated[
    str, typer.Argument(metavar="NAME", help="A circuit at hand, or a worked job: horn/silent.")
]


@shelf.callback(epilog="Example: loomwise shelf copy horn my-horn.yaml")
def _shelf(context: typer.Context) -> None:
    if context.invoked_subcommand is None:
        shelf_list(as_json=False)


@shelf.command("list", epilog="Example: loomwise shelf list")
@answers
def shelf_list(as_json: Json = False) -> None:
    """List the circuits at hand."""
    from loomwise.cli.shelf import run_list

    run_list(as_json)


@shelf.command("jobs", epilog="Example: loomwise shelf jobs horn")
@answers
def shelf_jobs(
    name: Annotated[str, typer.Argument(metavar="NAME", help="A circuit at hand.")],
    as_json: Json = False,
) -> None:
    """List the worked jobs on a circuit: the complaint, and how each ended.

    Every command that takes a job takes their names too: rank horn/silent.
    """
    from loomwise.cli.shelf import run_jobs

    run_jobs(name, as_json)


@shelf.command("show", epilog="Example: loomwise shelf show horn/silent")
@answers
def shelf_show(name: ShelfName, as_json: Json = False) -> None:
    """Print the file of a circuit or of a worked job."""
    from loomwise.cli.shelf import run_show

    run_show(name, as_json)


@shelf.command("copy", epilog="Example: loomwise shelf copy horn/silent job.yaml")
@answers
def shelf_copy(
    name: ShelfName,
    file: Annotated[str, typer.Argument(metavar="FILE", help="The new file.")],
    as_json: Json = False,
) -> None:
    """Copy a circuit or a worked job to a file of your own."""
    from loomwise.cli.shelf import run_copy

    run_copy(name, file, as_json)


weights = typer.Typer(
    help="What is likely beforehand: list, count a finished job in, take one out again.",
    rich_markup_mode=None, no_args_is_help=False,
)  # fmt: skip
app.add_typer(weights, name="weights", invoke_without_command=True)


@weights.callback(epilog="Example: loomwise weights count job.yaml --found 'contact resistive'")
def _weights(context: typer.Context) -> None:
    if context.invoked_subcommand is None:
        weights_list(as_json=False)


@weights.command("list", epilog="Example: loomwise weights list")
@answers
def weights_list(as_json: Json = False) -> None:
    """List the weights of the classes of faults, and the jobs that moved them."""
    from loomwise.cli.weights import run_list

    run_list(as_json)


@weights.command("count", epilog="Example: loomwise weights count job.yaml")
@answers
def weights_count(
    job: JobFile,
    found: Annotated[
        str,
        typer.Option(metavar="CLASS", help="What was found; without it, what the job proves."),
    ] = "",
    as_json: Json = False,
) -> None:
    """Count a finished job in: what was found becomes a little likelier from now on."""
    from loomwise.cli.weights import run_count

    run_count(job, found, as_json)


@weights.command("forget", epilog="Example: loomwise weights forget job.yaml")
@answers
def weights_forget(job: JobFile, as_json: Json = False) -> None:
    """Take a job out again: the weights are as if it had never been counted."""
    from loomwise.cli.weights import run_forget

    run_forget(job, as_json)


practice = typer.Typer(
    help="Practise on a vehicle with a hidden fault: start, ask, decide, show, list.",
    rich_markup_mode=None, no_args_is_help=True,
)  # fmt: skip
app.add_typer(practice, name="practice")
PracticeNumber = Annotated[
    int, typer.Argument(metavar="N", min=1, help="The number of a practice.", show_default=False)
]
Person = Annotated[str, typer.Option("--person", metavar="NAME", help="Who practises.")]


@practice.command("start", epilog="Example: loomwise practice start horn --difficulty middling")
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


@practice.command(
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


@practice.command("decide", epilog="Example: loomwise practice decide 7 'fuse box'")
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


@practice.command("show", epilog="Example: loomwise practice show 7")
@answers
def practice_show(number: PracticeNumber, as_json: Json = False) -> None:
    """Show a practice as it stands, or how it ended."""
    from loomwise.cli.practice import run_show

    run_show(number, as_json)


@practice.command("list", epilog="Example: loomwise practice list --person Kim")
@answers
def practice_list(person: Person = "", as_json: Json = False) -> None:
    """List what was practised, and how it went beside the advised paths."""
    from loomwise.cli.practice import run_list

    run_list(person, as_json)


@app.command(epilog="Example: loomwise study horn --cases 100 --seed 1")
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


@app.command(epilog="Example: loomwise serve --no-browser --port 8460")
@answers
def serve(
    port: Annotated[
        int, typer.Option(min=0, max=65535, metavar="NUMBER", help="Port; 0: any that is free.")
    ] = 8460,
    browser: Annotated[
        bool, typer.Option("--browser/--no-browser", help="Open the pages in a browser.")
    ] = True,
) -> None:
    """Serve the pages on this machine, and open them in a browser."""
    from loomwise.cli.serve import run

    run(port, browser)


@app.command(
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


@app.command(epilog="Example: loomwise reopen 12 'the horn is silent again' --comeback")
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


@app.command(epilog="Example: loomwise similar 12")
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


@app.command(epilog="Example: loomwise figures -o figures.svg")
@answers
def figures(
    output: Annotated[
        str, typer.Option("--output", "-o", metavar="FILE", help="Write plots: a new SVG file.")
    ] = "",
    as_json: Json = False,
) -> None:
    """Show the shop's figures by month: jobs closed, testing minutes, share proven, comebacks."""
    from loomwise.cli.memory import run_figures

    run_figures(output, as_json)


@app.command(epilog="Example: loomwise record drive.csv 12 --name 'Fan demand=ECU.LOW' --at 31.5")
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
    from loomwise.usecases.record_file import Asked

    run(file, job, Asked(time, tuple(name or ()), tuple(value or ()), at, look), as_json)


NewFile = Annotated[str, typer.Argument(metavar="FILE", help="The new file.", show_default=False)]
OurFile = Annotated[
    str, typer.Argument(metavar="FILE", help="The file to read.", show_default=False)
]


@app.command(epilog="Example: loomwise export 12 -o job-12.loomwise")
@answers
def export(
    job: Annotated[
        int, typer.Argument(metavar="JOB", help="The number of a stored job.", show_default=False)
    ],
    output: Annotated[str, typer.Option("--output", "-o", metavar="FILE", help="The new file.")],
    as_json: Json = False,
) -> None:
    """Write a stored job to one file, with its circuit, photographs and whole record."""
    from loomwise.cli.store import run_export

    run_export(job, output, as_json)


@app.command("import", epilog="Example: loomwise import job-12.loomwise")
@answers
def import_(file: OurFile, as_json: Json = False) -> None:
    """Read an exported job, or a job file in YAML, into the store; what is there stays."""
    from loomwise.cli.store import run_import

    run_import(file, as_json)


@app.command(epilog="Example: loomwise backup shop.loomwise")
@answers
def backup(file: NewFile, as_json: Json = False) -> None:
    """Write all jobs of the store to one file."""
    from loomwise.cli.store import run_backup

    run_backup(file, as_json)


@app.command(epilog="Example: loomwise restore shop.loomwise")
@answers
def restore(file: OurFile, as_json: Json = False) -> None:
    """Read a backup into the store: what is missing is added, nothing is overwritten."""
    from loomwise.cli.store import run_restore

    run_restore(file, as_json)


@app.command(epilog="Example: loomwise demo --report demo.pdf")
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


def main() -> None:
    """The console script."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="replace")  # an old terminal may have no Ω
    app()
