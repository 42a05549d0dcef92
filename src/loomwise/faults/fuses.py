"""Faults of fuses: blown, missing, loose in the holder, of another rating, bypassed."""

from collections.abc import Iterator

from loomwise.circuit.fuse_curve import OPENS_FROM_MULTIPLE, cold_resistance_ohm
from loomwise.circuit.model import Part
from loomwise.edits import Hold, Limit, Open, Scale, SetOhm
from loomwise.faults.draft import Draft, Variant, grid, one
from loomwise.faults.tables import mode

RATINGS_A = (1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 35, 40, 50, 60, 70, 80, 100)
"""Blade fuses one can buy: 2 to 30 and 40 A as listed at http://m.jumpintl.com/wd/2323433.html and
20 to 80 A at https://thelingofpower.blogspot.com/2007/10/automotive-fuses.html (range only);
1 A, 35 A and the steps above 40 A from memory."""
SURELY = 1.2
"""A fuse this far over where it must open opens on any vehicle. Engineering judgement. [-]"""
PIECE_OF_WIRE_OHM = 0.001
"""A hand's length of thick wire across the holder. Engineering judgement."""


def fuse_faults(part: Part, current_a: float, range_ohm: tuple[float, float]) -> Iterator[Draft]:
    """All faults of a fuse that carries ``current_a`` at most in ordinary use.

    ``range_ohm`` are the series resistances that matter in its holder.
    """
    link, unit, title = f"{part.id}.link", part.unit, f"fuse {part.id}"
    yield one("fuse", "blown", part.id, unit, title, Hold(part.id, "blown"))
    yield one("fuse", "missing", part.id, unit, title, Open(link))
    yield grid("fuse", "poor contact", link, unit, title, [link], range_ohm)
    wrong = [_rated(part, a) for a in wrong_ratings_a(part.values["rating_a"], current_a)]
    yield Draft(mode("fuse", "wrong rating"), part.id, unit, title, wrong)
    wire = Hold(part.id, "intact"), SetOhm(link, PIECE_OF_WIRE_OHM)
    yield one("fuse", "bypassed", part.id, unit, title, *wire)


def link_faults(part: Part, _: float, range_ohm: tuple[float, float]) -> Iterator[Draft]:
    """All faults of a fusible link: melted, eaten away, or replaced by plain wire."""
    link, unit, title = f"{part.id}.link", part.unit, f"fusible link {part.id}"
    yield one("fusible link", "melted", part.id, unit, title, Hold(part.id, "blown"))
    yield one("fusible link", "open", link, unit, title, Open(link))
    yield grid("fusible link", "resistance", link, unit, title, [link], range_ohm)
    wire = Hold(part.id, "intact"), SetOhm(link, PIECE_OF_WIRE_OHM / 2.0)
    yield one("fusible link", "replaced by plain wire", part.id, unit, title, *wire)


def wrong_ratings_a(rating_a: float, current_a: float) -> tuple[float, ...]:
    """Ratings mistaken for ``rating_a``: the next sizes down and up, and the largest smaller one
    that surely blows at ``current_a``. [A]"""
    smaller = [a for a in RATINGS_A if a < rating_a]
    larger = [a for a in RATINGS_A if a > rating_a]
    blows = [a for a in smaller if abs(current_a) >= SURELY * OPENS_FROM_MULTIPLE * a]
    return tuple(sorted({*smaller[-1:], *larger[:1], *blows[-1:]}))


def _rated(part: Part, rating_a: float) -> Variant:
    drawn_a = part.values["rating_a"]
    share = cold_resistance_ohm(drawn_a) / cold_resistance_ohm(rating_a)
    edits = Limit(part.id, 0, rating_a / drawn_a), Scale(f"{part.id}.link", share)
    return edits, None, f"{rating_a:g} A"
