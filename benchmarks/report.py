"""What a benchmark found: figures with units and the words that belong to them."""

import json
from dataclasses import asdict, dataclass, field


@dataclass(frozen=True)
class Figure:
    """One measured figure."""

    benchmark: str
    name: str
    value: float
    unit: str


@dataclass
class Report:
    """Figures and notes in the order they were found."""

    figures: list[Figure] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    def add(self, benchmark: str, name: str, value: float, unit: str) -> None:
        """Keep one figure."""
        self.figures.append(Figure(benchmark, name, float(value), unit))

    def note(self, text: str) -> None:
        """Keep a sentence about how something was measured."""
        self.notes.append(text)

    def as_text(self) -> str:
        """For reading: one figure a line, grouped by benchmark, then the notes."""
        lines: list[str] = []
        for name in dict.fromkeys(f.benchmark for f in self.figures):
            lines.append(name)
            lines += [
                f"  {f.name:<58} {f.value:>12.4g} {f.unit}"
                for f in self.figures
                if f.benchmark == name
            ]
        return "\n".join([*lines, *(f"- {note}" for note in self.notes)])

    def as_json(self) -> str:
        """For programs."""
        figures = [asdict(f) for f in self.figures]
        return json.dumps({"format": 1, "figures": figures, "notes": self.notes}, indent=2)
