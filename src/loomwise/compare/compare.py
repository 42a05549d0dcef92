"""Two drawings of one circuit, compared; and one turned into the other by edits."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from loomwise.circuit.model import BODY, Circuit
from loomwise.compare.difference import Comparison, Difference
from loomwise.compare.facts import facts
from loomwise.compare.looks import looks
from loomwise.compare.pairing import pair
from loomwise.compare.rewired import rewired
from loomwise.edits import Bridge, Edit, Open, canonical
from loomwise.errors import InputError


@dataclass(frozen=True)
class Expressed:
    """Edits that turn one drawing into the other, and the differences no edit can express."""

    edits: tuple[Edit, ...]
    not_expressed: tuple[Difference, ...]


def compare(a: Circuit, b: Circuit) -> Comparison:
    """Match two drawings of one circuit and list what differs, what changes the function first.

    Names do not matter for the matching; a's names are used in the words.
    """
    p = pair(a, b)
    found = [*facts(p), *rewired(p), *looks(p)]
    ranked = sorted(found, key=lambda d: d.rank)  # stable: otherwise in the order of drawing a
    return Comparison(tuple(ranked), p.parts, p.terminals, p.plugs.connectors)


def as_edits(a: Circuit, differences: Iterable[Difference]) -> Expressed:
    """The edits by which drawing ``a`` does what the other does, as far as edits can.

    Differences that do not change the function (looks, names) need no edit and are passed over.

    Raises
    ------
    InputError : the differences speak of another drawing than ``a``.
    """
    kept = [d for d in differences if d.in_function]
    edits = [edit for d in kept for edit in d.edits]
    for name in _named(edits):
        if name not in a.segments and name not in a.places and name != BODY:
            hint = "give the drawing that was named first when the two were compared"
            raise InputError(f"the drawing has no {name}", a.title, hint)
    return Expressed(canonical(edits), tuple(d for d in kept if not d.expressible))


def _named(edits: Iterable[Edit]) -> Iterator[str]:
    for edit in edits:
        if isinstance(edit, Open):
            yield edit.branch
        elif isinstance(edit, Bridge):
            yield from (edit.a, edit.b)
