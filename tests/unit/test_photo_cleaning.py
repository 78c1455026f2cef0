"""A photo leaves with nothing but its pixels: canaries planted wherever a camera or a program writes, in every kind of
file, and 0 of them in what comes out. What is no plain photo is refused by name.

The planted segments are made by hand after the formats' own texts: JPEG APPn and COM (ITU-T T.81 annex B), EXIF inside
APP1 (CIPA DC-008), PNG chunks with CRC-32 (ISO/IEC 15948), RIFF chunks of WebP (RFC 9649). Pillow makes the pixels.
"""

from __future__ import annotations

import struct
import zlib
from io import BytesIO

import pytest
from PIL import Image

from athletes.records.photos.cleaning import checked, cleaned
from athletes.records.photos.shape import LEAST_SIDE_PX, MOST_BYTES, Refused

CANARY = b"Qzxcanary"
NAMES = ("exif", "xmp", "icc", "comment", "thumbnail", "maker")


def word(name: str) -> bytes:
    return CANARY + name.encode()


def pixels(size: tuple[int, int] = (80, 60), mode: str = "RGB") -> Image.Image:
    """Left half dark, right half light, so that a turn can be seen."""
    found = Image.new(mode, size, (20, 20, 20, 255)[: len(mode)] if mode != "L" else 20)
    found.paste((230, 200, 190, 255)[: len(mode)] if mode != "L" else 230, (size[0] // 2, 0, size[0], size[1]))
    return found


def written(kind: str, size: tuple[int, int] = (80, 60), **more: object) -> bytes:
    out = BytesIO()
    pixels(size).save(out, kind, **more)
    return out.getvalue()


def exif(orientation: int = 1) -> bytes:
    """A TIFF block: orientation, a description, GPS text, and in IFD1 a small copy of the picture."""
    text, small = word("exif") + b"\0", word("thumbnail") + written("JPEG", (16, 12))
    entries = 2
    ifd0 = 8
    at = ifd0 + 2 + entries * 12 + 4
    ifd1 = at + len(text)
    data_at = ifd1 + 2 + 3 * 12 + 4
    block = b"II*\0" + struct.pack("<I", ifd0) + struct.pack("<H", entries)
    block += struct.pack("<HHII", 0x010E, 2, len(text), at)
    block += struct.pack("<HHIHH", 0x0112, 3, 1, orientation, 0) + struct.pack("<I", ifd1) + text
    block += struct.pack("<H", 3) + struct.pack("<HHIHH", 0x0103, 3, 1, 6, 0)
    block += struct.pack("<HHII", 0x0201, 4, 1, data_at) + struct.pack("<HHII", 0x0202, 4, 1, len(small))
    return block + struct.pack("<I", 0) + small


XMP = b"<?xpacket begin=''?><x:xmpmeta xmlns:x='adobe:ns:meta/'>" + word("xmp") + b"</x:xmpmeta>"


def icc() -> bytes:
    body = word("icc").ljust(128, b"\0")
    return struct.pack(">I", len(body)) + body[4:36] + b"acsp" + body[40:] + word("icc")


def segment(marker: int, body: bytes) -> bytes:
    return bytes((0xFF, marker)) + struct.pack(">H", len(body) + 2) + body


def jpeg(orientation: int = 1) -> bytes:
    plain = written("JPEG")
    planted = segment(0xE1, b"Exif\0\0" + exif(orientation))
    planted += segment(0xE1, b"http://ns.adobe.com/xap/1.0/\0" + XMP)
    planted += segment(0xE2, b"ICC_PROFILE\0\1\1" + icc()) + segment(0xED, b"Photoshop 3.0\0" + word("maker"))
    return plain[:2] + planted + segment(0xFE, word("comment")) + plain[2:]


def chunk(kind: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


def png(orientation: int = 1) -> bytes:
    plain = written("PNG")
    planted = chunk(b"eXIf", exif(orientation)) + chunk(b"tEXt", b"Comment\0" + word("comment"))
    planted += chunk(b"iTXt", b"XML:com.adobe.xmp\0\0\0\0\0" + XMP) + chunk(b"prVt", word("maker"))
    planted += chunk(b"iCCP", b"p\0\0" + zlib.compress(icc())) + chunk(b"zTXt", b"t\0\0" + zlib.compress(word("icc")))
    return plain[:33] + planted + plain[33:]


def riff(kind: bytes, body: bytes) -> bytes:
    return kind + struct.pack("<I", len(body)) + body + b"\0" * (len(body) % 2)


def webp(orientation: int = 1) -> bytes:
    plain = written("WEBP", lossless=False)
    coded = plain[12:]
    flags = bytes((0x2C, 0, 0, 0)) + (79).to_bytes(3, "little") + (59).to_bytes(3, "little")
    chunks = riff(b"VP8X", flags) + riff(b"ICCP", icc()) + coded + riff(b"EXIF", exif(orientation))
    chunks += riff(b"XMP ", XMP + word("comment")) + riff(b"zzzz", word("maker"))
    return b"RIFF" + struct.pack("<I", 4 + len(chunks)) + b"WEBP" + chunks


MADE = {"jpeg": jpeg, "png": png, "webp": webp}


@pytest.mark.parametrize("kind", MADE)
def test_no_canary_comes_out(kind: str) -> None:
    given = MADE[kind]()
    planted = [name for name in NAMES if word(name) in given or (kind == "png" and name == "icc")]
    assert set(planted) == set(NAMES), "the file under test does not hold what it should"
    found = cleaned(given)
    assert CANARY not in found.content
    assert [name for name in (b"EXIF", b"XMP ", b"ICCP", b"Exif", b"acsp") if name in found.content] == []
    with Image.open(BytesIO(found.content)) as opened:
        assert (opened.format, opened.size, dict(opened.getexif())) == ("WEBP", (60, 60), {})
        assert {"exif", "xmp", "icc_profile"}.isdisjoint(opened.info)
    assert (found.width_px, found.height_px) == (60, 60)


@pytest.mark.parametrize("kind", MADE)
def test_a_turned_photo_stands_upright_afterwards(kind: str) -> None:
    """Orientation 6 (EXIF 0x0112), a quarter turn: the light half, at the right, comes to the bottom."""
    with Image.open(BytesIO(cleaned(MADE[kind](6)).content)) as found:
        grey = found.convert("L")
        assert grey.getpixel((30, 5)) < 80 < 150 < grey.getpixel((30, 55))


def test_it_is_made_small_and_square() -> None:
    with Image.open(BytesIO(cleaned(written("JPEG", (4000, 2600))).content)) as found:
        assert found.size == (1600, 1600)


def test_what_is_seen_through_stands_on_white() -> None:
    out = BytesIO()
    Image.new("RGBA", (64, 64), (0, 0, 0, 0)).save(out, "PNG")
    with Image.open(BytesIO(cleaned(out.getvalue()).content)) as found:
        assert min(found.convert("RGB").getpixel((32, 32))) > 245


def animated(kind: str) -> bytes:
    out = BytesIO()
    frames = [pixels((64, 64)), Image.new("RGB", (64, 64), (1, 2, 3))]
    frames[0].save(out, kind, save_all=True, append_images=frames[1:], duration=100)
    return out.getvalue()


def flood(width: int, height: int) -> bytes:
    """A few kilobytes of PNG that unpack to hundreds of megabytes: one grey byte a pixel, all nought."""
    head = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0))
    packed = zlib.compressobj(9)
    body = b"".join(packed.compress(b"\0" * (width + 1)) for _ in range(height)) + packed.flush()
    return b"\x89PNG\r\n\x1a\n" + head + chunk(b"IDAT", body) + chunk(b"IEND", b"")


def broken_crc() -> bytes:
    found = bytearray(written("PNG"))
    found[-20] ^= 0xFF
    return bytes(found)


GOOD_JPEG = written("JPEG")
REFUSED = {
    "nothing": (b"", "empty"),
    "11 MB": (GOOD_JPEG + b"\0" * (MOST_BYTES + 1), "too-big"),
    "a text": (b"photo.jpg", "wrong-type"),
    "a page that is called a photo": (b"<html><img src=x></html>", "wrong-type"),
    "a drawing": (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "wrong-type"),
    "a GIF": (b"GIF89a" + b"\0" * 64, "wrong-type"),
    "a TIFF": (b"II*\0" + b"\0" * 64, "wrong-type"),
    "half a JPEG": (GOOD_JPEG[: len(GOOD_JPEG) // 2], "broken"),
    "a JPEG's beginning": (GOOD_JPEG[:4], "broken"),
    "half a PNG": (written("PNG")[:60], "broken"),
    "a PNG with a wrong sum": (broken_crc(), "broken"),
    "half a WebP": (written("WEBP")[:40], "broken"),
    "a moving PNG": (animated("PNG"), "animated"),
    "a moving WebP": (animated("WEBP"), "animated"),
    "a JPEG with a ZIP behind it": (GOOD_JPEG + b"PK\x03\x04", "more-in-it"),
    "a PNG with a page behind it": (written("PNG") + b"<script>", "more-in-it"),
    "a JPEG that is a PDF as well": (GOOD_JPEG[:2] + segment(0xFE, b"%PDF-1.7 ") + GOOD_JPEG[2:], "more-in-it"),
    "a JPEG with a program in it": (GOOD_JPEG[:2] + segment(0xE5, b"<?php x") + GOOD_JPEG[2:], "more-in-it"),
    "a WebP with a film behind it": (written("WEBP") + b"ftypmp42", "more-in-it"),
    "a flood of 36 megapixels": (flood(6000, 6000), "too-many-pixels"),
    "a flood of 400 megapixels": (flood(20000, 20000), "too-many-pixels"),
    "a speck": (written("PNG", (LEAST_SIDE_PX - 1, 80)), "too-small"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_is_no_plain_photo_is_refused_by_name(name: str) -> None:
    data, code = REFUSED[name]
    with pytest.raises(Refused) as refused:
        cleaned(data)
    assert refused.value.code == code


def test_the_second_picture_that_phones_hang_on_is_cut_off_and_the_photo_taken() -> None:
    behind = GOOD_JPEG[:2] + segment(0xFE, word("comment")) + GOOD_JPEG[2:]
    found = cleaned(GOOD_JPEG + behind)
    assert CANARY not in found.content and found.width_px == 60


def test_every_cut_of_a_file_is_refused_or_comes_out_clean() -> None:
    """At each 1/24 of the file and with single bytes turned, nothing but a refusal or a clean picture."""
    for kind, make in MADE.items():
        whole = make()
        for part in range(1, 24):
            at = len(whole) * part // 24
            turned = whole[:at] + bytes((whole[at] ^ 0x5A,)) + whole[at + 1 :]
            for data in (whole[:at], turned):
                try:
                    assert CANARY not in cleaned(data).content, (kind, part)
                except Refused:
                    continue


@pytest.mark.parametrize("planted", [b"EXIF", b"XMP ", b"ICCP"])
def test_an_output_with_more_than_pixels_is_our_own_fault_and_kept_nowhere(planted: bytes) -> None:
    clean = cleaned(GOOD_JPEG).content
    body = clean[12:] + riff(planted, CANARY)
    with pytest.raises(RuntimeError):
        checked(b"RIFF" + struct.pack("<I", 4 + len(body)) + b"WEBP" + body)
    with pytest.raises(RuntimeError):
        checked(clean + CANARY)
