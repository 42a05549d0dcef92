"""`loomwise wire`."""

import typer

from loomwise.cli.errors import NO
from loomwise.cli.show import heading, lines, print_json, table
from loomwise.units import format_quantity
from loomwise.usecases.wire import Asked, Judged, Wanted, WireFacts, wire

__all__ = ["Wanted", "run"]


def run(wanted: Wanted, as_json: bool) -> None:
    """A wire chosen or judged; exit 1 if none does it."""
    found = wire(wanted)
    if as_json:
        print_json(found)
    else:
        _show(found.asked, found.answer)
    if not found.answer.ok:
        raise typer.Exit(NO)


def _show(asked: Asked, answer: Judged) -> None:
    lines(_question(asked))
    print()
    for sentence in answer.why:
        lines(sentence, "  ", "  " if answer.ok else "no: ")
    sizes = sorted((*((answer.wire,) if answer.wire else ()), *answer.beside), key=_area)
    if sizes:
        print()
        head = ("size", "lost", "", "warms to", "stands", "largest fuse", "")
        table(head, (_row(w, answer) for w in sizes), right=range(1, 6))
    heading("mind")
    for caution in answer.cautions:
        lines(caution, "    ", "  - ")


def _question(asked: Asked) -> str:
    amps, length = format_quantity(asked.current_a, "A"), format_quantity(asked.length_m, "m")
    supply, drop = (format_quantity(v, "V") for v in (asked.supply_v, asked.drop_v))
    among = f"{asked.bundle} loaded wires together" if asked.bundle > 1 else "a wire alone"
    return (
        f"{amps} through {length} of wire at {supply}, at most {drop} lost; {among}, air"
        f" {asked.temperature_c:g}\u00a0°C, insulation for {asked.insulation_c:g}\u00a0°C."
    )


def _area(wire: WireFacts) -> float:
    return wire.area_mm2


def _row(w: WireFacts, answer: Judged) -> tuple[str, ...]:
    fuse = f"{w.largest_fuse_a:g} A" if w.largest_fuse_a else "none"
    warm = f"{w.conductor_c:.0f} °C" if w.conductor_c < 400 else "burns"
    mark = ("this one" if answer.ok else "given") if w == answer.wire else ""
    lost, share = format_quantity(w.drop_v, "V"), f"{100 * w.drop_share:.1f} %"
    return w.size, lost, share, warm, format_quantity(w.stands_a, "A"), fuse, mark
