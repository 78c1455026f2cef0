"""A photo for whoever it is shared with, by an address that is theirs alone and good for minutes."""

from __future__ import annotations

from django.core import signing

from athletes.records.errors import NotFound
from athletes.records.photos import keeping
from athletes.records.viewer import Viewer

GOOD_FOR_S = 300


def sign(name: str, session_key: str | None) -> str:
    """What an address needs beside the photo's name; no other session can use it, and it is good for five minutes."""
    return _signer(session_key).sign(name).rpartition(name + ":")[2]


def see_photo(viewer: Viewer, name: str, signature: str, session_key: str | None) -> bytes:
    """The picture. Raises NotFound for an address that is old or another's, and for whoever it is not shared with."""
    try:
        _signer(session_key).unsign(f"{name}:{signature}", max_age=GOOD_FOR_S)
    except signing.BadSignature:
        raise NotFound from None
    return keeping.content(viewer, name)


def _signer(session_key: str | None) -> signing.TimestampSigner:
    if not session_key:
        raise NotFound
    return signing.TimestampSigner(salt=f"tenpads.photo.{session_key}")
