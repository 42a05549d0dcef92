"""Where symbols stand on the drawing is kept in the circuit file."""

import pytest

from loomwise.circuit.move import with_position
from loomwise.circuit.reader import read_circuit
from loomwise.errors import FileError, InputError
from tests.drawing.sheets import LAMP


def test_the_first_move_makes_the_section() -> None:
    """A file that has no positions gets them at its end; the rest stays as it is."""
    text = with_position(LAMP, "E1", 120.4, 300)
    assert text.startswith(LAMP.rstrip())
    assert read_circuit(text, "lamp").positions == {"E1": (120, 300)}


def test_more_moves_and_the_same_again() -> None:
    """Another symbol gets its own line, and one that is moved again keeps only the last place."""
    text = with_position(with_position(LAMP, "E1", 120, 300), "S1", 10, 20)
    text = with_position(text, "E1", 140, 310)
    assert read_circuit(text, "lamp").positions == {"S1": (10, 20), "E1": (140, 310)}
    assert text.count("E1: [") == 1 and "# symbols moved by hand" in text


def test_a_section_in_one_line_is_refused() -> None:
    """What cannot be added to without writing the file anew is told, with the way to write it."""
    with pytest.raises(InputError, match="F1"):
        with_position(f"{LAMP}\npositions: {{E1: [1, 2]}}\n", "F1", 3, 4)


def test_a_part_that_is_not_there_is_told() -> None:
    """A position for a part that the file does not have is a mistake, with its line."""
    with pytest.raises(FileError, match="no part E9"):
        read_circuit(f"{LAMP}\npositions:\n  E9: [1, 2]\n", "lamp")


@pytest.mark.parametrize("spot", ["[1]", "[1, 2, 3]", "[a, 2]", "[-5, 2]", "here"])
def test_a_position_is_two_numbers(spot: str) -> None:
    """Anything else is told with its line."""
    with pytest.raises(FileError, match="line 28"):
        read_circuit(f"{LAMP}\npositions:\n  E1: {spot}\n", "lamp")
