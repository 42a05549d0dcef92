"""Separate metals: body, engine, frame and trailer, and paths between them that nobody drew."""

from loomwise.advice.expert import make_expert
from loomwise.diagnosis.redrawn import redrawn
from loomwise.edits import Open
from loomwise.evidence import Sign
from loomwise.setups import make_setup
from loomwise.shelf import read_shelf
from tests.contract.examples import example
from tests.solver.bench import solve

CIRCUIT = "starting and charging"


def test_every_pair_of_metals_may_be_joined() -> None:
    """Engine and body are two metals: a cable between them is a doubt of the drawing; a circuit
    with the body alone has none."""
    names = {f.doubt for f in redrawn(example(CIRCUIT))}
    assert {n for n in names if n.startswith("body and engine")}
    assert not [f for f in redrawn(read_shelf("horn")) if " and " in f.doubt]


def test_a_cable_carries_what_the_strap_should() -> None:
    """With the engine's strap off and a cable nobody drew, the starter still turns, slower."""
    circuit = example(CIRCUIT)
    strap = Open("G2.4-G1.1")
    cable = next(f for f in redrawn(circuit) if f.doubt == "body and engine 0.03")
    alone, with_it = (solve(circuit, "key=start", e)[0] for e in ([strap], [strap, *cable.edits]))
    assert alone.loads["M1"] == "off"
    assert with_it.voltages_v["G2.1"] < alone.voltages_v["G2.1"]


def test_the_ranking_knows_of_the_path() -> None:
    """A doubt like any other: it has a share, and no unit to repair."""
    expert = make_expert(example(CIRCUIT))
    sign = Sign("s1", make_setup(expert.circuit), "L1", "bright", "yes")
    ranking = expert.judge.fresh().rank([sign])
    assert any(name.startswith("body and engine") for name in ranking.doubted)
