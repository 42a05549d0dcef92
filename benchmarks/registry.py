"""The benchmarks by name, in the order they run."""

from collections.abc import Callable

from benchmarks import fault_table
from benchmarks.report import Report

BENCHMARKS: dict[str, Callable[[Report], None]] = {
    "fault-table": fault_table.run,
}
