"""Invented circuits beside ngspice. `./run bench random` compares 2,000."""

from pathlib import Path

import pytest

from tests.reference.random_cases import compare_random


@pytest.mark.ngspice
@pytest.mark.parametrize("seed", range(5000, 5008))
def test_an_invented_circuit_is_solved_as_ngspice_solves_it(
    seed: int, ngspice_path: str, tmp_path: Path
) -> None:
    """Whatever has been put together, both programs give the same volts at every place."""
    compared = compare_random(seed, ngspice_path, tmp_path)
    assert compared.share <= 1.0, compared.where
