"""Serves a store, enters readings, and kills the server with -9, again and again.

``python -m tests.web.lives FOLDER TIMES`` prints by job number the values that were acknowledged.
"""

import json
import os
import random
import signal
import socket
import sys
import time
from http.client import HTTPConnection, HTTPException
from pathlib import Path

import uvicorn
from fastapi import FastAPI

from loomwise.web.app import make_app
from tests.store.shop import horn_job, store_in

LONGEST_S = 0.2
SEED = 5
KIND = {"content-type": "application/json"}


def main(folder: Path, times: int) -> dict[int, list[str]]:
    """Some lives of a server, each with a job of its own."""
    draw = random.Random(SEED)
    known: dict[int, list[str]] = {}
    store = store_in(folder)
    app = make_app(store)
    for _ in range(times):
        number = horn_job(store)
        store.close()  # each server has connections of its own
        known[number] = _one_life(app, number, draw.uniform(0.0, LONGEST_S))
    return known


def _one_life(app: FastAPI, number: int, seconds: float) -> list[str]:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        server = os.fork()
        if not server:
            config = uvicorn.Config(app, log_level="critical")
            uvicorn.Server(config).run(sockets=[taken])
            os._exit(0)
    return _entered(port, number, server, seconds)


def _entered(port: int, number: int, server: int, seconds: float) -> list[str]:
    """Enter readings one after the other, until the server is gone; those acknowledged."""
    known: list[str] = []
    killer = 0
    line = HTTPConnection("127.0.0.1", port, timeout=30)
    for k in range(10_000):
        value = f"{k / 1000:.3f} V"
        told = json.dumps({"red": "F4.2", "value": value})
        try:
            line.request("POST", f"/api/jobs/{number}/readings", told, KIND)
            answer = line.getresponse()
            answer.read()
        except (HTTPException, OSError):
            break
        if answer.status == 201:
            known.append(value)
        killer = killer or _killed_in(seconds, server)
    line.close()
    for child in (killer, server):
        os.waitpid(child, 0)
    return known


def _killed_in(seconds: float, server: int) -> int:
    """A process that kills the server after a while; its number."""
    killer = os.fork()
    if not killer:
        time.sleep(seconds)
        os.kill(server, signal.SIGKILL)
        os._exit(0)
    return killer


if __name__ == "__main__":
    print(json.dumps(main(Path(sys.argv[1]), int(sys.argv[2]))))
