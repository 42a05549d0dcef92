"""The workshop's own heading."""

from pathlib import Path

import pytest
from PIL import Image

from loomwise.errors import FileError, InputError
from loomwise.usecases.heading import find_shop, read_shop

GOOD = """\
name: Fjell & Søn <b>
lines: [Quay Road 12, 4000 Norhavn]
logo: logo.png
sign: [Fitter, Customer]
currency: EUR
labour per hour: 84
tax: 19 %
"""


def test_a_heading_is_read_as_it_is_written(tmp_path: Path) -> None:
    """Name, address, logo, who signs and how is charged; markup stays what it is."""
    Image.new("RGBA", (2400, 300), (0, 0, 0, 0)).save(tmp_path / "logo.png")
    (tmp_path / "heading.yaml").write_text(GOOD, encoding="utf-8")
    shop = read_shop(tmp_path / "heading.yaml")
    assert shop.heading and shop.heading.name == "Fjell & Søn <b>"
    assert shop.heading.lines == ("Quay Road 12", "4000 Norhavn")
    assert shop.heading.logo.startswith(b"\x89PNG") and len(shop.heading.logo) < 20_000
    assert shop.roles == ("Fitter", "Customer") and shop.currency == "EUR"
    assert (shop.labour_per_hour, shop.tax_share) == (84.0, 0.19)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("name: A\nlogos: x.png\n", "line 2: 'logos' is not known here; did you mean 'logo'?"),
        ("lines: [x]\n", "'name' is missing; write the workshop's name"),
        ("name: A\ntax: 19\n", "line 2: 'tax' is out of range"),
        ("name: A\nlabour per hour: dear\n", "line 2: \"dear\" is not a number"),
        ("name: A\nlines: {a: b}\n", "line 2: 'lines' is not what is needed here"),
        ("name: [A]\n", "line 1: 'name' is not what is needed here"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told_with_its_line(tmp_path: Path, text: str, said: str) -> None:
    """A slip in the heading's file is told where it is and what would be right."""
    file = tmp_path / "heading.yaml"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(FileError) as error:
        read_shop(file)
    assert said in str(error.value)


@pytest.mark.parametrize(("logo", "said"), [("none.png", "no such file"), ("it.png", "cannot be")])
def test_a_logo_that_cannot_be_read(tmp_path: Path, logo: str, said: str) -> None:
    """A logo that is missing or no picture is named."""
    (tmp_path / "it.png").write_text("no picture", encoding="utf-8")
    (tmp_path / "heading.yaml").write_text(f"name: A\nlogo: {logo}\n", encoding="utf-8")
    with pytest.raises(InputError, match=said):
        read_shop(tmp_path / "heading.yaml")


def test_the_shops_own_heading_lies_with_its_data(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without a file named, heading.yaml in the data folder is taken; without that, none."""
    monkeypatch.setenv("LOOMWISE_DATA", str(tmp_path))
    assert find_shop().heading is None
    (tmp_path / "heading.yaml").write_text("name: Ours\n", encoding="utf-8")
    found = find_shop().heading
    assert found and found.name == "Ours"
