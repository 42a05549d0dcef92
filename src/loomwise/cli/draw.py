"""`loomwise draw`."""

from loomwise.cli.show import print_json
from loomwise.usecases.draw import Drawing
from loomwise.usecases.sources import draw_source


def run(source: str, wanted: Drawing, file: str, as_json: bool) -> None:
    """Print the drawing of a circuit, or write it to a new file."""
    drawn = draw_source(source, wanted, file)
    if as_json:
        print_json(drawn)
    elif drawn.file:
        print(f"{drawn.circuit}, drawn by {drawn.view}, is now in {drawn.file}")
    else:
        print(drawn.text, end="")
