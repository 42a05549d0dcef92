"""An invented circuit of any size, as text or in a new file."""

from dataclasses import dataclass

from loomwise.generate import generate_circuit
from loomwise.usecases.new_file import write_new


@dataclass(frozen=True)
class Generated:
    """An invented circuit: what was asked for, its text, and the file it went to, if any."""

    parts: int
    seed: int
    text: str
    file: str | None


def generate(parts: int, seed: int, file: str = "") -> Generated:
    """Invent a circuit, and write it to a new file if one is named.

    Raises
    ------
    InputError : parts not 8 to 600, a negative seed; the file is there or cannot be written.
    """
    text = generate_circuit(parts, seed)
    if file:
        write_new(file, text)
    return Generated(parts, seed, text, file or None)
