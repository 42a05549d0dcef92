"""`loomwise shelf`."""

from loomwise.cli.show import print_json, table
from loomwise.usecases.shelf import copy_shelf, list_shelf, show_shelf


def run_list(as_json: bool) -> None:
    """The circuits at hand, in a table."""
    answer = list_shelf()
    if as_json:
        print_json(answer)
        return
    rows = [(c.name, c.title, str(c.parts), str(c.wires), str(c.places)) for c in answer.circuits]
    table(("name", "circuit", "parts", "wires", "places"), rows, right=[2, 3, 4])


def run_show(name: str, as_json: bool) -> None:
    """The file of a circuit, as it is."""
    answer = show_shelf(name)
    if as_json:
        print_json(answer)
    else:
        print(answer.text, end="")


def run_copy(name: str, file: str, as_json: bool) -> None:
    """A circuit written to a new file."""
    answer = copy_shelf(name, file)
    if as_json:
        print_json(answer)
    else:
        print(f"{answer.name} is now in {answer.file}")
