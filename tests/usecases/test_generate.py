"""Inventing a circuit into a new file."""

from pathlib import Path

import pytest

from loomwise.errors import InputError
from loomwise.usecases.files import find_circuit
from loomwise.usecases.generate import generate


def test_the_file_holds_the_circuit(tmp_path: Path) -> None:
    """What is written can be used as any circuit file."""
    file = str(tmp_path / "own.yaml")
    answer = generate(12, 4, file)
    assert answer.file == file and len(find_circuit(file).parts) == 12


def test_no_file_is_overwritten(tmp_path: Path) -> None:
    """A file that is there stays as it is."""
    file = tmp_path / "own.yaml"
    file.write_text("mine", encoding="utf-8")
    with pytest.raises(InputError, match="there already"):
        generate(12, 4, str(file))
    assert file.read_text(encoding="utf-8") == "mine"


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    """A file that cannot be written is said so."""
    with pytest.raises(InputError, match="cannot write it: no such file"):
        generate(12, 4, str(tmp_path / "none" / "own.yaml"))
