"""Ten thousand spoilt files of the shelf through `check` and `predict`: every one is refused with a
reason or answered, none brings the program down or keeps it busy."""

from collections import Counter
from pathlib import Path
from tempfile import TemporaryDirectory

from benchmarks.report import Report
from tests.reference.mutations import MOST_S, Tried, try_spoilt

NAME, FILES = "mutations", 10_000
MOST_TOLD = 10


def run(report: Report) -> None:
    """The seeds 0 to 9,999; the seeds of bad ones are told."""
    codes: Counter[tuple[int, ...]] = Counter()
    slowest, bad = 0.0, list[tuple[int, Tried]]()
    with TemporaryDirectory() as folder:
        for seed in range(FILES):
            tried = try_spoilt(seed, Path(folder))
            codes[tried.codes] += 1
            slowest = max(slowest, tried.seconds)
            bad += [] if tried.good else [(seed, tried)]
    report.add(NAME, "spoilt files", FILES, "")
    report.add(NAME, "refused with a reason", sum(n for c, n in codes.items() if 2 in c), "")
    report.add(NAME, "answered", codes[(0, 0)], "")
    report.add(NAME, f"traceback, other exit code, or over {MOST_S:g} s", len(bad), "")
    report.add(NAME, "slowest answer", slowest, "s")
    for seed, tried in bad[:MOST_TOLD]:
        report.note(f"{NAME}: seed {seed} ({tried.name}): {tried.codes}, {tried.seconds:.1f} s")
