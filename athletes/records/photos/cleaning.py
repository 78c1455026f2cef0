"""A camera's file in, a clean picture out: made anew by a child process, then looked through for all but pixels."""

from __future__ import annotations

import os
import struct
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

from athletes.records.photos.shape import MOST_BYTES, REFUSALS, Refused, picture_of, riff_chunks

CHILD = Path(__file__).with_name("remaking.py")
PATIENCE_S = 30
MOST_MB = MOST_BYTES // 2**20
TELLTALES = (
    b"Exif", b"EXIF", b"XMP ", b"ICCP", b"ICC_PROFILE", b"acsp", b"http://ns.adobe.com", b"x:xmpmeta", b"Photoshop",
    b"JFIF", b"tEXt", b"iTXt", b"MPF\x00",
)  # fmt: skip
"""Names under which cameras and programs write beside the pixels."""


@dataclass(frozen=True)
class Clean:
    """A WebP with one chunk, the coded pixels; sides in px."""

    content: bytes
    width_px: int
    height_px: int


def cleaned(data: bytes) -> Clean:
    """Raises `Refused`, whose code says why."""
    picture_of(data)  # cheap, and before a process is started
    try:
        done = subprocess.run(  # noqa: S603 - our own file
            [sys.executable, "-I", "-c", _START.format(folder=str(CHILD.parent))],
            input=data, capture_output=True, timeout=PATIENCE_S, check=False, env={"PATH": os.environ.get("PATH", "")},
        )  # fmt: skip
    except subprocess.TimeoutExpired:
        raise Refused("too-many-pixels") from None
    if done.returncode:
        said = done.stderr.decode("ascii", "replace")
        raise Refused(said if said in REFUSALS else "broken")
    return checked(done.stdout)


_START = "import sys; sys.path.insert(0, {folder!r}); import remaking; sys.exit(remaking.main())"


def checked(made: bytes) -> Clean:
    """The output held to what it must be: one chunk of pixels and nothing else. Raises RuntimeError where it is not,
    because that is our own fault and nothing may be kept.
    """
    chunks = list(riff_chunks(made)) if made[:4] == b"RIFF" and made[8:12] == b"WEBP" else []
    if [kind for kind, _ in chunks] != [b"VP8 "] or len(made) != 8 + struct.unpack_from("<I", made, 4)[0]:
        raise RuntimeError("a cleaned picture holds more than its pixels")
    if any(sign in made[:64] or sign in made[-64:] for sign in TELLTALES):
        raise RuntimeError("a cleaned picture holds words beside its pixels")
    width, height = struct.unpack_from("<HH", chunks[0][1], 6)  # RFC 6386 section 9.1, after the start code
    return Clean(made, width & 0x3FFF, height & 0x3FFF)
