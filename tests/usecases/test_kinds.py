"""The list of kinds covers what is read and what can break."""

import pytest

from loomwise.circuit.kinds.tables import kinds
from loomwise.errors import InputError
from loomwise.faults.tables import modes
from loomwise.shelf import read_shelf, shelf_names
from loomwise.usecases.faults_of import list_faults
from loomwise.usecases.kinds import BREAKS_AS, CONDUCTORS, list_kinds


def test_every_kind_and_every_mode_is_listed() -> None:
    """Nothing in the tables is left out of the list."""
    listed = list_kinds()
    assert [k.name for k in listed.kinds] == list(kinds())
    shown = {m.mode for k in listed.kinds for m in k.faults}
    shown |= {m.mode for some in listed.conductors.values() for m in some}
    assert shown == {m.mode for m in modes()}


def test_every_row_of_the_modes_belongs_somewhere() -> None:
    """A row of the modes table holds for a kind, or for a conductor."""
    spoken_for = {a for k in kinds() for a in BREAKS_AS.get(k, (k,))} | set(CONDUCTORS)
    assert {m.applies for m in modes()} <= spoken_for


@pytest.mark.parametrize("name", shelf_names())
def test_a_part_breaks_as_its_kind_says(name: str) -> None:
    """A fault of a part is one that the list gives for its kind."""
    circuit = read_shelf(name)
    may = {k.name: {m.mode for m in k.faults} for k in list_kinds().kinds}
    for fault in list_faults(circuit).faults:
        owner = fault.name.split(" ")[0].split(".")[0]
        part = circuit.parts.get(owner)
        if part is not None and "-" not in fault.name.split(" ")[0]:
            assert any(fault.name.endswith(mode) for mode in may[part.kind]), fault.name


def test_an_unknown_kind() -> None:
    """A misspelt kind is answered with the nearest."""
    with pytest.raises(InputError, match="did you mean 'relay'"):
        list_kinds("relais")
