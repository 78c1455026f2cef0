"""One picture made anew from its pixels, in a process of its own with little memory and time: `python remaking.py`.

Reads a file of a camera from standard input and writes a WebP of at most 1600 px a side to standard output: the middle
square, upright, without a profile, a date, a place or a small copy. A refusal is its code on standard error.
"""

from __future__ import annotations

import sys
import warnings
from io import BytesIO
from typing import Any

MOST_SIDE_PX = 1600
MEMORY_BYTES = 768 * 1024 * 1024
CPU_S = 15
QUALITY = 82
REFUSED = 3


def remade(data: bytes) -> bytes:
    """The new file. Raises `shape.Refused`."""
    import shape  # type: ignore[import-not-found]  # this file's own folder, so that nothing else has to be loaded
    from PIL import Image, ImageOps

    data = shape.picture_of(data)
    Image.MAX_IMAGE_PIXELS = shape.MOST_PIXELS
    warnings.simplefilter("error", Image.DecompressionBombWarning)
    try:
        _check(Image, data, shape)
        with Image.open(BytesIO(data), formats=("JPEG", "PNG", "WEBP")) as found:
            found.load()
            upright = ImageOps.exif_transpose(found)
            square = _square(Image, upright)
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise shape.Refused("too-many-pixels") from None
    except (OSError, SyntaxError, ValueError, TypeError, EOFError, KeyError) as error:
        if isinstance(error, shape.Refused):
            raise
        raise shape.Refused("broken") from None
    made = BytesIO()
    square.save(made, "WEBP", quality=QUALITY, method=4, exif=b"", icc_profile=None, xmp=b"")
    return made.getvalue()


def _check(image: Any, data: bytes, shape: Any) -> None:
    """The header's own word on size and number of pictures, before a pixel is decoded; then every checksum."""
    with image.open(BytesIO(data), formats=("JPEG", "PNG", "WEBP")) as found:
        width, height = found.size
        if width * height > shape.MOST_PIXELS:
            raise shape.Refused("too-many-pixels")
        if min(width, height) < shape.LEAST_SIDE_PX:
            raise shape.Refused("too-small")
        if found.format in ("PNG", "WEBP") and getattr(found, "n_frames", 1) > 1:
            raise shape.Refused("animated")
        found.verify()


def _square(image: Any, found: Any) -> Any:
    """The middle square in a picture that never was a file: only pixels go over."""
    side = min(found.size)
    left, top = (found.width - side) // 2, (found.height - side) // 2
    part = found.crop((left, top, left + side, top + side))
    if part.mode in ("RGBA", "LA", "PA") or "transparency" in part.info:
        ground = image.new("RGBA", part.size, (255, 255, 255, 255))
        part = image.alpha_composite(ground, part.convert("RGBA"))
    part = part.convert("RGB")
    part.thumbnail((MOST_SIDE_PX, MOST_SIDE_PX), image.Resampling.LANCZOS)
    fresh = image.new("RGB", part.size)
    fresh.paste(part)
    return fresh


def main() -> int:
    """The child's whole life."""
    import resource

    resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))
    resource.setrlimit(resource.RLIMIT_CPU, (CPU_S, CPU_S))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    try:
        made = remade(sys.stdin.buffer.read())
    except MemoryError:
        sys.stderr.write("too-many-pixels")
        return REFUSED
    except ValueError as refused:
        sys.stderr.write(getattr(refused, "code", "broken"))
        return REFUSED
    sys.stdout.buffer.write(made)
    return 0


if __name__ == "__main__":
    sys.exit(main())
