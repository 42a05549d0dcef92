"""Arguments and options that several commands share."""

from typing import Annotated

import typer

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
NewFile = Annotated[str, typer.Argument(metavar="FILE", help="The new file.", show_default=False)]
OurFile = Annotated[
    str, typer.Argument(metavar="FILE", help="The file to read.", show_default=False)
]
