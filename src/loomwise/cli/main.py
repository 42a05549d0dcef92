"""The `loomwise` command: its groups of commands put together.

Nothing but Typer is imported before a command runs, so that --help is quick.
"""

import os
import sys
from io import TextIOWrapper
from typing import Annotated

import typer

from loomwise import __version__
from loomwise.cli.commands import circuits, jobs, measure, practice, shelf, shop, tools, weights
from loomwise.cli.errors import set_debug
from loomwise.cli.listing import Listed

# Our matrices are small: more threads of the linear algebra only wait for each other, and on a
# busy machine they wait ten times longer than they compute. Read when numpy is first imported.
for _name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_name, "1")

app = typer.Typer(
    name="loomwise", cls=Listed,
    help="A computable model of a vehicle circuit: what is suspected, and what to measure next.",
    epilog="Exit codes: 0 done, 1 the answer is no, 2 bad input, 3 a fault of the program.",
    add_completion=False, no_args_is_help=True, rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)  # fmt: skip


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


for _group in (circuits, jobs, tools, shop, measure):
    app.add_typer(_group.commands)
for _name, _group in (("shelf", shelf), ("weights", weights)):
    app.add_typer(_group.commands, name=_name, invoke_without_command=True, cls=Listed)
app.add_typer(practice.commands, name="practice", cls=Listed)


def main() -> None:
    """The console script."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="replace")  # an old terminal may have no Ω
    app()
