"""Symbols moved on the drawing of a circuit file: the file keeps all else, comments too."""

import codecs
import os
import tempfile
from pathlib import Path

from loomwise.circuit.model import Circuit
from loomwise.circuit.move import with_position, without_position
from loomwise.circuit.reader import read_circuit
from loomwise.errors import InputError
from loomwise.usecases.files import is_file_name, read_text
from loomwise.usecases.move import Move, with_move


def moved_circuit(circuit: Circuit, moves: tuple[Move, ...]) -> Circuit:
    """The circuit with symbols moved one after the other.

    Raises
    ------
    InputError : one of them cannot stand there, see ``with_move``.
    """
    for move in moves:
        circuit = with_move(circuit, move)
    return circuit


def move_in_file(file: str, moves: tuple[Move, ...]) -> Circuit:
    """Keep moves in a circuit file: all of them or, if one is refused, none.

    Raises
    ------
    InputError : a name that is no file; a move that is refused; the file cannot be written.
    FileError : with everything wrong in the file.
    """
    if not is_file_name(file):
        hint = f"copy it first: loomwise shelf copy {file} own.yaml"
        raise InputError("places are kept in a file of yours only", file, hint)
    text = read_text(Path(file))
    circuit = moved_circuit(read_circuit(text, file), moves)
    for move in moves:
        if move.spot is None:
            text = without_position(text, move.part)
        else:
            text = with_position(text, move.part, *circuit.positions.get(move.part, move.spot))
    read_circuit(text, file)
    _replace(Path(file), text)
    return circuit


def _replace(path: Path, text: str) -> None:
    """Write the file whole or not at all; a mark of the encoding before the text stays."""
    try:
        mark = codecs.BOM_UTF8 if path.read_bytes().startswith(codecs.BOM_UTF8) else b""
        with tempfile.NamedTemporaryFile(dir=path.parent, suffix=".new", delete=False) as new:
            new.write(mark + text.encode("utf-8"))
            new.flush()
            os.fsync(new.fileno())
        os.chmod(new.name, path.stat().st_mode & 0o777)
        os.replace(new.name, path.resolve())
    except OSError as error:
        words = (error.strerror or "no reason given").lower()
        hint = "nothing was changed; check the rights of the file and its folder"
        raise InputError(f"cannot write it: {words}", str(path), hint) from None
