"""Runs elkjs in-process. A graph goes in as plain data and comes back with coordinates.

The library is one script made for a browser's worker. It is wrapped, so that its hundreds of
globals stay inside, and its dispatcher is called directly: no timers, no promises.
"""

import atexit
import json
from functools import cache
from pathlib import Path
from threading import Lock
from typing import Any

from loomwise.errors import LayoutError

ENGINE = "elkjs 0.12.1"
"""Name and version, as pinned in npm/package.json."""
SCRIPT = Path(__file__).parent / "vendor" / "elk-worker.min.js"
TIMEOUT_S = 60.0
_MENDING = "'./run check' in the clone fetches it, and so does 'python hatch_build.py'"
_HEAD = "var elk = {exports: {}}; (function (global, module, exports) {"
_TAIL = "})(globalThis, elk, elk.exports);"
_CALL = """
if (!elk.exports.Worker) { throw new Error("nothing is exported"); }
function place(graph) {
  var worker = new elk.exports.Worker(""), answer;
  worker.onmessage = function (message) { answer = message.data; };
  var tasks = [
    {id: 0, cmd: "register", algorithms: ["layered"]},
    {id: 1, cmd: "layout", graph: graph, layoutOptions: {}, options: {}}
  ];
  tasks.forEach(function (data) {
    worker.dispatcher.saveDispatch({data: data});
    if (answer.error) { throw new Error(answer.error.message || String(answer.error)); }
  });
  return JSON.stringify(answer.data);
}
"""

Graph = dict[str, Any]
_ONE_AT_A_TIME = Lock()


def place(graph: Graph) -> Graph:
    """The graph with coordinates for nodes, ports and labels, and the bends of its edges.

    ``graph`` is an ELK JSON graph: nodes with ports, edges between ports, options as text. The
    answer is the same for the same graph, on every machine. Blocks while it works.

    Raises
    ------
    LayoutError : the library is not there, does not run here, or cannot place this graph.
    """
    with _ONE_AT_A_TIME:
        answer = _run(json.dumps(graph, ensure_ascii=True))
    placed: Graph = _without_counters(json.loads(answer))
    return placed


def _run(text: str) -> str:
    try:
        from py_mini_racer import JSEvalException, JSTimeoutException
    except (ImportError, OSError) as error:
        message = f"the script engine mini-racer does not run here: {error}"
        raise LayoutError(message, hint="'./run check' in the clone installs it") from None
    context = _context(SCRIPT)
    try:
        return str(context.eval(f"place({text})", timeout_sec=TIMEOUT_S))
    except JSTimeoutException:
        message = f"the layout was not done within {TIMEOUT_S:.0f} s"
        raise LayoutError(message, hint="draw one load's part of the circuit at a time") from None
    except JSEvalException as error:
        first = str(error).strip().splitlines()[0]
        raise LayoutError(f"the layout library refused the graph: {first}") from None


@cache
def _context(script: Path) -> Any:
    """The engine with the library loaded (0.13 s, once a process)."""
    from py_mini_racer import JSEvalException, MiniRacer

    try:
        library = script.read_text(encoding="utf-8")
    except OSError:
        message = "the layout library elkjs is not there"
        raise LayoutError(message, where=str(script), hint=_MENDING) from None
    context = MiniRacer()
    atexit.register(context.close)  # left to the end of Python it now and then waits for ever
    try:
        context.eval(f"{_HEAD}\n{library}\n{_TAIL}\n{_CALL}")
    except JSEvalException:
        message = "the layout library elkjs is damaged"
        raise LayoutError(message, where=str(script), hint=f"delete it; {_MENDING}") from None
    return context


def _without_counters(value: Any) -> Any:
    """The answer without the library's own counters ($H), which differ from run to run."""
    if isinstance(value, dict):
        return {k: _without_counters(v) for k, v in value.items() if not k.startswith("$")}
    if isinstance(value, list):
        return [_without_counters(v) for v in value]
    return value
