"""Ten people enter readings into jobs of their own, on one server, as fast as it answers them.

Each reading is acknowledged once it is on the disk; suspects and tests are asked for after every
tenth, as pages that are looked at do. What is reported is how long the acknowledgements took.
"""

import http.client
import json
import socket
import statistics
import tempfile
import threading
import time
from pathlib import Path

from benchmarks.report import Report

NAME = "pages"
CLIENTS, SECONDS, THINKING_S, LOOK_EVERY = 10, 60.0, 0.5, 10
KIND = {"content-type": "application/json"}


def run(report: Report) -> None:
    """Serve a store, let ten clients enter readings for a minute, and report the times."""
    import uvicorn

    from loomwise.store import Store
    from loomwise.web.app import make_app

    with tempfile.TemporaryDirectory() as folder, socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        app = make_app(Store(f"sqlite:///{Path(folder) / 'shop.db'}"))
        server = uvicorn.Server(uvicorn.Config(app, log_level="critical"))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [taken]}, daemon=True)
        thread.start()
        while not server.started:
            time.sleep(0.02)
        taken_s, wrong = _all_clients(taken.getsockname()[1])
        server.should_exit = True
        thread.join(10)
    taken_s.sort()
    report.add(NAME, f"readings by {CLIENTS} clients in {SECONDS:.0f} s", len(taken_s), "")
    report.add(NAME, "acknowledged, median", 1e3 * statistics.median(taken_s), "ms")
    report.add(
        NAME, "acknowledged, 95 of 100 within", 1e3 * taken_s[95 * len(taken_s) // 100], "ms"
    )
    report.add(NAME, "errors", wrong, "")


def _all_clients(port: int) -> tuple[list[float], int]:
    seconds: list[float] = []
    wrong: list[int] = []
    clients = [threading.Thread(target=_one, args=(port, seconds, wrong)) for _ in range(CLIENTS)]
    for client in clients:
        client.start()
    for client in clients:
        client.join()
    return seconds, len(wrong)


def _one(port: int, seconds: list[float], wrong: list[int]) -> None:
    """One person's job; a lost or refused request counts as wrong."""
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
    told = {"complaint": "The horn stays silent", "vehicle": "Norvik T4"}
    base = f"/api/jobs/{_post(line, '/api/jobs', told)[1]['number']}"
    _post(line, f"{base}/circuit", {"name": "horn"})
    end, k = time.perf_counter() + SECONDS, 0
    while time.perf_counter() < end:
        k += 1
        start = time.perf_counter()
        status, _ = _post(line, f"{base}/readings", {"red": "F4.2", "value": f"{k / 100:.2f} V"})
        seconds.append(time.perf_counter() - start)
        if status != 201:
            wrong.append(status)
        if k % LOOK_EVERY == 0:
            line.request("GET", f"{base}/advice")
            line.getresponse().read()
        time.sleep(THINKING_S)


def _post(line: http.client.HTTPConnection, path: str, told: object) -> tuple[int, dict[str, int]]:
    line.request("POST", path, json.dumps(told), KIND)
    answer = line.getresponse()
    return answer.status, json.loads(answer.read())
