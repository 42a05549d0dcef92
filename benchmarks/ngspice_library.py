"""ngspice's shared library by ctypes: load a deck once, then alter and solve."""

import ctypes
import ctypes.util
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

_TEXT = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_char_p, ctypes.c_int, ctypes.c_void_p)
_EXIT = ctypes.CFUNCTYPE(
    ctypes.c_int, ctypes.c_int, ctypes.c_bool, ctypes.c_bool, ctypes.c_int, ctypes.c_void_p
)


class _Vector(ctypes.Structure):
    """``vector_info`` of sharedspice.h."""

    _fields_ = (
        ("name", ctypes.c_char_p),
        ("type", ctypes.c_int),
        ("flags", ctypes.c_short),
        ("real", ctypes.POINTER(ctypes.c_double)),
        ("complex", ctypes.c_void_p),
        ("length", ctypes.c_int),
    )


class Library:
    """One loaded library with one circuit. Errors come as text only: its return codes are 0."""

    def __init__(self) -> None:
        name = ctypes.util.find_library("ngspice")
        if name is None:
            raise OSError("libngspice is not installed (Debian: apt-get install libngspice0)")
        self._lib = ctypes.CDLL(name)
        self._lib.ngGet_Vec_Info.restype = ctypes.POINTER(_Vector)
        self.errors: list[str] = []
        self._callbacks = (_TEXT(self._heard), _TEXT(lambda *_: 0), _EXIT(lambda *_: 0))
        self._lib.ngSpice_Init(*self._callbacks, None, None, None, None)

    def _heard(self, text: bytes, _ident: int, _user: object) -> int:
        words = text.decode(errors="replace")
        if words.startswith("stderr") and "rror" in words:
            self.errors.append(words)
        return 0

    def load(self, lines: Sequence[str]) -> None:
        """Read a deck; its nodes can be asked for after ``op``."""
        array = (ctypes.c_char_p * (len(lines) + 1))(*(line.encode() for line in lines), None)
        self._lib.ngSpice_Circ(array)
        self._check()

    def command(self, text: bytes) -> None:
        """One command such as ``op``."""
        self._lib.ngSpice_Command(text)

    def values(self, names: Sequence[bytes]) -> NDArray[np.float64]:
        """Node voltages of the last ``op``."""
        self._check()
        # Read at once: every call answers with the same structure, filled anew.
        return np.array([self._lib.ngGet_Vec_Info(name).contents.real[0] for name in names])

    def _check(self) -> None:
        if self.errors:
            raise RuntimeError("; ".join(self.errors[:3]))
