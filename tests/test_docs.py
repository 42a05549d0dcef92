"""The pages of docs/ and the README say what the program does, or these tests fail."""

import doctest
import json
import re
import shlex
from collections.abc import Iterator
from pathlib import Path

import jsonschema
import pytest
from ruamel.yaml import YAML
from typer.core import TyperGroup
from typer.main import get_command
from typer.testing import CliRunner

from docs.generate import COMMANDS, pages
from loomwise.cli.main import app

ROOT = Path(__file__).parent.parent
WRITTEN = ("README.md", "docs/circuit-file.md", "docs/job-file.md", "docs/bench-tools.md")
_BLOCK = re.compile(r"^```(\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_FILE = re.compile(r"# file: (\S+)\n")


def blocks(page: str, language: str) -> list[str]:
    """The fenced blocks of one language in a page."""
    text = (ROOT / page).read_text(encoding="utf-8")
    return [body for name, body in _BLOCK.findall(text) if name == language]


def named_files(page: str) -> Iterator[tuple[str, str]]:
    """Files that a page shows whole, by the name in their first line."""
    for body in blocks(page, "yaml"):
        found = _FILE.match(body)
        if found:
            yield found[1], body


def calls(body: str) -> Iterator[tuple[str, str]]:
    """Commands of a console block, each with the output shown below it."""
    for piece in re.split(r"^\$ ", body, flags=re.MULTILINE)[1:]:
        command, _, output = piece.partition("\n")
        yield command, output


@pytest.mark.parametrize("page", WRITTEN)
def test_what_a_page_shows_is_what_happens(
    page: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every command on a page prints what the page says ("..." stands for anything)."""
    monkeypatch.chdir(tmp_path)
    for name, body in named_files(page):
        (tmp_path / name).write_text(body, encoding="utf-8")
    tried = 0
    for body in blocks(page, "console"):
        for command, shown in calls(body):
            words = shlex.split(command)
            assert words[0] == "./run"
            result = CliRunner().invoke(app, words[1:], prog_name="loomwise")
            assert result.exit_code == 0, result.output
            same = doctest.OutputChecker().check_output(shown, result.output, doctest.ELLIPSIS)
            assert same, f"$ {command}\n{result.output}\nnot as shown:\n{shown}"
            tried += 1
    assert tried


@pytest.mark.parametrize("name", pages())
def test_made_pages_are_fresh(name: str) -> None:
    """A made page equals what docs/generate.py makes now."""
    on_disk = (ROOT / "docs" / name).read_text(encoding="utf-8")
    assert on_disk == pages()[name], "run: python docs/generate.py"


def test_every_command_is_on_the_page() -> None:
    """A command that is added is documented, with an example."""
    command = get_command(app)
    assert isinstance(command, TyperGroup)
    assert set(command.commands) == {c.split()[0] for c in COMMANDS}
    for name in COMMANDS:
        section = pages()["commands.md"].split(f"## loomwise {name}\n")[1].split("\n## ")[0]
        assert "Example: loomwise" in section, name


@pytest.mark.parametrize("page", WRITTEN)
def test_files_on_pages_fit_the_published_schema(page: str) -> None:
    """Another program that reads YAML and the published schema accepts our examples."""
    for name, body in named_files(page):
        kind = "circuit" if re.search(r"^parts:", body, re.MULTILINE) else "job"
        schema = json.loads((ROOT / "docs" / f"{kind}-schema.json").read_text(encoding="utf-8"))
        jsonschema.Draft202012Validator.check_schema(schema)
        tree = YAML(typ="safe", pure=True).load(body)
        errors = list(jsonschema.Draft202012Validator(schema).iter_errors(tree))
        assert not errors, f"{name}: {errors[0].message}"


def test_links_lead_somewhere() -> None:
    """Every link from one of our pages to another leads to a file that is there."""
    for page in (*ROOT.glob("*.md"), *(ROOT / "docs").glob("*.md")):
        for target in re.findall(r"\]\(([^)#:]+)\)", page.read_text(encoding="utf-8")):
            assert (page.parent / target).exists(), f"{page.name}: {target}"
