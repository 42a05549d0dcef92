"""`loomwise generate`."""

from loomwise.cli.show import print_json
from loomwise.usecases.generate import generate


def run(parts: int, seed: int, file: str, as_json: bool) -> None:
    """Print an invented circuit, or write it to a new file."""
    answer = generate(parts, seed, file)
    if as_json:
        print_json(answer)
    elif answer.file:
        print(f"an invented circuit of {parts} parts, seed {seed}, is now in {answer.file}")
    else:
        print(answer.text, end="")
