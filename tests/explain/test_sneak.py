"""Ways nobody meant, in any solved circuit and under any fault."""

from loomwise.advice.expert import make_expert
from loomwise.circuit.reader import read_circuit
from loomwise.evidence import Sign
from loomwise.setups import make_setup
from loomwise.shelf import read_shelf
from loomwise.usecases.predict import Question, predict
from loomwise.usecases.sneak import sneaks_of_suspects
from tests.kinds.test_sockets import TRAILER

SNEAK = "Sneak path: L2 has its current through L1, which shows nothing."


def test_a_bad_trailer_ground_is_told_as_a_sneak_path() -> None:
    """The trailer's ground contact open, one lamp glows through the other, and it is said."""
    circuit = read_circuit(TRAILER, "trailer.yaml")
    bad = predict(circuit, Question(faults=("X1.3 open",))).states[0]
    assert SNEAK in bad.sneak_paths
    assert predict(circuit, Question()).states[0].sneak_paths == ()


def test_a_suspect_says_by_which_way_the_current_goes() -> None:
    """Ranked from what the lamps do, the bad ground comes with the way it makes."""
    circuit = read_circuit(TRAILER, "trailer.yaml")
    expert, rest = make_expert(circuit), make_setup(circuit)
    seen = (Sign("s1", rest, "L1", "dark", "yes"), Sign("s2", rest, "L2", "bright", "yes"))
    told = sneaks_of_suspects(expert, seen, expert.judge.fresh().rank(seen))
    assert any(SNEAK in some["text"] for some in told)  # type: ignore[operator]


def test_lamps_that_are_meant_to_share_are_no_sneak_path() -> None:
    """Two fans in series are meant so, and both run."""
    fans = read_shelf("radiator-fans")
    assert predict(fans, Question("key=run, coolant=warm")).states[0].sneak_paths == ()
