"""Generated circuits: whole files, of the size asked for, in which everything works."""

import os
import subprocess
import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwise.circuit.kinds.tables import kinds
from loomwise.circuit.model import Circuit
from loomwise.circuit.reader import read_circuit
from loomwise.errors import InputError
from loomwise.generate import LEAST_PARTS, MOST_PARTS, generate_circuit
from loomwise.solver.result import plant_of
from tests.generate.setups import (
    Seen,
    States,
    everything_on,
    look,
    moves_of,
    rest_of,
    telling_setups,
)

WORKING = {"bright", "hot", "sounds", "normal", "fast", "forward", "backward", "pulled"}
SEEDS = st.integers(0, 10**9)
few = settings(max_examples=12, deadline=None, derandomize=True)


def _read(parts: int, seed: int) -> Circuit:
    return read_circuit(generate_circuit(parts, seed), "generated.yaml")


def _looks(circuit: Circuit) -> list[tuple[States, Seen]]:
    plant = plant_of(circuit)
    return [(states, look(circuit, plant, states)) for states in telling_setups(circuit)]


def _never_working(looks: list[tuple[States, Seen]]) -> set[str]:
    worked = {load for _, seen in looks for load, does in seen.loads.items() if does in WORKING}
    return set(looks[0][1].loads) - worked


def _without_effect(circuit: Circuit, looks: list[tuple[States, Seen]]) -> set[str]:
    """Controls that change no load between two setups that differ in nothing else."""
    rest = rest_of(circuit)
    by_states = {tuple(states.items()): seen.loads for states, seen in looks}
    found = set(moves_of(circuit))
    for states, seen in looks:
        for name in moves_of(circuit):
            back = tuple((dict(states) | {name: rest[name]}).items())
            if by_states.get(back, seen.loads) != seen.loads:
                found.discard(name)
    return found


def _check_works(circuit: Circuit) -> None:
    looks = _looks(circuit)
    assert not [seen for _, seen in looks if seen.blown or seen.chatter]
    assert not _never_working(looks)
    assert not _without_effect(circuit, looks)


@few
@given(parts=st.integers(8, 60), seed=SEEDS)
def test_a_file_reads_and_has_the_parts_asked_for(parts: int, seed: int) -> None:
    """Whatever the size, the file is good and the parts are as many as ordered."""
    assert len(_read(parts, seed).parts) == parts


@pytest.mark.parametrize("parts", [8, 12, 25, 60, 150, 600])
def test_sizes_that_matter(parts: int) -> None:
    """A small door circuit and a whole vehicle alike are good files of the right size."""
    assert len(_read(parts, 1).parts) == parts


def test_every_kind_of_part_comes_up() -> None:
    """Ten large circuits together hold every kind of part there is."""
    text = "".join(generate_circuit(150, seed) for seed in range(10))
    assert not [kind for kind in kinds() if f"kind: {kind}" not in text]


@few
@given(parts=st.integers(8, 25), seed=SEEDS)
def test_in_a_small_circuit_all_works(parts: int, seed: int) -> None:
    """Sound, every load works in some setup, every control does something, no fuse blows."""
    _check_works(_read(parts, seed))


@pytest.mark.parametrize("seed", [1, 2])
def test_in_a_middling_circuit_all_works(seed: int) -> None:
    """The same at 60 parts."""
    _check_works(_read(60, seed))


@pytest.mark.slow
def test_in_a_large_circuit_all_works() -> None:
    """The same at 150 parts."""
    _check_works(_read(150, 1))


def test_a_large_circuit_bears_everything_at_once() -> None:
    """With all of 150 parts' controls on no fuse blows and no relay chatters."""
    circuit = _read(150, 1)
    seen = look(circuit, plant_of(circuit), everything_on(circuit))
    assert not seen.blown and not seen.chatter and set(seen.loads.values()) & WORKING


@pytest.mark.slow
def test_the_largest_circuit_comes_to_rest() -> None:
    """A vehicle of 600 parts with the key on: no fuse blows, no relay chatters, something runs."""
    circuit = _read(600, 1)
    seen = look(circuit, plant_of(circuit), rest_of(circuit) | {"key": "run"})
    assert not seen.blown and not seen.chatter and set(seen.loads.values()) & WORKING


@few
@given(parts=st.integers(8, 150), seed=SEEDS)
def test_controls_stay_few(parts: int, seed: int) -> None:
    """Setups double with every control: six are enough for 25 parts, and twelve for any."""
    moves = moves_of(_read(parts, seed))
    assert 1 <= len(moves) <= (6 if parts <= 25 else 12)


@given(parts=st.integers(8, 150), seed=SEEDS)
@few
def test_wires_fit_their_fuses(parts: int, seed: int) -> None:
    """A wire behind a fuse is thick enough for it: at most 10 A of rating a mm2."""
    circuit = _read(parts, seed)
    ratings = {p.id: p.values["rating_a"] for p in circuit.parts_of_kind("fuse")}
    for segment in circuit.segments.values():
        fed = [s.partition(".")[0] for s in (segment.a, segment.b) if s.endswith(".2")]
        for name in ratings.keys() & set(fed):
            assert segment.kind != "wire" or ratings[name] <= 10 * segment.area_mm2


@few
@given(seed=st.integers(0, 10**6))
def test_other_seed_other_circuit(seed: int) -> None:
    """Two seeds never give the same circuit, and one seed always does."""
    assert generate_circuit(25, seed) == generate_circuit(25, seed)
    assert _body(generate_circuit(25, seed)) != _body(generate_circuit(25, seed + 1))


def _body(text: str) -> str:
    return text[text.index("\nunits:") :]


def test_the_same_text_on_every_machine() -> None:
    """Nothing of the process, such as the order of a set, gets into the text."""
    said = "from loomwise.generate import generate_circuit; print(generate_circuit(60, 5))"
    texts = {
        subprocess.run(
            [sys.executable, "-c", said],
            env=os.environ | {"PYTHONHASHSEED": number},
            capture_output=True, text=True, check=True,
        ).stdout
        for number in ("1", "2")
    }  # fmt: skip
    assert texts == {generate_circuit(60, 5) + "\n"}


@pytest.mark.parametrize("parts", [LEAST_PARTS - 1, MOST_PARTS + 1, -3])
def test_a_size_that_cannot_be(parts: int) -> None:
    """Too few or too many parts are refused, and the limits named."""
    with pytest.raises(InputError, match=r"cannot be made; ask for 8 to 600"):
        generate_circuit(parts, 1)


def test_a_seed_that_cannot_be() -> None:
    """A negative seed is refused."""
    with pytest.raises(InputError, match="the seed is -1"):
        generate_circuit(25, -1)
