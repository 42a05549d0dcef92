"""`loomwise shelf`: the circuits at hand."""

from typing import Annotated

import typer

from loomwise.cli.commands.options import Json
from loomwise.cli.errors import answers

commands = typer.Typer(
    help="The circuits at hand, and worked jobs on each: list, jobs, show, copy.",
    rich_markup_mode=None, no_args_is_help=False,
)  # fmt: skip


ShelfName = Annotated[
    str, typer.Argument(metavar="NAME", help="A circuit at hand, or a worked job: horn/silent.")
]


@commands.callback(epilog="Example: loomwise shelf copy horn my-horn.yaml")
def _shelf(context: typer.Context) -> None:
    if context.invoked_subcommand is None:
        shelf_list(as_json=False)


@commands.command("list", epilog="Example: loomwise shelf list")
@answers
def shelf_list(as_json: Json = False) -> None:
    """List the circuits at hand."""
    from loomwise.cli.shelf import run_list

    run_list(as_json)


@commands.command("jobs", epilog="Example: loomwise shelf jobs horn")
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


@commands.command("show", epilog="Example: loomwise shelf show horn/silent")
@answers
def shelf_show(name: ShelfName, as_json: Json = False) -> None:
    """Print the file of a circuit or of a worked job."""
    from loomwise.cli.shelf import run_show

    run_show(name, as_json)


@commands.command("copy", epilog="Example: loomwise shelf copy horn/silent job.yaml")
@answers
def shelf_copy(
    name: ShelfName,
    file: Annotated[str, typer.Argument(metavar="FILE", help="The new file.")],
    as_json: Json = False,
) -> None:
    """Copy a circuit or a worked job to a file of your own."""
    from loomwise.cli.shelf import run_copy

    run_copy(name, file, as_json)
