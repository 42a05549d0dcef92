"""The benchmarks by name, in the order they run."""

from collections.abc import Callable

from benchmarks import (
    answer,
    fault_table,
    mutations,
    pages,
    random_circuits,
    shelf,
    sizes,
    study,
)
from benchmarks.report import Report

BENCHMARKS: dict[str, Callable[[Report], None]] = {
    "answer": answer.run,
    "fault-table": fault_table.run,
    "fault-table-150": fault_table.run_large,
    "shelf": shelf.run,
    "random": random_circuits.run,
    "mutations": mutations.run,
    "sizes": sizes.run,
    "pages": pages.run,
    "study": study.run,
}
