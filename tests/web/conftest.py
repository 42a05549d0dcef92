"""A server inside the test, and a browser that may reach nothing else."""

import os
import shutil
import socket
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
import uvicorn
from starlette.testclient import TestClient

from loomwise.store import Store
from loomwise.web.app import make_app
from tests.conftest import IN_CI
from tests.store.shop import horn_job, store_in
from tests.web.bay import Bay

LOCAL = "http://127.0.0.1"
PICTURES = Path(os.environ.get("LOOMWISE_PICTURES", "tests/web/pictures"))
SIZES: dict[str, dict[str, Any]] = {
    "phone": {"viewport": {"width": 360, "height": 740}, "has_touch": True, "is_mobile": True},
    "tablet": {"viewport": {"width": 820, "height": 1180}, "has_touch": True},
    "desk": {"viewport": {"width": 1440, "height": 900}},
}
QUIET = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """An empty store of its own."""
    made = store_in(tmp_path)
    yield made
    made.close()


@pytest.fixture
def client(store: Store) -> TestClient:
    """Asks the application without a network."""
    return TestClient(make_app(store), base_url=LOCAL, follow_redirects=False)


@pytest.fixture
def job(store: Store) -> int:
    """A job about the horn, with a sign and a reading."""
    return horn_job(store)


@dataclass
class Served:
    """A running server: its address and its store."""

    url: str
    store: Store


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """A server on a free port of this machine."""
    store = store_in(tmp_path_factory.mktemp("shop"))
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        server = uvicorn.Server(uvicorn.Config(make_app(store), log_level="warning"))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [taken]}, daemon=True)
        thread.start()
        while not server.started:
            time.sleep(0.02)
        yield Served(f"{LOCAL}:{taken.getsockname()[1]}", store)
        server.should_exit = True
        thread.join(10)
    store.close()


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    """Debian's Chromium; without it the test is skipped here, and fails in CI."""
    path = shutil.which("chromium")
    if path is None:
        reason = "chromium is not installed (Debian: apt-get install chromium)"
        if IN_CI:
            pytest.fail(reason)
        pytest.skip(reason)
    from playwright.sync_api import sync_playwright

    with sync_playwright() as tool:
        found = tool.chromium.launch(executable_path=path, args=list(QUIET))
        yield found
        found.close()


@pytest.fixture
def bay(browser: Any, served: Served, request: pytest.FixtureRequest) -> Iterator[Bay]:
    """A page of the size asked for; nothing it does may leave this machine."""
    context = browser.new_context(**SIZES[getattr(request, "param", "desk")])
    found = Bay(context.new_page(), served.url)
    yield found
    context.close()
    assert not found.strange
