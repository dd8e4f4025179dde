"""A picture as it is kept: small, a JPEG made anew, with nothing that the camera wrote into it."""

from __future__ import annotations

import io

from PIL import Image, ImageOps, UnidentifiedImageError

from roomops.desk.refusals import No, Refused

MOST_BYTES = 12_000_000
MOST_PIXELS = 60_000_000  # a picture that unpacks to more is no photo of a lot
SIDE = 1280
QUALITY = 80
FORMATS = ("JPEG", "PNG", "WEBP")


def small_jpeg(*, data: bytes, name: str) -> bytes:
    """Return a picture as a JPEG of at most 1280 × 1280, turned upright, without camera data.

    Place, time and maker are gone: the pixels alone are copied. Refused: TOO_LARGE, NO_PICTURE.
    """
    if len(data) > MOST_BYTES:
        raise Refused(No.TOO_LARGE, value=f"{len(data) / 1e6:.1f}", most=MOST_BYTES // 1_000_000)
    try:
        with Image.open(io.BytesIO(data), formats=FORMATS) as picture:
            if picture.width * picture.height > MOST_PIXELS:
                raise Refused(No.NO_PICTURE, value=name)
            picture.draft("RGB", (SIDE, SIDE))  # a JPEG is unpacked no larger than it must be
            upright = ImageOps.exif_transpose(picture).convert("RGB")
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, Image.DecompressionBombError):
        raise Refused(No.NO_PICTURE, value=name) from None
    upright.thumbnail((SIDE, SIDE))
    plain = Image.new("RGB", upright.size)
    plain.paste(upright)
    kept = io.BytesIO()
    plain.save(kept, "JPEG", quality=QUALITY, optimize=True)
    return kept.getvalue()
