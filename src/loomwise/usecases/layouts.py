"""Layouts, kept by a hash of their graph in the cache folder of the person, or the one named in
LOOMWISE_CACHE."""

import hashlib
import json
import os
import tempfile
from pathlib import Path

from loomwise.drawing import Graph
from loomwise.layout import ENGINE, place

VARIABLE = "LOOMWISE_CACHE"
MOST_KEPT = 300
"""Layouts on the disk, some 30 kB each; the oldest go."""


def placed(graph: Graph, folder: Path | None = None) -> Graph:
    """The layout of a graph: kept from before, or made now and kept.

    A cache that cannot be read or written is passed over.

    Raises
    ------
    LayoutError : the layout library is missing or cannot do it.
    """
    file = (folder or cache_folder()) / f"{_key(graph)}.json"
    found = _read(file)
    if found is None:
        found = _bare(place(graph))
        _keep(file, found)
    return found


def cache_folder() -> Path:
    """Where layouts are kept, by the habits of the system unless it is named."""
    named = os.environ.get(VARIABLE)
    if named:
        return Path(named)
    from platformdirs import user_cache_path

    return user_cache_path("loomwise", appauthor=False) / "layouts"


def _key(graph: Graph) -> str:
    text = json.dumps([ENGINE, graph], sort_keys=True)
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def _bare(answer: Graph) -> Graph:
    """What the drawing reads of an answer."""
    nodes = [
        {
            **{key: node[key] for key in ("id", "x", "y")},
            "ports": [{"id": port["id"], "x": port["x"]} for port in node.get("ports", ())],
        }
        for node in answer["children"]
    ]
    edges = [{"id": edge["id"], "sections": edge["sections"]} for edge in answer["edges"]]
    size = {key: answer[key] for key in ("width", "height")}
    return {**size, "children": nodes, "edges": edges}


def _read(file: Path) -> Graph | None:
    try:
        found = json.loads(file.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return None
    whole = isinstance(found, dict) and {"width", "height", "children", "edges"} <= set(found)
    return found if whole else None


def _keep(file: Path, found: Graph) -> None:
    """Written beside and moved, so that another process never reads half of it."""
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(
            "w", dir=file.parent, suffix=".new", delete=False, encoding="utf-8"
        ) as new:
            json.dump(found, new)
        os.replace(new.name, file)
        _forget_oldest(file.parent)
    except OSError:
        return


def _forget_oldest(folder: Path) -> None:
    kept = sorted(folder.glob("*.json"), key=lambda file: file.stat().st_mtime)
    for file in kept[:-MOST_KEPT]:
        file.unlink(missing_ok=True)
