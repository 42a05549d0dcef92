"""Names as paper shows them: square millimetres with their sign."""

from loomwise.advice.expert import Expert
from loomwise.advice.next_test import unit_title


def pretty(text: str) -> str:
    """Our own words, where a circuit file writes mm2; never a person's."""
    return text.replace(" mm2", " mm²")


def unit_words(expert: Expert, unit: str) -> str:
    """A unit, or several joined by plus, in words; nothing for nothing."""
    return pretty(unit_title(expert, unit)) if unit else ""
