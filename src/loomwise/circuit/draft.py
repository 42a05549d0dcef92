"""A circuit while it is being put together from the entries of its file."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from loomwise.circuit.document import Document, Path
from loomwise.circuit.model import Connector, Control, Part, Segment, Unit
from loomwise.circuit.schema import CircuitEntry


@dataclass
class Draft:
    """``looms`` are those of the wire lines.

    ``dropped`` names, for each section, entries that were wrong: nothing more is said about them.
    """

    document: Document
    entry: CircuitEntry
    dropped: Mapping[str, set[str]]
    units: dict[str, Unit] = field(default_factory=dict)
    controls: dict[str, Control] = field(default_factory=dict)
    connectors: dict[str, Connector] = field(default_factory=dict)
    parts: dict[str, Part] = field(default_factory=dict)
    segments: dict[str, Segment] = field(default_factory=dict)
    looms: set[str] = field(default_factory=set)

    def add(self, path: Path, what: str, hint: str) -> None:
        """Note a problem at the line of ``path``."""
        self.document.add(path, what, hint)

    def is_dropped(self, section: str, name: str) -> bool:
        """Whether the file has such an entry, but a wrong one."""
        return name in self.dropped.get(section, ())

    def names(self, section: str) -> list[str]:
        """All names that the file gives in a section, right or wrong."""
        return [*getattr(self.entry, section), *sorted(self.dropped.get(section, set()) - {""})]

    def is_unit(self, name: str) -> bool:
        """Whether the file declares a unit of that name, right or wrong."""
        return name in self.entry.units or self.is_dropped("units", name)

    def location(self, part: str) -> str:
        """The unit or loom a part sits in; empty if the file does not say."""
        return self.entry.parts[part].in_
