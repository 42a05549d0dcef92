"""Writes the pages of docs/ that are made from the program: `python docs/generate.py`.

`tests/test_docs.py` fails where a page and the program differ.
"""

import inspect
import json
import sys
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from types import NoneType
from typing import Any, get_args, get_origin, get_type_hints

from typer.testing import CliRunner

from loomwise.circuit.kinds.tables import access_methods, sockets
from loomwise.circuit.schema import circuit_schema
from loomwise.cli.kinds import default_text, mode_row, range_text
from loomwise.cli.main import app
from loomwise.job.schema import job_schema
from loomwise.store import Archive
from loomwise.study.page import study_page
from loomwise.usecases.check_files import FilesChecked
from loomwise.usecases.closing import JobEnd
from loomwise.usecases.compare import Compared
from loomwise.usecases.draw import Drawn
from loomwise.usecases.faults_of import FaultList
from loomwise.usecases.figures import Figures
from loomwise.usecases.generate import Generated
from loomwise.usecases.how import Explanation
from loomwise.usecases.kinds import KindList, KindShown, list_kinds
from loomwise.usecases.paper import Written
from loomwise.usecases.practice_progress import Progress
from loomwise.usecases.practise import Practice
from loomwise.usecases.predict import Prediction
from loomwise.usecases.problems import ProblemsShown
from loomwise.usecases.record_file import RecordRead
from loomwise.usecases.sheet import Sheet
from loomwise.usecases.shelf import Copied, ShelfList, ShelfText, list_shelf, shelf_circuit
from loomwise.usecases.shelf_jobs import ShelfJob, ShelfJobs, list_shelf_jobs
from loomwise.usecases.similar import Similar
from loomwise.usecases.standing_draw import Hunted
from loomwise.usecases.study import Studied
from loomwise.usecases.weights import Weights
from loomwise.usecases.wire import WireAnswer

HERE = Path(__file__).parent
COMMANDS = (
    *("check", "kinds", "predict", "how", "sheet", "compare", "rank", "next", "proof"),
    *(
        "shelf",
        "shelf list",
        "shelf jobs",
        "shelf show",
        "shelf copy",
        "report",
        "draw",
        "generate",
        "wire",
    ),
    *("standing-draw", "weights list", "weights count", "weights forget", "study", "demo"),
    *("close", "reopen", "similar", "figures", "record"),
    *("practice start", "practice ask", "practice decide", "practice show", "practice list"),
    *("serve", "export", "import", "backup", "restore"),
)
MADE = "<!-- Made by docs/generate.py: change the program, not this page. -->\n"


@cache
def pages() -> dict[str, str]:
    """Every made page by its file name."""
    from docs.checks import checks_page  # needs the repository in the path: see the end

    return {
        "commands.md": commands_page(),
        "kinds.md": kinds_page(),
        "shelf.md": shelf_page(),
        "checks.md": MADE + "\n" + checks_page(),
        "json-output.md": json_page(),
        "circuit-schema.json": _dump(circuit_schema()),
        "job-schema.json": _dump(job_schema()),
        "study.md": MADE + "\n" + study_page(*_studies()),
    }


def _studies() -> list[dict[str, Any]]:
    """What `loomwise study --json` printed last, for plain cases and for other scenarios."""
    return [
        json.loads(path.read_text(encoding="utf-8")) for path in sorted(HERE.glob("study*.json"))
    ]


def _dump(data: object) -> str:
    return json.dumps(data, indent=2, ensure_ascii=False) + "\n"


def commands_page() -> str:
    """The help of every command, as printed."""
    parts = [MADE, "# Commands\n", "`./run COMMAND` hands all words to `loomwise`.\n"]
    for name in ("", *COMMANDS):
        title = f"loomwise {name}".strip()
        parts.append(f"## {title}\n\n```text\n{_help(name)}\n```\n")
    return "\n".join(parts)


def _help(name: str) -> str:
    runner = CliRunner(env={"COLUMNS": "100"})
    result = runner.invoke(app, [*name.split(), "--help"], prog_name="loomwise")
    return "\n".join(line.rstrip() for line in result.stdout.strip().splitlines())


def kinds_page() -> str:
    """Every part kind: pins, values, fault modes; then conductors and ways to reach a place."""
    answer = list_kinds()
    parts = [MADE, "# Part kinds\n", _KINDS_INTRO]
    parts += [_kind_section(kind) for kind in answer.kinds]
    parts.append("## Conductors\n")
    for word, modes in answer.conductors.items():
        rows = [(word, *mode_row(m)) for m in modes]
        parts.append(_table(("conductor", "fault", "in words", "share", "source"), rows))
    parts.append("## Ways to reach a place\n")
    ways = [
        (a.name, a.title, f"{a.minutes:g} min", f"{100 * a.missed:g} %")
        for a in access_methods().values()
    ]
    parts.append(_table(("method", "in words", "time", "missed contact"), ways))
    parts.append("## Trailer sockets\n")
    pins = [
        (name, p.pin, p.terminal, p.function, p.colour, p.source)
        for name, some in sockets().items()
        for p in some
    ]
    head = ("standard", "contact", "terminal", "for", "colour", "source")
    parts.append(_table(head, pins))
    return "\n".join(parts)


def shelf_page() -> str:
    """Every circuit at hand: how it works, what to beware of, and its worked jobs."""
    entries = list_shelf().circuits
    rows = [
        (f"[{e.name}](#{e.name})", e.title, *(str(n) for n in (e.parts, e.wires, e.places, e.jobs)))
        for e in entries
    ]
    head = ("name", "circuit", "parts", "wires", "places", "jobs")
    parts = [MADE, "# The shelf\n", _SHELF_INTRO, _table(head, rows)]
    return "\n".join([*parts, *(_shelf_section(e.name) for e in entries)])


_SHELF_INTRO = """\
Circuits at hand, of invented vehicles, each with worked jobs: a complaint, what was seen and read,
and how it ended. `./run shelf copy NAME FILE` gives you one of your own; every command that takes a
circuit or a job takes these names too, as in `./run how horn` or `./run rank horn/silent`.
"""


def _shelf_section(name: str) -> str:
    circuit = shelf_circuit(name)
    jobs = [_job_row(job) for job in list_shelf_jobs(name).jobs]
    head = ("worked job", "complaint", "ended", "found")
    parts = [f"## {name}\n", f"**{circuit.title}.** {circuit.note.strip()}\n"]
    parts += ["".join(f"- {caution}\n" for caution in circuit.cautions)]
    return "\n".join([*parts, _table(head, jobs)])


def _job_row(job: ShelfJob) -> tuple[str, ...]:
    ended = ": ".join(filter(None, (job.verdict, ", ".join(job.units))))
    return f"`{job.name}`", job.complaint, ended, job.found


_KINDS_INTRO = """\
Values are written in the circuit file by the word in the first column; what is left out takes the
default. The share of a fault is that of its class among what jobs turn out to be, before anything
is known; it is divided among the places where it can happen. Sources stand beside the numbers.
"""


def _kind_section(kind: KindShown) -> str:
    pins = " ".join(kind.pins) or "named in the file"
    parts = [f"## {kind.name}\n", f"{kind.text} Pins: {pins}.\n"]
    parts.append(f"```yaml\n{kind.example}\n```\n")
    if kind.values:
        rows = [(v.key, default_text(v), range_text(v), v.meaning, v.source) for v in kind.values]
        parts.append(_table(("write", "default", "range", "meaning", "source"), rows))
    if kind.faults:
        rows = [mode_row(m) for m in kind.faults]
        parts.append(_table(("fault", "in words", "share", "source"), rows))
    return "\n".join(parts)


def _table(head: tuple[str, ...], rows: list[tuple[str, ...]]) -> str:
    lines = [head, tuple("---" for _ in head), *rows]
    return "\n".join("| " + " | ".join(c.replace("|", "/") for c in r) + " |" for r in lines) + "\n"


JOB = """\
format: 1
complaint: Fans stay off
vehicle: {name: Norvik T4}
circuit: radiator-fans
signs:
  - M1 off, key=run, AC=on, complaint yes
readings:
  - volts C1.2.a 0 V, key=run, AC=on, complaint yes
  - volts C1.3.a 12.6 V, key=run, AC=on, complaint yes
  - {red: C1.1.a, value: 0 V, withdrawn: the clip was off}
"""
RANKED = """\
- `units`: the suspects by unit to repair, likeliest first; `share` is the chance that it needs
  repair, alone or beside another, so the sum may exceed one; `faults` are its likeliest.
- `not_explained`, `nothing_wrong`: the share of these two hypotheses. A circuit of 60 parts or more
  is reasoned about as far as what was seen concerns it: `parts_concerned` of its `parts`; a fault
  elsewhere counts under `nothing_wrong`.
- `drawing_doubts`: pairs of labels that the drawing may have exchanged; `reading_doubts`: readings
  that may be bad, by id.
- `evidence`: for the leading units, each item with its weight in bits: above 0 it speaks for the
  unit, below 0 against; one bit doubles the odds.
- `verdict.kind`: proven, best bet, not separable, open, not explained, as designed, or authorised
  time reached; `weakest_share` is what is left of the unit's share if the one reading it hangs on
  most (`weakest_reading`) is left out; `fuse` is a blown fuse whose cause is not known; `remarks`
  go with the repair; `units` are those meant, several where no test tells them apart.
- `verdict.bets`: repairs that could be made now, by `expected_cost`: `cost` (price and labour) and
  by the chance that it was something else `comeback_cost`. `settles` is the cheapest test that
  would settle it; `going_on_cost` is what settling is expected to cost, `at_risk_cost` what being
  wrong is. Money is in the currency of the circuit file's prices.
"""
NEXT = """\
- `tests`: the best first. `instrument` is one of the job file's, or `sign` for watching a load or
  feeling a relay (`red`); `changes` lead from `here` to `setup`; `minutes` is the whole time.
- `gain_bits`: expected gain about which repair to make.
- `expectations`: what each leading unit predicts; `outcomes`: groups of results with their chance,
  the unit that leads then, and its share.
"""
PROOF = """\
- `checks`: in the order to make them. `expected` is in words; `word`, or `low` and `high` in V, A
  or ohm, is the same for a program. `catches`: the faults that would show otherwise there, with
  their share before the repair.
- `uncovered`: faults that no check can catch. `proof` is null unless answers were given.
"""


ANSWERS: tuple[tuple[str, type], ...] = (
    ("check", FilesChecked),
    ("kinds", KindList),
    ("predict", Prediction),
    ("predict --faults", FaultList),
    ("how", Explanation),
    ("sheet", Sheet),
    ("draw", Drawn),
    ("report; sheet and next --plan with -o", Written),
    ("wire", WireAnswer),
    ("standing-draw", Hunted),
    ("shelf list", ShelfList),
    ("shelf jobs", ShelfJobs),
    ("shelf show", ShelfText),
    ("shelf copy", Copied),
    ("compare", Compared),
    ("generate", Generated),
    ("weights", Weights),
    ("close, reopen", JobEnd),
    ("similar", Similar),
    ("figures", Figures),
    ("record", RecordRead),
    ("practice start, ask, decide, show", Practice),
    ("practice list", Progress),
    ("study", Studied),
    ("export, import, backup, restore", Archive),
)


def json_page() -> str:
    """The shape of every answer, from its type or, where it has none, from a real answer."""
    parts = [MADE, "# JSON output\n", _JSON_INTRO]
    parts += [_section(title, kind) for title, kind in ANSWERS]
    return "\n".join([*parts, *_job_sections(), _DEMO, _ERRORS, _fenced(ProblemsShown)])


_JSON_INTRO = """\
With `--json` a command prints one object. `format` is 1: within a format, keys are added but never
renamed or taken away. Names of numbers end in their unit (`voltage_v`, `current_a`); a share or a
chance is 0 to 1. Below, words stand for types; NAME is a key that differs from circuit to circuit.
"""
_ERRORS = """\
## Bad input

Every command answers bad input (exit 2) and a circuit without a solution (exit 1) with one shape.
"""


_DEMO = """\
## demo

`{format, steps}`: one step of kind `intake`, then `own` and `test` steps as they are made, then
`end`. A `test` holds the `proposal` (as in `next`), what was `read`, and `suspects` and `doubts`
after it; `end` holds the verdict, `why`, `why_not` by unit, price, minutes, and the hidden `truth`.
"""


def _section(title: str, kind: type) -> str:
    told = "".join(f"- {text}\n" for text in meanings(kind))
    return f"## {title}\n\n{told}\n{_fenced(kind)}"


def _fenced(kind: type) -> str:
    return _text({"format": "number", **shape(kind)})


def _text(shown: object) -> str:
    return f"```text\n{json.dumps(shown, indent=2, ensure_ascii=False)}\n```\n"


def shape(kind: Any) -> Any:
    """A type with words in place of types."""
    if is_dataclass(kind):
        hints = get_type_hints(kind)
        return {f.name: shape(hints[f.name]) for f in fields(kind)}
    arguments = get_args(kind)
    if NoneType in arguments:
        inner = shape(next(a for a in arguments if a is not NoneType))
        return f"{inner} or null" if isinstance(inner, str) else inner
    if get_origin(kind) is tuple:
        return [shape(arguments[0])]
    if get_origin(kind) in (dict, Mapping):
        return {"NAME": shape(arguments[1])}
    return {bool: "true or false", str: "text"}.get(kind, "number")


def meanings(kind: Any) -> list[str]:
    """The docstring of the answer's type and of every type inside it."""
    found: dict[str, str] = {}
    _walk(kind, found)
    return list(found.values())


def _walk(kind: Any, found: dict[str, str]) -> None:
    if is_dataclass(kind):
        doc = " ".join((inspect.getdoc(kind) or "").replace("``", "`").split())
        found.setdefault(getattr(kind, "__name__", ""), doc)
        for hint in get_type_hints(kind).values():
            _walk(hint, found)
    for argument in get_args(kind):
        _walk(argument, found)


def _job_sections() -> list[str]:
    with TemporaryDirectory() as folder:
        file = Path(folder) / "job.yaml"
        file.write_text(JOB, encoding="utf-8")
        runner = CliRunner()
        found = []
        more = {"next": ["--most", "20"], "proof": ["--repaired", "fuse box", "--answer", "P1=off"]}
        for command, told in (("rank", RANKED), ("next", NEXT), ("proof", PROOF)):
            words = [command, str(file), "--json", *more.get(command, [])]
            answer = json.loads(runner.invoke(app, words).stdout)
            found.append(f"## {command}\n\n{told}\n{_text(outline(answer))}")
    return found


BY_NAME = ("evidence",)


def outline(value: Any, key: str = "") -> Any:
    """A value with types in place of values; lists by what all their items have."""
    if isinstance(value, dict):
        if key in BY_NAME:
            return {"NAME": _merged([outline(v) for v in value.values()])}
        return {k: outline(v, k) for k, v in value.items()}
    if isinstance(value, list):
        return [_merged([outline(v, key) for v in value])]
    if value is None or isinstance(value, bool):
        return "null" if value is None else "true or false"
    return "number" if isinstance(value, int | float) else "text"


def _merged(shapes: list[Any]) -> Any:
    """One shape for several."""
    if not shapes:
        return "..."
    if all(isinstance(s, dict) for s in shapes):
        keys = dict.fromkeys(k for s in shapes for k in s)
        return {k: _merged([s[k] for s in shapes if k in s]) for k in keys}
    if all(isinstance(s, list) for s in shapes):
        full = [s[0] for s in shapes if s != ["..."]]
        return [_merged(full)]
    texts = dict.fromkeys(s for s in shapes if isinstance(s, str))
    rest = [s for s in shapes if not isinstance(s, str)]
    return _merged(rest) if rest else " or ".join(sorted(texts, key=lambda t: t == "null"))


if __name__ == "__main__":
    sys.path.append(str(HERE.parent))
    for name, text in pages().items():
        (HERE / name).write_text(text, encoding="utf-8")
        print(f"docs/{name}")
