"""`loomwise draw`."""

from loomwise.cli.show import print_json
from loomwise.usecases.draw import Drawing
from loomwise.usecases.sources import draw_source


def run(
    source: str, wanted: Drawing, file: str, as_json: bool, moves: tuple[str, ...], write: bool
) -> None:
    """Print the drawing of a circuit, or write it to a new file; or keep what was moved."""
    drawn = draw_source(source, wanted, file, moves, write)
    if as_json:
        print_json(drawn)
        return
    if write:
        print(f"{', '.join(moves)}: kept in {source}")
    if drawn.file:
        print(f"{drawn.circuit}, drawn by {drawn.view}, is now in {drawn.file}")
    elif not write:
        print(drawn.text, end="")
