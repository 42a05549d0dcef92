"""The workshop's own heading on a page, and the report of a job to take away."""

import subprocess
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image
from starlette.testclient import TestClient

from loomwise.store import Store, read_archive, write_archive
from loomwise.usecases import closing
from loomwise.usecases.heading import find_shop, keep_shop, shop_in
from tests.store.shop import store_in

NAME = "Fjell & Søn <b>bold</b> #strong[now] {{ 7*7 }}"
TOLD = {
    "name": NAME, "lines": "Quay Road 12\n4000 Norhavn <script>alert(1)</script>",
    "sign": "Fitter\nCustomer", "currency": "EUR", "labour per hour": "84", "tax": "19 %",
}  # fmt: skip


def logo(width: int = 300, height: int = 100) -> bytes:
    """A logo."""
    out = BytesIO()
    Image.new("RGB", (width, height), "navy").save(out, "PNG")
    return out.getvalue()


def test_a_heading_is_kept(client: TestClient, store: Store) -> None:
    """What is written on the page is the heading of the shop's papers, markup as plain signs."""
    sent = client.post("/heading", data=TOLD, files={"logo": ("l.png", logo())})
    page = client.get(sent.headers["location"]).text
    assert "The heading is kept" in page
    assert "&lt;b&gt;bold" in page and "<b>bold" not in page and "{{ 7*7 }}" in page
    assert "<script>alert" not in page
    assert client.get("/heading/logo").content.startswith(b"\x89PNG")
    shop = shop_in(store)
    assert shop and shop.heading and shop.heading.name == NAME and shop.roles[0] == "Fitter"
    assert (shop.labour_per_hour, shop.tax_share) == (84.0, 0.19)
    client.post("/heading", data=TOLD)  # without a new logo the old one stays
    assert client.get("/heading/logo").status_code == 200
    client.post("/heading", data={**TOLD, "no-logo": "yes"})
    assert client.get("/heading/logo").status_code == 404
    client.post("/heading", data={"name": ""})
    assert shop_in(store) is None and "Without a heading" in client.get("/heading").text


@pytest.mark.parametrize(
    ("wrong", "file", "said"),
    [
        ({"name": ""}, b"", "&#39;name&#39; is missing"),
        ({"tax": "19"}, b"", "&#39;tax&#39; is out of range"),
        ({"labour per hour": "dear"}, b"", "is not a number"),
        ({"lines": "x\n" * 9}, b"", "at most 8 lines"),
        ({}, b"%PDF-1.7", "logo cannot be read"),
        ({}, logo(6000, 5000), "too many pixels"),
    ],
)
def test_what_is_wrong_is_told_and_kept_in_the_form(
    client: TestClient, store: Store, wrong: dict[str, str], file: bytes, said: str
) -> None:
    """A slip is told, the form keeps what was written, and the heading stays as it was."""
    keep_shop(store, {"name": "Before"})
    answer = client.post("/heading", data={**TOLD, **wrong}, files={"logo": ("l.png", file)})
    assert answer.status_code == 422 and said in answer.text
    assert "Quay Road 12" in answer.text or "lines" in wrong
    kept = shop_in(store)
    assert kept and kept.heading and kept.heading.name == "Before"


def test_a_heading_goes_with_the_backup(store: Store, tmp_path: Path) -> None:
    """A backup holds the heading; restoring overwrites none that is there."""
    keep_shop(store, {"name": "Fjell"}, logo())
    write_archive(store, str(tmp_path / "shop.loomwise"))
    (tmp_path / "other").mkdir()
    other = store_in(tmp_path / "other")
    read_archive(other, str(tmp_path / "shop.loomwise"))
    assert shop_in(other) == shop_in(store)
    keep_shop(other, {"name": "Other"})
    read_archive(other, str(tmp_path / "shop.loomwise"))
    kept = shop_in(other)
    assert kept and kept.heading and kept.heading.name == "Other"


def test_a_file_goes_before_the_store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A heading named on the command line is taken; otherwise that of the store, then the file."""
    from loomwise.store import open_store

    monkeypatch.setenv("LOOMWISE_DATA", str(tmp_path))
    (tmp_path / "heading.yaml").write_text("name: By file\n", encoding="utf-8")
    (tmp_path / "named.yaml").write_text("name: Named\n", encoding="utf-8")
    named = str(tmp_path / "named.yaml")

    def name(file: str = "") -> str:
        heading = find_shop(file).heading
        return heading.name if heading else ""

    assert name() == "By file" and not (tmp_path / "loomwise.db").exists()
    keep_shop(open_store(), {"name": "Kept"})
    assert (name(), name(named)) == ("Kept", "Named")


def test_the_report_of_a_job(
    client: TestClient, store: Store, job: int, poppler: None, tmp_path: Path
) -> None:
    """The report comes as PDF or one HTML file under the kept heading, with lines to sign on."""
    client.post("/heading", data=TOLD, files={"logo": ("l.png", logo())})
    closing.repair(store, job, "horn", "New horn <i>fitted</i>")
    made = client.get(f"/jobs/{job}/report.pdf?sign=true&paper=letter")
    assert made.headers["content-type"] == "application/pdf"
    assert f"job-{job}.pdf" in made.headers["content-disposition"]
    (tmp_path / "r.pdf").write_bytes(made.content)
    text = subprocess.run(["pdftotext", "-layout", str(tmp_path / "r.pdf"), "-"], text=True,
                          capture_output=True, check=True).stdout  # fmt: skip
    for said in (NAME, "Fitter: date, signature", "New horn <i>fitted</i>", "Repaired: horn"):
        assert said in text
    html = client.get(f"/jobs/{job}/report.html").text
    assert "&lt;b&gt;bold" in html and "<b>bold" not in html and "<script" not in html
    assert client.get(f"/jobs/{job}/report.docx").status_code == 404
    assert client.get(f"/jobs/{job}/report.pdf?paper=A0").status_code == 422
