"""Messages for a browser: encrypted for it alone (RFC 8291 over RFC 8188) and signed with the installation's key
(RFC 8292). The push service that carries them learns when and to which browser, and nothing of what they say.
"""

from __future__ import annotations

import base64
import json
import struct
from dataclasses import dataclass
from urllib.parse import urlsplit

from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import decode_dss_signature
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

CURVE = ec.SECP256R1()
RECORD = 4096
PADDED = 256
"""Every message is as long as every other, so that its length says nothing (RFC 8291, 4)."""
TOKEN_S = 12 * 3600
"""How long a signature is good; RFC 8292, 2 allows a day."""


@dataclass(frozen=True)
class Browser:
    """Where a browser takes messages, and the two values that it reads them with, as it gave them (base64url)."""

    endpoint: str
    p256dh: str
    auth: str


def encrypt(message: bytes, browser: Browser, salt: bytes, key: ec.EllipticCurvePrivateKey, padded: int = 0) -> bytes:
    """One record of content coding aes128gcm. `salt` are 16 random bytes and `key` a key of this message alone;
    `padded` is how many bytes the message has at least. Raises ValueError where the browser's values are none.
    """
    theirs_raw, auth = decoded(browser.p256dh), decoded(browser.auth)
    theirs = ec.EllipticCurvePublicKey.from_encoded_point(CURVE, theirs_raw)
    ours_raw = public(key)
    shared = key.exchange(ec.ECDH(), theirs)
    # RFC 8291, 3.4: first the secret that both ends know, bound to both keys; then RFC 8188, 2.2 and 2.3.
    known = _derived(shared, auth, b"WebPush: info\x00" + theirs_raw + ours_raw, 32)
    content_key = _derived(known, salt, b"Content-Encoding: aes128gcm\x00", 16)
    nonce = _derived(known, salt, b"Content-Encoding: nonce\x00", 12)
    plain = message + b"\x02" + bytes(max(0, padded - len(message)))
    if len(plain) + 16 > RECORD:
        raise ValueError("too long for one record")
    head = salt + struct.pack(">IB", RECORD, len(ours_raw)) + ours_raw
    return head + AESGCM(content_key).encrypt(nonce, plain, None)


def signed(endpoint: str, contact: str, key: ec.EllipticCurvePrivateKey, now_s: int) -> str:
    """The `Authorization` header for an endpoint: who sends, whom to write to, and until when it is good."""
    parts = urlsplit(endpoint)
    head = {"typ": "JWT", "alg": "ES256"}
    claims = {"aud": f"{parts.scheme}://{parts.netloc}", "exp": now_s + TOKEN_S, "sub": contact}
    text = ".".join(encoded(json.dumps(part, separators=(",", ":")).encode()) for part in (head, claims))
    r, s = decode_dss_signature(key.sign(text.encode(), ec.ECDSA(SHA256())))
    signature = r.to_bytes(32, "big") + s.to_bytes(32, "big")
    return f"vapid t={text}.{encoded(signature)}, k={encoded(public(key))}"


def new_key() -> str:
    """A new key of an installation, as text for its settings."""
    number = ec.generate_private_key(CURVE).private_numbers().private_value
    return encoded(number.to_bytes(32, "big"))


def private(text: str) -> ec.EllipticCurvePrivateKey:
    """The key behind the text. Raises ValueError for what is none."""
    raw = decoded(text)
    if len(raw) != 32:
        raise ValueError("not a key")
    return ec.derive_private_key(int.from_bytes(raw, "big"), CURVE)


def public(key: ec.EllipticCurvePrivateKey) -> bytes:
    """The public half, 65 bytes, as a browser is given it."""
    return key.public_key().public_bytes(Encoding.X962, PublicFormat.UncompressedPoint)


def encoded(raw: bytes) -> str:
    """Base64url without padding (RFC 7515, 2)."""
    return base64.urlsafe_b64encode(raw).rstrip(b"=").decode()


def decoded(text: str) -> bytes:
    """Raises ValueError for what is no base64url."""
    return base64.b64decode(text + "=" * (-len(text) % 4), altchars=b"-_", validate=True)


def usable(browser: Browser) -> bool:
    """The browser's values are a point of the curve and 16 bytes."""
    try:
        ec.EllipticCurvePublicKey.from_encoded_point(CURVE, decoded(browser.p256dh))
        return len(decoded(browser.auth)) == 16 and len(decoded(browser.p256dh)) == 65
    except ValueError:
        return False


def _derived(secret: bytes, salt: bytes, info: bytes, length: int) -> bytes:
    return HKDF(SHA256(), length, salt, info).derive(secret)
