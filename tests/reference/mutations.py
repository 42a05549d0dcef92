"""Files of the shelf spoilt at random, as typing, pasting and bad disks spoil them."""

import random
import signal
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import FrameType

from typer.testing import CliRunner

from loomwise.cli.main import app
from loomwise.shelf import shelf_names, shelf_text

MOST_S = 5.0
"""No answer takes longer, whatever is in the file."""
GIVE_UP_S = 30.0
ODD = (
    *("", "0", "-1", "1e999", "9999 kV", "60.1 V", "nan", "null", "yes", "~", "[]", "{}", "{", "]"),
    *(
        ":",
        "- ",
        "\t",
        "\x00",
        "é\u202e",
        "&a",
        "*a",
        "<<: *a",
        "!!python/none",
        "BAT.+",
        "x" * 300,
    ),
)
"""What may be pasted in place of a word."""


@dataclass(frozen=True)
class Tried:
    """What the commands made of a spoilt file: worst exit code, and seconds of the slowest."""

    name: str
    codes: tuple[int, ...]
    seconds: float
    said: str

    @property
    def good(self) -> bool:
        """Refused as bad input or answered, in time, and no traceback."""
        return set(self.codes) <= {0, 2} and self.seconds <= MOST_S and "Traceback" not in self.said


def spoilt(seed: int) -> tuple[str, str]:
    """A circuit's name and its text with one or two things spoilt; the same for the same seed."""
    draw = random.Random(seed)
    name = draw.choice(shelf_names())
    text = shelf_text(name)
    for _ in range(draw.randint(1, 2)):
        text = draw.choice(WAYS)(draw, text)
    return name, text


def _line(draw: random.Random, text: str) -> str:
    """A line lost, doubled, moved, or cut short."""
    rows = text.splitlines(keepends=True)
    k, m = (draw.randrange(len(rows)) for _ in range(2))
    way = draw.choice(("lost", "doubled", "moved", "short"))
    if way == "doubled":
        rows.insert(m, rows[k])
    elif way == "moved":
        rows.insert(m, rows.pop(k))
    elif way == "short":
        rows[k] = rows[k][: draw.randrange(len(rows[k]) + 1)].rstrip("\n") + "\n"
    else:
        rows.pop(k)
    return "".join(rows)


def _word(draw: random.Random, text: str) -> str:
    """A word in place of another of the file, or something odd."""
    words = text.split(" ")
    k = draw.randrange(len(words))
    words[k] = draw.choice(ODD) if draw.random() < 0.5 else draw.choice(words)
    return " ".join(words)


def _number(draw: random.Random, text: str) -> str:
    """A digit for another."""
    at = [k for k, sign in enumerate(text) if sign.isdigit()]
    k = draw.choice(at)
    return text[:k] + draw.choice("0123456789") * draw.choice((1, 1, 3)) + text[k + 1 :]


def _sign(draw: random.Random, text: str) -> str:
    """A sign lost, doubled or mistyped."""
    k = draw.randrange(len(text))
    new = draw.choice(("", text[k] * 2, draw.choice("{}[]:,.-#'\"&*!|>%@` \nabcABC0")))
    return text[:k] + new + text[k + 1 :]


def _cut(draw: random.Random, text: str) -> str:
    """The end of the file lost, seldom much of it."""
    return text[: int(len(text) * draw.uniform(0.5, 1.0))] if draw.random() < 0.2 else text


WAYS: tuple[Callable[[random.Random, str], str], ...] = (_line, _word, _word, _number, _sign, _cut)


def try_spoilt(seed: int, folder: Path) -> Tried:
    """`check` and `predict` on a spoilt file, in this process."""
    name, text = spoilt(seed)
    file = folder / f"{seed}.yaml"
    file.write_bytes(text.encode("utf-8", "surrogatepass"))
    codes, slowest, said = [], 0.0, ""
    for command in ("check", "predict"):
        started = time.process_time()
        with _given_up():
            result = CliRunner().invoke(app, [command, str(file)])
        slowest = max(slowest, time.process_time() - started)
        codes.append(result.exit_code)
        said += result.output
    file.unlink()
    return Tried(name, tuple(codes), slowest, said)


@contextmanager
def _given_up() -> Iterator[None]:
    """A hang ends as an error after a while."""

    def stop(signum: int, frame: FrameType | None) -> None:
        raise TimeoutError(f"no answer in {GIVE_UP_S:g} s")

    before = signal.signal(signal.SIGALRM, stop)
    signal.setitimer(signal.ITIMER_REAL, GIVE_UP_S)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0.0)
        signal.signal(signal.SIGALRM, before)
