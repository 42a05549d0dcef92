"""Commands for the shop as a whole: pages, figures, files of the store."""

from typing import Annotated

import typer

from loomwise.cli.commands.options import Json, NewFile, OurFile
from loomwise.cli.errors import answers

commands = typer.Typer()


@commands.command(epilog="Example: loomwise serve --no-browser --port 8460")
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


@commands.command(epilog="Example: loomwise figures -o figures.svg")
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


@commands.command(epilog="Example: loomwise export 12 -o job-12.loomwise")
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


@commands.command("import", epilog="Example: loomwise import job-12.loomwise")
@answers
def import_(file: OurFile, as_json: Json = False) -> None:
    """Read an exported job, or a job file in YAML, into the store; what is there stays."""
    from loomwise.cli.store import run_import

    run_import(file, as_json)


@commands.command(epilog="Example: loomwise backup shop.loomwise")
@answers
def backup(file: NewFile, as_json: Json = False) -> None:
    """Write all jobs of the store to one file."""
    from loomwise.cli.store import run_backup

    run_backup(file, as_json)


@commands.command(epilog="Example: loomwise restore shop.loomwise")
@answers
def restore(file: OurFile, as_json: Json = False) -> None:
    """Read a backup into the store: what is missing is added, nothing is overwritten."""
    from loomwise.cli.store import run_restore

    run_restore(file, as_json)
