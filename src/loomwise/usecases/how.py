"""How a circuit works, for a file or a circuit on the shelf."""

from loomwise.advice.expert import all_setups
from loomwise.circuit.explain import nearest
from loomwise.circuit.model import Circuit
from loomwise.errors import InputError
from loomwise.explain import Explanation, LoadExplained, explain
from loomwise.explain.explanation import Cause, Run, Step
from loomwise.explain.say import STATE_WORDS, amps_flow, grouped, memory, surprises, told_once
from loomwise.solver.result import loads, plant_of
from loomwise.usecases.check_files import refuse_unsolvable
from loomwise.usecases.faults_of import faults_of
from loomwise.usecases.files import find_circuit, is_file_name

__all__ = [
    "STATE_WORDS",    "Cause", "Explanation", "LoadExplained", "Run", "Step",
    "amps_flow", "grouped", "how_circuit", "how_source", "memory", "surprises", "told_once",
]  # fmt: skip


def how_source(source: str, load: str | None = None) -> Explanation:
    """How the circuit works: all its loads, or the one named.

    Raises
    ------
    InputError : a file that cannot be read, or no such load.
    SolveError : the circuit has no solution.
    """
    circuit = find_circuit(source)
    if is_file_name(source):
        refuse_unsolvable(circuit, source)
    return how_circuit(circuit, load)


def how_circuit(circuit: Circuit, load: str | None = None) -> Explanation:
    """The same for a circuit that has been read.

    Raises
    ------
    InputError : no such load.
    """
    wanted = () if load is None else (_known(circuit, load),)
    plant = plant_of(circuit)
    return explain(circuit, plant, all_setups(circuit), faults_of(circuit, plant), wanted)


def _known(circuit: Circuit, load: str) -> str:
    names = [p.id for p in loads(circuit)]
    if load in names:
        return load
    if load in circuit.parts:
        what = f"{load} is a {circuit.parts[load].kind}, and `how` tells of loads"
        raise InputError(what, "load", f"the loads are {', '.join(names) or 'none'}")
    raise InputError(f"there is no load '{load[:40]}'", "load", nearest(load, names, "loads"))
