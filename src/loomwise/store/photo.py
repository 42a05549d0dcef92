"""Photographs made small and anonymous: turned upright, re-encoded, without the place they were
taken at, and named by their content."""

import warnings
from dataclasses import dataclass
from hashlib import sha256
from io import BytesIO
from typing import Any

from loomwise.errors import InputError

MAX_BYTES = 25_000_000
MAX_PIXELS = 80_000_000
LONGEST_SIDE, QUALITY = 2000, 82
FORMATS = ("JPEG", "PNG", "WEBP")


@dataclass(frozen=True)
class Photo:
    """A photograph as it is kept: always JPEG."""

    digest: str
    width: int
    height: int
    data: bytes


def make_photo(data: bytes) -> Photo:
    """The photograph in ``data``, at most 2000 pixels on its longer side, without its hidden notes.

    Raises
    ------
    InputError : too large, or not a photograph whatever its name says.
    """
    from PIL import Image, ImageOps

    if len(data) > MAX_BYTES:
        raise _refused(f"the photograph has {len(data) / 1e6:.0f} MB",
                       f"the limit is {MAX_BYTES / 1e6:.0f} MB")  # fmt: skip
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(BytesIO(data), formats=FORMATS) as image:
                if image.width * image.height > MAX_PIXELS:
                    raise _too_many()
                upright = _on_white(ImageOps.exif_transpose(image))
        upright.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
        bare = Image.new("RGB", upright.size)
        bare.paste(upright)
    except (Image.DecompressionBombWarning, Image.DecompressionBombError):
        raise _too_many() from None
    except (OSError, ValueError, SyntaxError, Warning):
        hint = "send JPEG, PNG or WebP; a page of a PDF is not a photograph"
        raise _refused("this is not a photograph that can be read", hint) from None
    out = BytesIO()
    bare.save(out, "JPEG", quality=QUALITY, optimize=True)
    kept = out.getvalue()
    return Photo(sha256(kept).hexdigest(), bare.width, bare.height, kept)


def _on_white(image: Any) -> Any:
    """The picture without what is see-through."""
    from PIL import Image

    if not image.has_transparency_data:
        return image.convert("RGB")
    clear = image.convert("RGBA")
    return Image.alpha_composite(Image.new("RGBA", clear.size, "white"), clear).convert("RGB")


def _too_many() -> InputError:
    most = f"the limit is {MAX_PIXELS / 1e6:.0f} megapixels; make it smaller and send it again"
    return _refused("the photograph has too many pixels", most)


def _refused(what: str, hint: str) -> InputError:
    return InputError(what, "photograph", hint)
