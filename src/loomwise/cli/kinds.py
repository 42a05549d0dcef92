"""`loomwise kinds`."""

from collections.abc import Iterable

from loomwise.cli.show import heading, lines, print_json, table
from loomwise.units import format_quantity
from loomwise.usecases.kinds import KindShown, ModeShown, ValueShown, list_kinds


def run(kind: str | None, as_json: bool) -> None:
    """All kinds in a table, or one in full."""
    answer = list_kinds(kind)
    if as_json:
        print_json(answer)
    elif kind is None:
        rows = [(k.name, " ".join(k.pins) or "named in the file", k.text) for k in answer.kinds]
        table(("kind", "pins", "what it is"), rows)
        print("\nOne kind in full: loomwise kinds relay")
    else:
        _show(answer.kinds[0])


def _show(kind: KindShown) -> None:
    lines(f"{kind.name}: {kind.text}")
    print(f"pins: {' '.join(kind.pins) or 'named in the file'}")
    lines(f"in a file: {kind.example}")
    if kind.values:
        heading("values")
        rows = [(v.key, default_text(v), range_text(v), v.meaning) for v in kind.values]
        table(("write", "default", "range", "meaning"), rows)
        _sources((v.key, v.source) for v in kind.values)
    if kind.faults:
        heading("what can break, and the share of its class among what jobs turn out to be")
        table(("fault", "in words", "share"), (mode_row(m)[:3] for m in kind.faults), right=[2])
        _sources((m.mode, m.source) for m in kind.faults)


def _sources(named: Iterable[tuple[str, str]]) -> None:
    """Where figures are from, below their table: an address is too wide for a column."""
    by_source: dict[str, list[str]] = {}
    for name, source in named:
        if source == "required":
            continue
        by_source.setdefault(source, []).append(name)
    if by_source:
        print()
    for source, names in by_source.items():
        what = "from" if len(by_source) == 1 else f"{', '.join(dict.fromkeys(names))}:"
        lines(f"{what} {source}", "    ", "  ")


def default_text(value: ValueShown) -> str:
    """The default of a value in words."""
    if value.required:
        return "must be given"
    if value.default is None:
        return "derived"
    if value.per_volt:
        return f"{value.default:g} × supply"
    return format_quantity(value.default, value.unit)


def range_text(value: ValueShown) -> str:
    """The range of a value in words."""
    return " to ".join(format_quantity(v, value.unit) for v in (value.minimum, value.maximum))


def mode_row(mode: ModeShown) -> tuple[str, str, str, str]:
    """A fault mode as a row: name, words, share of its class, source."""
    return mode.mode, mode.title, f"{mode.percent:g} %", mode.source
