"""`loomwise export`, `import`, `backup` and `restore`."""

from loomwise.cli.show import lines, print_json
from loomwise.store import Archive
from loomwise.usecases.shop_files import backup_shop, export_job, import_job, read_back


def run_export(job: int, file: str, as_json: bool) -> None:
    """Write one job to a file."""
    _say(export_job(job, file), f"job {job} is now in {file}", as_json)


def run_import(file: str, as_json: bool) -> None:
    """Read one job from a file."""
    found = import_job(file)
    _say(found, f"{_jobs(found)} {_new(found)}", as_json)


def run_backup(file: str, as_json: bool) -> None:
    """Write the whole shop to a file."""
    found = backup_shop(file)
    _say(found, f"{_jobs(found)}, {found.entries} entries, now in {file}", as_json)


def run_restore(file: str, as_json: bool) -> None:
    """Read the shop from a file."""
    found = read_back(file)
    _say(found, f"{_jobs(found)} {_new(found)}", as_json)


def _say(found: Archive, text: str, as_json: bool) -> None:
    if as_json:
        print_json(found)
    else:
        lines(text)


def _jobs(found: Archive) -> str:
    if len(found.jobs) == 1:
        return f"job {found.jobs[0]}"
    return f"{len(found.jobs)} jobs"


def _new(found: Archive) -> str:
    return f"read, {found.entries} new entries" if found.entries else "read, nothing was new"
