"""`loomwise report`, and sheet and plan for paper, as a person calls them."""

import json
import struct
import zlib
from pathlib import Path

import pytest

from tests.cli.conftest import Run
from tests.report.jobs import REPAIRED, UNIT, WIRE


@pytest.fixture
def job(tmp_path: Path) -> str:
    """A job file."""
    file = tmp_path / "job.yaml"
    file.write_text(WIRE, encoding="utf-8")
    return str(file)


def empty_png(width: int, height: int) -> bytes:
    """A PNG that says it is so large."""
    head = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    chunks = [(b"IHDR", head), (b"IDAT", zlib.compress(b"")), (b"IEND", b"")]
    packed = (
        struct.pack(">I", len(d)) + n + d + struct.pack(">I", zlib.crc32(n + d)) for n, d in chunks
    )
    return b"\x89PNG\r\n\x1a\n" + b"".join(packed)


@pytest.mark.parametrize("name", ["a.pdf", "a.html"])
def test_the_same_job_gives_the_same_bytes(run: Run, job: str, tmp_path: Path, name: str) -> None:
    """A report written twice is the same file, as PDF and as HTML."""
    words = ("report", job, "--repaired", UNIT, "--prices", "--sign", "--paper", "letter")
    first = run(*words, "-o", str(tmp_path / name))
    assert first.exit_code == 0, first.stderr
    assert f"the report is now in {tmp_path / name}" in " ".join(first.stdout.split())
    told = run(*words, "-o", str(tmp_path / f"again-{name}"), "--json")
    answer = json.loads(told.stdout)
    assert "Price" in answer["sections"] and answer["size_bytes"] > 10_000
    assert (tmp_path / name).read_bytes() == (tmp_path / f"again-{name}").read_bytes()


def test_a_stored_job_is_reported_by_its_number(run: Run, tmp_path: Path) -> None:
    """A job of the store and the same job in a file say the same of the cause."""
    file = tmp_path / "job.yaml"
    file.write_text(REPAIRED, encoding="utf-8")
    number = json.loads(run("import", str(file), "--json").stdout)["jobs"][0]
    result = run("report", str(number), "-o", str(tmp_path / "a.html"))
    assert result.exit_code == 0, result.stderr
    text = (tmp_path / "a.html").read_text(encoding="utf-8")
    assert "Repaired: wire C1.3 to C3.1" in text and f"job {number}" in text and "Opened" in text


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("-o", "a.docx"), "a.docx: it is not said what to write; end its name in .pdf or .html"),
        (("-o", "none/a.pdf"), "its folder is not there; make the folder"),
        (("-o", "job.yaml"), "it is not said what to write"),
        (("-o", "a.pdf", "--paper", "A3"), "no paper 'A3'; use A4 or letter"),
        (("-o", "a.pdf", "--photo", "none.jpg"), "cannot read the photograph: no such file"),
        (("-o", "a.pdf", "--photo", "job.yaml=x"), "this is not a photograph that can be read"),
        (("-o", "a.pdf", "--photo", "huge.png"), "the photograph has too many pixels; the limit"),
        (("-o", "a.pdf", "--heading", "bad.yaml"), "line 2: 'logos' is not known here"),
        (("-o", "a.pdf", "--heading", "none.yaml"), "no such file"),
        (("-o", "a.pdf", "--repaired", "horm"), "there is no unit 'horm'; did you mean 'horn'?"),
        (("-o", "a.pdf", "--answer", "P1=slow"), "nothing was repaired"),
        (("-o", "a.pdf", "--repaired", "horn", "--answer", "P9=1"), "there is no check P9"),
    ],
)
def test_bad_input_is_told_and_nothing_is_written(
    run: Run, job: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...],
    said: str,
) -> None:  # fmt: skip
    """Each slip has one message that says what, where and what next; exit 2, and no file."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "bad.yaml").write_text("name: A\nlogos: x\n", encoding="utf-8")
    (tmp_path / "huge.png").write_bytes(empty_png(10_000, 10_000))
    before = sorted(p.name for p in tmp_path.iterdir())
    result = run("report", "job.yaml", *words)
    assert result.exit_code == 2 and said in result.stderr, result.stderr
    assert sorted(p.name for p in tmp_path.iterdir()) == before


def test_what_is_there_is_not_overwritten(run: Run, job: str, tmp_path: Path) -> None:
    """A report that was signed is never lost to a second one of the same name."""
    file = tmp_path / "a.pdf"
    file.write_text("signed", encoding="utf-8")
    result = run("report", job, "-o", str(file))
    assert result.exit_code == 2 and "the file is there already" in result.stderr
    assert file.read_text(encoding="utf-8") == "signed"


def test_a_test_sheet_for_paper(run: Run, tmp_path: Path) -> None:
    """The sheet goes to a file, on either paper, as either kind."""
    for name, paper in (("a.pdf", "A4"), ("b.html", "letter")):
        result = run("sheet", "horn", "-o", str(tmp_path / name), "--paper", paper)
        assert result.exit_code == 0, result.stderr
    assert (tmp_path / "a.pdf").read_bytes().startswith(b"%PDF-")
    assert "letter landscape" in (tmp_path / "b.html").read_text(encoding="utf-8")


def test_a_test_plan_for_paper(
    run: Run, job: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The tree of tests goes to a file; without --plan there is nothing to write."""
    monkeypatch.setattr("loomwise.usecases.rank.PLAN_S", 1.0)
    monkeypatch.setattr("loomwise.usecases.paper.PLAN_LEAVES", 6)
    bare = tmp_path / "bare.yaml"
    bare.write_text(WIRE.partition("  - volts C3.1.a")[0], encoding="utf-8")
    result = run("next", str(bare), "--plan", "-o", str(tmp_path / "plan.html"))
    assert result.exit_code == 0, result.stderr
    text = (tmp_path / "plan.html").read_text(encoding="utf-8")
    assert 'class="tree"' in text and "repair" in text
    refused = run("next", str(bare), "-o", str(tmp_path / "x.pdf"))
    assert refused.exit_code == 2 and "--plan" in refused.stderr
