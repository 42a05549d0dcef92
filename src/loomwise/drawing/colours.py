"""Colours of insulation, and the scale of volts."""

from loomwise.drawing.shapes import INK

INSULATION = {
    **{"BK": "#15181c", "BN": "#7a4a26", "RD": "#c8202e", "OG": "#ef7d12", "YE": "#f4cf1b"},
    **{"GN": "#2c8a43", "BU": "#1f5fb4", "VT": "#6f3f98", "GY": "#8d949b", "WH": "#ffffff"},
    **{"PK": "#f0a0b8", "GD": "#b8912f", "TQ": "#2aa9a6", "SR": "#c3c8cc"},
}
"""What each code of IEC 60757 is shown as: our choice."""
NAMES = {
    **{"BK": "black", "BN": "brown", "RD": "red", "OG": "orange", "YE": "yellow"},
    **{"GN": "green", "BU": "blue", "VT": "violet", "GY": "grey", "WH": "white"},
    **{"PK": "pink", "GD": "gold", "TQ": "turquoise", "SR": "silver"},
}
BARE = "#4a5560"
"""A wire whose colour nobody gave, and leads inside a unit."""
PALE = "#c4cad0"
"""Outline of dark wires."""
SCALE = (
    *("#00224e", "#003170", "#2a3f6d", "#434e6c", "#575d6d", "#6a6c71", "#7d7c78"),
    *("#918b78", "#a59c74", "#bcae6c", "#d2c060", "#e9d34e", "#fee838"),
)
"""Volts from none to most: cividis, the same for eyes that tell red from green and for those that
do not, and always lighter upwards. Nuñez, Anderton, Renslow 2018, PLoS ONE 13(7) e0199239; thirteen
even steps of its published table."""


def codes(colour: str) -> list[str]:
    """The codes in a wire's colour: RDWH is red with a white stripe."""
    return [colour[i : i + 2] for i in range(0, len(colour), 2)]


def mixed(a: str, b: str, share: float) -> str:
    """A colour between two, ``share`` of the way to the second."""
    pairs = zip(_channels(a), _channels(b), strict=True)
    return "#" + "".join(f"{round(x + (y - x) * share):02x}" for x, y in pairs)


def scale_colour(share: float) -> str:
    """The colour of a share 0 to 1 of the scale; outside it, that of the nearer end."""
    at = min(max(share, 0.0), 1.0) * (len(SCALE) - 1)
    low = min(int(at), len(SCALE) - 2)
    return mixed(SCALE[low], SCALE[low + 1], at - low)


def grey(colour: str) -> str:
    """The grey as light as a colour."""
    level = round(255 * _encoded(luminance(colour)))
    return f"#{level:02x}{level:02x}{level:02x}"


def outline(colour: str) -> str:
    """What stands out around a wire of this colour, on paper."""
    return INK if luminance(colour) > 0.14 else PALE


def luminance(colour: str) -> float:
    """Relative luminance, 0 to 1 (WCAG 2.2, definition of relative luminance)."""
    red, green, blue = (_decoded(c / 255) for c in _channels(colour))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _channels(colour: str) -> tuple[int, int, int]:
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def _decoded(c: float) -> float:
    return c / 12.92 if c <= 0.04045 else float(((c + 0.055) / 1.055) ** 2.4)


def _encoded(c: float) -> float:
    return 12.92 * c if c <= 0.0031308 else float(1.055 * c ** (1 / 2.4) - 0.055)
