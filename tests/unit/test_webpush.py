"""Encryption and signature of messages against the examples of the standards, byte for byte, and against the general
library's own reading of what we send.

RFC 8291, section 5 and appendix A; RFC 8292, section 2.4. Only random parts are given from outside.
"""

from __future__ import annotations

import json
import struct

import pytest
from cryptography.exceptions import InvalidSignature, InvalidTag
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import encode_dss_signature
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF

from coaching.usecases.reminding import webpush
from coaching.usecases.reminding.webpush import Browser, decoded, encoded

PLAIN = b"When I grow up, I want to be a watermelon"
SENDER_PRIVATE = "yfWPiYE-n46HLnH0KqZOF1fJJU3MYrct3AELtAQ-oRw"
SENDER_PUBLIC = "BP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A8"
BROWSER_PRIVATE = "q1dXpw3UpT5VOmu_cf_v6ih07Aems3njxI-JWgLcM94"
BROWSER_PUBLIC = "BCVxsr7N_eNgVRqvHtD0zTZsEc6-VV-JvLexhqUzORcxaOzi6-AYWXvTBHm4bjyPjs7Vd8pZGH6SRpkNtoIAiw4"
AUTH, SALT = "BTBZMqHH6r4Tts7J_aSIgg", "DGv6ra1nlYgDCS1FRnbzlw"
BODY = (
    "DGv6ra1nlYgDCS1FRnbzlwAAEABBBP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A_"
    "yl95bQpu6cVPTpK4Mqgkf1CXztLVBSt2Ks3oZwbuwXPXLWyouBWLVWGNWQexSgSxsj_Qulcy4a-fN"
)
TOKEN = (
    "eyJ0eXAiOiJKV1QiLCJhbGciOiJFUzI1NiJ9.eyJhdWQiOiJodHRwczovL3B1c2guZXhhbXBsZS5uZXQiLCJleHAiOjE0NTM1MjM3NjgsInN1YiI6"
    "Im1haWx0bzpwdXNoQGV4YW1wbGUuY29tIn0.i3CYb7t4xfxCDquptFOepC9GAu_HLGkMlMuCGSK2rpiUfnK9ojFwDXb1JrErtmysazNjjvW2L9OkSSHz"
    "voD1oA"
)
TOKEN_KEY = "BA1Hxzyi1RUM1b5wjxsn7nGxAszw2u61m164i3MrAIxHF6YK5h4SDYic-dRuU_RCPCfA5aq9ojSwk5Y2EmClBPs"
BROWSER = Browser("https://push.example.net/push/JzLQ3raZJfFBR0aqvOMsLrt54w4rJUsV", BROWSER_PUBLIC, AUTH)


def test_the_example_of_rfc_8291_byte_for_byte() -> None:
    key = webpush.private(SENDER_PRIVATE)
    assert encoded(webpush.public(key)) == SENDER_PUBLIC
    assert encoded(webpush.encrypt(PLAIN, BROWSER, decoded(SALT), key)) == BODY


def opened(body: bytes) -> bytes:
    """The receiving end, written from RFC 8188 and 8291 apart from the sender: the record with its padding."""
    salt, size, length = body[:16], *struct.unpack(">IB", body[16:21])
    theirs_raw, sealed = body[21 : 21 + length], body[21 + length :]
    assert len(sealed) <= size
    own = webpush.private(BROWSER_PRIVATE)
    shared = own.exchange(ec.ECDH(), ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), theirs_raw))
    info = b"WebPush: info\0" + decoded(BROWSER_PUBLIC) + theirs_raw
    known = HKDF(SHA256(), 32, decoded(AUTH), info).derive(shared)
    key = HKDF(SHA256(), 16, salt, b"Content-Encoding: aes128gcm\0").derive(known)
    nonce = HKDF(SHA256(), 12, salt, b"Content-Encoding: nonce\0").derive(known)
    return AESGCM(key).decrypt(nonce, sealed, None)


def test_the_browser_reads_what_is_sent_and_its_length_says_nothing() -> None:
    salt = bytes(range(16))
    bodies = [
        webpush.encrypt(text, BROWSER, salt, ec.generate_private_key(ec.SECP256R1()), webpush.PADDED)
        for text in (b"a", "Straße".encode(), b"x" * webpush.PADDED)
    ]
    assert len({len(body) for body in bodies}) == 1
    found = [opened(body).rstrip(b"\0") for body in bodies]
    assert found == [b"a\x02", "Straße".encode() + b"\x02", b"x" * webpush.PADDED + b"\x02"]


def test_a_changed_byte_is_refused_by_the_browser() -> None:
    body = bytearray(decoded(BODY))
    body[-1] ^= 1
    with pytest.raises(InvalidTag):
        opened(bytes(body))


def test_what_is_too_long_for_one_record_is_refused() -> None:
    key = webpush.private(SENDER_PRIVATE)
    assert webpush.encrypt(b"x" * (4096 - 17), BROWSER, decoded(SALT), key)
    with pytest.raises(ValueError, match="too long"):
        webpush.encrypt(b"x" * (4096 - 16), BROWSER, decoded(SALT), key)


def verified(token: str, key: str) -> dict[str, object]:
    """The claims of a token, by the general library. Raises InvalidSignature."""
    text, _, signature = token.rpartition(".")
    raw = decoded(signature)
    assert len(raw) == 64
    whole = encode_dss_signature(int.from_bytes(raw[:32], "big"), int.from_bytes(raw[32:], "big"))
    public = ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), decoded(key))
    public.verify(whole, text.encode(), ec.ECDSA(SHA256()))
    head, claims = (json.loads(decoded(part)) for part in text.split("."))
    assert head == {"typ": "JWT", "alg": "ES256"}
    return claims


def test_the_reader_of_tokens_takes_the_example_of_rfc_8292_and_no_other() -> None:
    assert verified(TOKEN, TOKEN_KEY) == {
        "aud": "https://push.example.net", "exp": 1453523768, "sub": "mailto:push@example.com",
    }  # fmt: skip
    with pytest.raises(InvalidSignature):
        verified(TOKEN, SENDER_PUBLIC)


def test_our_token_has_the_shape_of_the_example_and_is_good_for_less_than_a_day() -> None:
    key = webpush.private(webpush.new_key())
    said = webpush.signed("https://push.example.net:443/p?x=1", "mailto:us@example.org", key, 1_453_437_368)
    scheme, _, rest = said.partition(" ")
    fields = dict(part.strip().split("=", 1) for part in rest.split(","))
    assert scheme == "vapid" and set(fields) == {"t", "k"}
    assert fields["k"] == encoded(webpush.public(key))
    claims = verified(fields["t"], fields["k"])
    assert claims["aud"] == "https://push.example.net:443" and claims["sub"] == "mailto:us@example.org"
    assert 0 < int(str(claims["exp"])) - 1_453_437_368 <= 86_400  # RFC 8292, 2


@pytest.mark.parametrize(
    ("p256dh", "auth"),
    [("", AUTH), (BROWSER_PUBLIC, ""), (BROWSER_PUBLIC[:-4], AUTH), (BROWSER_PUBLIC, AUTH[:-2]), ("é", AUTH),
     ("B" + "A" * 86, AUTH), (BROWSER_PUBLIC, "!" * 22)],
)  # fmt: skip
def test_values_that_are_none_of_a_browsers_are_told_apart(p256dh: str, auth: str) -> None:
    assert webpush.usable(BROWSER) and not webpush.usable(Browser(BROWSER.endpoint, p256dh, auth))
