"""What empties the battery while the vehicle stands: from clamp current and millivolts across
fuses to the branch that draws."""

from loomwise.standing_draw.battery import lasts_days
from loomwise.standing_draw.fuse import Amps, current_of_drop
from loomwise.standing_draw.hunt import FuseDraw, Hunt, Hunted, hunt
from loomwise.standing_draw.reading import (
    ClampReading,
    FuseReading,
    make_fuse,
    parse_clamp,
    parse_fuse,
)

__all__ = [
    "Amps",
    "ClampReading",
    "FuseDraw",
    "FuseReading",
    "Hunt",
    "Hunted",
    "current_of_drop",
    "hunt",
    "lasts_days",
    "make_fuse",
    "parse_clamp",
    "parse_fuse",
]
