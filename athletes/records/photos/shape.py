"""What a picture's file is made of, read without decoding a pixel: its kind, where it ends, what else rides in it.

Sources: JPEG, ITU-T T.81 annex B (markers); PNG, ISO/IEC 15948 section 5 (chunks) and the acTL chunk of animations;
WebP, RFC 9649 section 2 (RIFF chunks). Plain bytes in, a code of `REFUSALS` or the picture's own bytes out.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator

REFUSALS = ("empty", "too-big", "wrong-type", "broken", "animated", "more-in-it", "too-many-pixels", "too-small")
MOST_BYTES = 10 * 1024 * 1024
MOST_PIXELS = 24_000_000
LEAST_SIDE_PX = 32
PNG = b"\x89PNG\r\n\x1a\n"
STRANGE = (b"%pdf-", b"<script", b"<html", b"<svg", b"<?php", b"<!doctype")
"""Beginnings of other kinds of file that no camera writes beside its pixels."""
ZIP_ENDS = b"PK\x05\x06"
_STANDALONE = frozenset({0x01, *range(0xD0, 0xD8)})


class Refused(ValueError):
    """The picture is not taken; `code` is one of `REFUSALS`."""

    def __init__(self, code: str) -> None:
        super().__init__(code)
        self.code = code


def picture_of(data: bytes) -> bytes:
    """The bytes of the one still picture in the file. Raises Refused.

    Phones hang a second JPEG behind the first (a map of brightness); it is cut off. Anything else behind the picture,
    or another file's beginning in what is written beside the pixels, is refused.
    """
    if not data:
        raise Refused("empty")
    if len(data) > MOST_BYTES:
        raise Refused("too-big")
    try:
        if data.startswith(b"\xff\xd8\xff"):
            return _jpeg(data)
        if data.startswith(PNG):
            return _png(data)
        if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
            return _webp(data)
    except (struct.error, IndexError):
        raise Refused("broken") from None
    raise Refused("wrong-type")


def _no_stranger(beside: bytes) -> None:
    lower = beside.lower()
    if any(sign in lower for sign in STRANGE) or ZIP_ENDS in beside:
        raise Refused("more-in-it")


def _jpeg(data: bytes) -> bytes:
    end = _jpeg_end(data)
    rest = end
    while data[rest : rest + 3] == b"\xff\xd8\xff":
        rest += _jpeg_end(data[rest:])
    if data[rest:].strip(b"\x00"):
        raise Refused("more-in-it")
    return data[:end]


def _jpeg_end(data: bytes) -> int:
    """Where the picture ends that begins at 0."""
    at = 2
    while True:
        if data[at] != 0xFF:
            raise Refused("broken")
        while data[at] == 0xFF:
            at += 1
        marker = data[at]
        at += 1
        if marker == 0xD9:
            return at
        if marker in _STANDALONE:
            continue
        (size,) = struct.unpack_from(">H", data, at)
        if size < 2:
            raise Refused("broken")
        if marker in (0xFE, *range(0xE0, 0xF0)):
            _no_stranger(data[at + 2 : at + size])
        at += size
        if marker == 0xDA:
            at = _scan_end(data, at)


def _scan_end(data: bytes, at: int) -> int:
    """Where the coded pixels end: at a marker that is neither a stuffed byte nor a restart."""
    while True:
        at = data.find(b"\xff", at)
        if at < 0 or at + 1 >= len(data):
            raise Refused("broken")
        following = data[at + 1]
        if following == 0xFF:
            at += 1
        elif following == 0 or following in _STANDALONE:
            at += 2
        else:
            return at


def _png(data: bytes) -> bytes:
    at = len(PNG)
    while True:
        (size,) = struct.unpack_from(">I", data, at)
        kind = data[at + 4 : at + 8]
        end = at + 12 + size
        if len(kind) < 4 or end > len(data):
            raise Refused("broken")
        if kind == b"acTL":
            raise Refused("animated")
        if kind not in (b"IDAT", b"PLTE"):
            _no_stranger(data[at + 8 : at + 8 + size])
        at = end
        if kind == b"IEND":
            break
    if data[at:].strip(b"\x00"):
        raise Refused("more-in-it")
    return data[:at]


def _webp(data: bytes) -> bytes:
    for kind, body in riff_chunks(data):
        if kind in (b"ANIM", b"ANMF") or (kind == b"VP8X" and body[:1] and body[0] & 0x02):
            raise Refused("animated")
        if kind not in (b"VP8 ", b"VP8L", b"ALPH"):
            _no_stranger(body)
    end = 8 + struct.unpack_from("<I", data, 4)[0]
    if data[end:].strip(b"\x00"):
        raise Refused("more-in-it")
    return data[:end]


def riff_chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    """(kind, body) of each chunk of a WebP file. Raises Refused where one reaches past the end."""
    end = 8 + struct.unpack_from("<I", data, 4)[0]
    at = 12
    if end > len(data):
        raise Refused("broken")
    while at + 8 <= end:
        kind, (size,) = data[at : at + 4], struct.unpack_from("<I", data, at + 4)
        if at + 8 + size > end:
            raise Refused("broken")
        yield kind, data[at + 8 : at + 8 + size]
        at += 8 + size + size % 2
