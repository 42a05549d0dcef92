"""Photographs: small, upright, and without the place they were taken at."""

from io import BytesIO

import pytest
from PIL import Image

from loomwise.errors import InputError
from loomwise.store.photo import LONGEST_SIDE, make_photo

GPS, ORIENTATION = 0x8825, 0x0112


def photograph(width: int = 60, height: int = 40) -> bytes:
    """A photograph held sideways that knows where it was taken."""
    image = Image.effect_noise((width, height), 60).convert("RGB")
    notes = Image.Exif()
    notes[ORIENTATION] = 6
    notes[GPS] = {1: "N", 2: (59.0, 20.0, 5.0)}
    notes[0x010F] = "Invented Camera"
    out = BytesIO()
    image.save(out, "JPEG", exif=notes)
    return out.getvalue()


def test_where_it_was_taken_is_left_out() -> None:
    """A photograph keeps its picture and nothing else."""
    data = photograph()
    assert Image.open(BytesIO(data)).getexif().get_ifd(GPS)
    kept = make_photo(data)
    image = Image.open(BytesIO(kept.data))
    assert not dict(image.getexif()) and b"Invented" not in kept.data
    assert (kept.width, kept.height) == (40, 60), "it stands upright"


def test_large_pictures_are_made_small() -> None:
    """A photograph of any camera ends at a size that a page can show."""
    kept = make_photo(photograph(3000, 1500))
    assert max(kept.width, kept.height) == LONGEST_SIDE


def test_the_same_picture_has_the_same_name() -> None:
    """A photograph sent twice is kept once."""
    data = photograph()
    assert make_photo(data).digest == make_photo(data).digest


@pytest.mark.parametrize("data", [b"%PDF-1.7 not a photograph", b"", photograph()[:400], b"GIF89a"])
def test_what_is_no_photograph(data: bytes) -> None:
    """A PDF named as a photograph, or half of one, is refused with what to send instead."""
    with pytest.raises(InputError, match="not a photograph") as told:
        make_photo(data)
    assert "JPEG" in told.value.hint
