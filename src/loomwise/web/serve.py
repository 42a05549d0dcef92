"""Starts the server on this machine, and a browser with it."""

import socket
import threading
import webbrowser
from pathlib import Path

from loomwise.errors import InputError
from loomwise.store import open_store

ADDRESS = "127.0.0.1"
SCRIPT = Path(__file__).parent / "static" / "vendor" / "htmx.min.js"


def serve(port: int, browser: bool) -> None:
    """Serve until interrupted.

    Raises
    ------
    InputError : the port is taken, or the script library was not brought when this was built.
    """
    import uvicorn

    from loomwise.web.app import make_app

    if not SCRIPT.is_file():
        hint = "run ./run serve, or python hatch_build.py in a clone"
        raise InputError("a script library is missing", str(SCRIPT.name), hint)
    app = make_app(open_store())
    with _listening(port) as taken:
        url = f"http://{ADDRESS}:{taken.getsockname()[1]}/"
        print(f"Loomwise is at {url} (end it with Ctrl-C)", flush=True)
        if browser:
            threading.Timer(0.5, webbrowser.open, [url]).start()
        config = uvicorn.Config(app, log_level="warning", access_log=False, server_header=False)
        uvicorn.Server(config).run(sockets=[taken])


def _listening(port: int) -> socket.socket:
    made = socket.socket()
    made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        made.bind((ADDRESS, port))
    except OSError as error:
        made.close()
        words = (error.strerror or "no reason given").lower()
        hint = "name another one with --port, or 0 for any"
        raise InputError(f"cannot listen on port {port}: {words}", "--port", hint) from None
    return made
