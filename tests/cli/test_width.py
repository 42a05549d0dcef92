"""On a terminal of 80 columns nothing is cut off and nothing runs over."""

import pytest

from loomwise.circuit.kinds.tables import kinds
from loomwise.cli import show
from tests.cli.conftest import Run

NARROW = 80


@pytest.fixture(autouse=True)
def narrow(monkeypatch: pytest.MonkeyPatch) -> None:
    """A terminal of 80 columns."""
    monkeypatch.setattr(show, "width", lambda: NARROW)


def too_wide(text: str) -> list[str]:
    """Lines that run over; one with an address may, so that it can be copied."""
    return [line for line in text.splitlines() if len(line) > NARROW and "://" not in line]


@pytest.mark.parametrize("name", ["horn", "trailer-lights", "body-feeds"])
def test_predict_fits(name: str, run: Run) -> None:
    """Volts and amps stand side by side, of circuits with short names and with long ones."""
    result = run("predict", name, "--all")
    assert result.exit_code == 0 and not too_wide(result.stdout)


@pytest.mark.parametrize("kind", kinds())
def test_every_kind_fits(kind: str, run: Run) -> None:
    """Values and faults of a kind are readable, and every address of a source is in one piece."""
    result = run("kinds", kind)
    assert result.exit_code == 0 and not too_wide(result.stdout)
    for value in kinds()[kind].values:
        for word in value.source.split():
            assert "://" not in word or word in result.stdout


@pytest.mark.parametrize("command", ["how", "sheet"])
@pytest.mark.parametrize("name", ["horn", "can-bus"])
def test_how_and_sheet_fit(command: str, name: str, run: Run) -> None:
    """A way with many plugs, and a sheet of many setups, are folded and not cut."""
    result = run(command, name)
    assert result.exit_code == 0 and not too_wide(result.stdout)


@pytest.mark.parametrize("group", [(), ("shelf",), ("weights",), ("practice",)])
def test_what_commands_do_is_not_cut_off(group: tuple[str, ...], run: Run) -> None:
    """Each command is listed with a whole sentence, and dots stand for nothing."""
    text = run(*group, "--help").stdout
    listed = text.split("Commands:")[1].split("\n\n")[0]
    assert listed.strip().endswith(".") and "..." not in listed and not too_wide(text)
