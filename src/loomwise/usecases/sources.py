"""Use cases by the name of a file or a circuit on the shelf."""

from collections.abc import Sequence

from loomwise.errors import InputError
from loomwise.usecases.check_files import refuse_unsolvable
from loomwise.usecases.draw import Drawing, Drawn, draw_to
from loomwise.usecases.faults_of import FaultList, list_faults
from loomwise.usecases.files import find_circuit, find_job, is_file_name, is_number
from loomwise.usecases.move import parse_move
from loomwise.usecases.move_file import move_in_file, moved_circuit
from loomwise.usecases.new_file import check_new
from loomwise.usecases.predict import Prediction, Question, predict


def predict_source(source: str, question: Question) -> Prediction:
    """``predict`` for a file or a circuit on the shelf; a circuit shorted as drawn is refused."""
    circuit = find_circuit(source)
    if is_file_name(source):
        refuse_unsolvable(circuit, source)
    return predict(circuit, question)


def faults_of_source(source: str) -> FaultList:
    """``list_faults`` for a file or a circuit on the shelf."""
    return list_faults(find_circuit(source))


def draw_source(
    source: str, wanted: Drawing, file: str = "", moves: Sequence[str] = (), write: bool = False
) -> Drawn:
    """``draw_to`` for a file, a circuit on the shelf, or that of a stored job, with symbols moved
    as ``parse_move`` reads it; ``write`` keeps the moves in the file.

    Raises
    ------
    InputError : a circuit shorted as drawn; a move that cannot be, or nothing to write it to.
    """
    circuit = find_job(source).circuit if is_number(source) else find_circuit(source)
    if is_file_name(source):
        refuse_unsolvable(circuit, source)
    if file:
        check_new(file)
    asked = tuple(parse_move(word) for word in moves)
    if write and not asked:
        raise InputError("there is nothing to write", "move", "say a place: --move K1=120,80")
    if write:
        circuit = move_in_file(source, asked)
    return draw_to(circuit if write else moved_circuit(circuit, asked), wanted, file)
