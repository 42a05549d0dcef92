"""``python -m benchmarks [NAME...] [--json]``."""

import argparse
import os

# Before numpy loads: small matrices on two cores only lose time to more BLAS threads.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


def main() -> None:
    """Run the named benchmarks, or all of them, and print what they found."""
    from benchmarks.registry import BENCHMARKS
    from benchmarks.report import Report

    parser = argparse.ArgumentParser(prog="./run bench", description=main.__doc__)
    parser.add_argument("names", nargs="*", metavar="NAME", help=", ".join(BENCHMARKS))
    parser.add_argument("--json", action="store_true", help="figures for programs")
    given = parser.parse_args()
    unknown = [name for name in given.names if name not in BENCHMARKS]
    if unknown:
        parser.error(f"there is no benchmark {unknown[0]}; there is {', '.join(BENCHMARKS)}")
    report = Report()
    threads = os.environ["OPENBLAS_NUM_THREADS"]
    report.note(f"OPENBLAS_NUM_THREADS={threads}, {os.cpu_count()} cores")
    for name in given.names or BENCHMARKS:
        BENCHMARKS[name](report)
    print(report.as_json() if given.json else report.as_text())


if __name__ == "__main__":
    main()
