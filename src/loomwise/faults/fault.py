"""A fault: where it is, what it is, the edits that make it, and how likely it is beforehand."""

from dataclasses import dataclass

from loomwise.edits import Edit


@dataclass(frozen=True)
class Spread:
    """The cell of a resistance grid a fault stands for.

    ``branch`` carries the unknown resistance; ``middle_ohm`` is the cell's geometric middle and
    ``log_sd`` the standard deviation of its natural logarithm within the cell.
    """

    branch: str
    middle_ohm: float
    low_ohm: float
    high_ohm: float
    log_sd: float


@dataclass(frozen=True)
class Fault:
    """One fault (or one cell of a fault's resistance grid).

    ``mode`` is the row of the modes table, ``where`` the part, pin or conductor, ``group`` the
    same for all cells of one fault, ``unit`` what has to be repaired, ``share_class`` the class of
    faults that finished jobs are counted by. ``parts`` are the faults of a composition; ``doubt``
    names what the drawing has wrong, which is no repair.
    """

    id: str
    group: str
    mode: str
    where: str
    unit: str
    title: str
    edits: tuple[Edit, ...]
    weight: float
    spread: Spread | None = None
    looks: str = ""
    doubt: str = ""
    parts: tuple["Fault", ...] = ()
    share_class: str = ""
