"""Steps of repairs by what the unit is."""

import pytest

from loomwise.circuit.model import Circuit
from loomwise.report.repair import BACK, MAKER, OFF, Load, repair_of
from loomwise.shelf import read_shelf, shelf_names


@pytest.fixture(scope="module")
def horn() -> Circuit:
    """The horn circuit."""
    return read_shelf("horn")


def test_a_wire_is_let_in_anew_with_its_own_size(horn: Circuit) -> None:
    """The new piece has the wire's size and colour, and each splice is crimped and sealed."""
    found = repair_of(horn, "wire C1.3-C3.1", Load(5.0, "horn pressed", "F4", 15.0))
    steps = " ".join(found.steps)
    assert "BKVT 1.5 mm²" in steps and "Crimp" in steps and "seal" in steps
    figures = dict(found.wire)
    assert figures["Size, length"] == "1.5 mm², 1.3 m"
    assert figures["Fuse before it"] == "F4, 15 A" and figures["Largest fuse"] != ""


def test_a_fuse_too_large_for_the_wire_is_said(horn: Circuit) -> None:
    """A 15 A fuse on 1.5 mm² is right; 60 A on it is told as no protection."""
    large = dict(repair_of(horn, "wire C1.3-C3.1", Load(5.0, "", "F4", 60.0)).wire)
    assert "does not protect" in large["Judgement"]


def test_a_blown_fuse_is_an_effect(horn: Circuit) -> None:
    """Before a new fuse goes in, what blew the old one is looked for; never a higher one."""
    found = repair_of(horn, "F4")
    assert "what blew it" in found.steps[1] and "15 A" in " ".join(found.steps)
    assert any("higher fuse" in c for c in found.cautions)


@pytest.mark.parametrize("name", shelf_names())
def test_every_unit_of_the_shelf_has_steps_and_cautions(name: str) -> None:
    """Every unit has steps; battery off first, putting back last, the maker before all."""
    circuit = read_shelf(name)
    for unit in circuit.units:
        found = repair_of(circuit, unit)
        assert found.steps[0] == OFF and found.steps[-1] == BACK and len(found.steps) > 3, unit
        assert MAKER in found.cautions
