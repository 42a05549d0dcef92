"""Shares, times and weights in words: the same on the command line, on the pages and on paper."""

PRESENT = {
    "yes": "taken with the complaint present",
    "no": "complaint absent: clears nothing",
    "unknown": "not known whether the complaint was there",
}
MOST_TIMES = 10_000
METER = "Volts to battery minus on a 10 MΩ meter. 'floats': no wire holds it, the meter wanders."


def percent(share: float) -> str:
    """A share of belief: never 100 %, as nothing is certain."""
    if share > 0.999:
        return "over 99.9 %"
    if share < 0.001:
        return "under 0.1 %"
    return f"{100 * share:.1f} %" if share > 0.99 or share < 0.01 else f"{100 * share:.0f} %"


def minutes(value: float) -> str:
    """Time in minutes, short."""
    return f"{value:.0f} min" if value >= 10 else f"{value:.1f} min"


def factor_text(bits: float) -> str:
    """The weight of an item of evidence as a factor: "12 times for"."""
    times = 2.0 ** abs(bits)
    side = "for" if bits > 0 else "against"
    size = f"over {MOST_TIMES} times" if times > MOST_TIMES else f"{times:.3g} times"
    if 10 <= times <= MOST_TIMES:
        size = f"{times:.0f} times"
    return f"{size} {side}"


def volts(value: float) -> str:
    """Volts as a meter on its usual range shows them."""
    shown = f"{value:.2f}"
    return f"{'0.00' if shown == '-0.00' else shown} V"
