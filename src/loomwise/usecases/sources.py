"""Use cases by the name of a file or a circuit on the shelf."""

from loomwise.usecases.check_files import refuse_unsolvable
from loomwise.usecases.draw import Drawing, Drawn, draw_to
from loomwise.usecases.faults_of import FaultList, list_faults
from loomwise.usecases.files import find_circuit, is_file_name
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


def draw_source(source: str, wanted: Drawing, file: str = "") -> Drawn:
    """``draw_to`` for a file or a circuit on the shelf; a circuit shorted as drawn is refused."""
    circuit = find_circuit(source)
    if is_file_name(source):
        refuse_unsolvable(circuit, source)
    return draw_to(circuit, wanted, file)
