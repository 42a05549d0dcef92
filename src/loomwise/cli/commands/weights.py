"""`loomwise weights`: what is likely beforehand."""

from typing import Annotated

import typer

from loomwise.cli.commands.options import JobFile, Json
from loomwise.cli.errors import answers

commands = typer.Typer(
    help="What is likely beforehand: list, count a finished job in, take one out again.",
    rich_markup_mode=None, no_args_is_help=False,
)  # fmt: skip


@commands.callback(epilog="Example: loomwise weights count job.yaml --found 'contact resistive'")
def _weights(context: typer.Context) -> None:
    if context.invoked_subcommand is None:
        weights_list(as_json=False)


@commands.command("list", epilog="Example: loomwise weights list")
@answers
def weights_list(as_json: Json = False) -> None:
    """List the weights of the classes of faults, and the jobs that moved them."""
    from loomwise.cli.weights import run_list

    run_list(as_json)


@commands.command("count", epilog="Example: loomwise weights count job.yaml")
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


@commands.command("forget", epilog="Example: loomwise weights forget job.yaml")
@answers
def weights_forget(job: JobFile, as_json: Json = False) -> None:
    """Take a job out again: the weights are as if it had never been counted."""
    from loomwise.cli.weights import run_forget

    run_forget(job, as_json)
