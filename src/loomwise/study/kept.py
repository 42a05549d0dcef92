"""Cases played, as lines of JSON: what a study that was stopped goes on from."""

import json
from collections.abc import Iterable
from dataclasses import asdict, dataclass, fields
from typing import Any

from loomwise.study.play import Ended


@dataclass(frozen=True)
class CaseKey:
    """Which case: of a circuit as it was then, in a scenario, of a seed."""

    digest: str
    scenario: str
    seed: int
    case: int


def as_line(key: CaseKey, ended: Ended) -> str:
    """One case in one line, its end included."""
    return json.dumps({**asdict(key), **asdict(ended)}, ensure_ascii=False) + "\n"


def read_lines(lines: Iterable[str]) -> dict[CaseKey, Ended]:
    """Cases by key. A line that is none, as the last may be after a stop, is passed over."""
    found: dict[CaseKey, Ended] = {}
    for line in lines:
        try:
            data = json.loads(line)
            found[_made(CaseKey, data)] = _made(Ended, data)
        except (ValueError, TypeError, KeyError):
            continue
    return found


def _made(kind: type[Any], data: dict[str, Any]) -> Any:
    values = {f.name: data[f.name] for f in fields(kind)}
    return kind(**{k: tuple(v) if isinstance(v, list) else v for k, v in values.items()})
