"""A PostgreSQL server of the tests' own: in a temporary folder, on loopback, ended by its id."""

import os
import pwd
import shutil
import signal
import socket
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.util import find_spec
from pathlib import Path

import pytest
from sqlalchemy import create_engine, text

START_S = 30.0
USER = "postgres"


def programs() -> Path | None:
    """The folder of the server's programs, the newest; None where there is none."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"), key=_version)
    named = shutil.which("initdb")
    return found[-1].parent if found else Path(named).parent if named else None


def _version(path: Path) -> int:
    name = path.parts[-3]
    return int(name) if name.isdigit() else 0


def why_not() -> str:
    """Why no server can be had here; empty if one can."""
    if find_spec("psycopg") is None:
        return "psycopg is not installed: './run test' installs it"
    if programs() is None:
        return "PostgreSQL is not installed (Debian: apt-get install postgresql)"
    if os.geteuid() == 0 and _server_user() is None:
        return f"PostgreSQL does not run as root, and there is no user {USER}"
    return ""


def _server_user() -> pwd.struct_passwd | None:
    try:
        return pwd.getpwnam(USER)
    except KeyError:
        return None


@contextmanager
def server() -> Iterator[str]:
    """The address of a server with an empty cluster; skips where none can be had."""
    reason, bin_ = why_not(), programs()
    if reason or bin_ is None:
        pytest.skip(reason)
    own = _server_user() if os.geteuid() == 0 else None
    folder = Path(tempfile.mkdtemp(prefix="loomwise-"))  # pytest's own is closed to other users
    if own:  # the server refuses to run as root
        os.chown(folder, own.pw_uid, own.pw_gid)
    told = {"user": own.pw_uid, "group": own.pw_gid, "extra_groups": []} if own else {}
    made = [bin_ / "initdb", "-D", folder / "data", "-A", "trust", "-U", USER, "-E", "UTF8", "-N"]
    subprocess.run(made, check=True, stdout=subprocess.DEVNULL, cwd=folder, **told)
    port = _free_port()
    settings = (f"port={port}", "listen_addresses=127.0.0.1", f"unix_socket_directories={folder}")
    told_to = [word for setting in settings for word in ("-c", setting)]
    with (folder / "said").open("w") as said:
        process = subprocess.Popen(
            [bin_ / "postgres", "-D", folder / "data", *told_to],
            stdout=said, stderr=said, cwd=folder, **told,
        )  # fmt: skip
        try:
            address = f"postgresql+psycopg://{USER}@127.0.0.1:{port}"
            _wait(process, f"{address}/postgres", folder / "said")
            yield address
        finally:
            process.send_signal(signal.SIGINT)  # ends at once, in good order
            process.wait(START_S)
            shutil.rmtree(folder, ignore_errors=True)


def _free_port() -> int:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        return int(taken.getsockname()[1])


def _wait(process: "subprocess.Popen[bytes]", address: str, said: Path) -> None:
    engine = create_engine(address)
    until = time.monotonic() + START_S
    while process.poll() is None and time.monotonic() < until:
        try:
            engine.connect().close()
            engine.dispose()
            return
        except Exception:
            time.sleep(0.1)
    raise RuntimeError(f"the server does not start: {said.read_text()[-500:]}")


def new_database(address: str, name: str) -> str:
    """The address of a new, empty database on the server."""
    engine = create_engine(f"{address}/postgres", isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        connection.execute(text(f'CREATE DATABASE "{name}"'))
    engine.dispose()
    return f"{address}/{name}"
