"""Keys and signatures: Ed25519 (RFC 8032, 2017) over exact bytes, by the optional library `cryptography`.

A key belongs to a laptop. It is kept outside every record, so that a record that is copied does not carry it.
"""

import os
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from trainer.records import errors

PREFIX = "packet/1"
"""What is signed begins with the kind of thing and its length, so that a signature over anything else never fits."""
KEY_LINE = "stepcall-key/1 "
KEY_BYTES, SIGNATURE_BYTES = 32, 64
Write = Callable[[Path, bytes], None]
"""Writes a file for its owner only."""


class SigningError(Exception):
    """Something about keys that the user can mend; the message is one sentence or two."""


class NoSigningError(SigningError):
    """The library that signs is not installed."""

    def __init__(self) -> None:
        super().__init__(
            "Packets are signed and checked by the library cryptography, which is not installed here; install it with: "
            "pip install 'stepcall[sign]'. Everything else works without it."
        )


class Key(NamedTuple):
    """The key of this laptop: its secret, and what may be shown of it, both 32 bytes."""

    secret: bytes
    public: bytes

    def sign(self, content: bytes) -> bytes:
        """The signature over a packet's content, 64 bytes.

        Raises:
            NoSigningError: where the library is missing.
        """
        try:
            from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
        except ImportError as error:
            raise NoSigningError from error
        return Ed25519PrivateKey.from_private_bytes(self.secret).sign(_bound(content))


def fits(public: bytes, signature: bytes, content: bytes) -> bool:
    """Whether the holder of a key signed exactly this content.

    Raises:
        NoSigningError: where the library is missing.
    """
    try:
        from cryptography.exceptions import InvalidSignature
        from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey
    except ImportError as error:
        raise NoSigningError from error
    try:
        Ed25519PublicKey.from_public_bytes(public).verify(signature, _bound(content))
    except (InvalidSignature, ValueError):
        return False
    return True


def _bound(content: bytes) -> bytes:
    return f"{PREFIX} {len(content)}\n".encode("ascii") + content


def fingerprint(public: bytes) -> str:
    """What two people compare: the first 16 hex digits of the SHA-256 of a key, in groups of four."""
    from hashlib import sha256

    digits = sha256(public).hexdigest()[:16]
    return " ".join(digits[place : place + 4] for place in range(0, 16, 4))


def device_key(path: Path, write: Write) -> Key:
    """Return the key of this laptop, made the first time.

    Args:
        path: its file.
        write: writes a file for its owner only, whole and settled on the disk.

    Raises:
        NoSigningError: where the library is missing.
        SigningError: where the file cannot be read, is no key, or cannot be made.
    """
    try:
        text = path.read_text("ascii")
    except FileNotFoundError:
        return _made(path, write)
    except (OSError, UnicodeDecodeError) as error:
        raise SigningError(
            f"The key of this laptop, {path}, cannot be read; put a backup copy in its place."
        ) from error
    try:
        secret = bytes.fromhex(text.removeprefix(KEY_LINE).strip()) if text.startswith(KEY_LINE) else b""
    except ValueError:
        secret = b""
    if len(secret) != KEY_BYTES:
        raise SigningError(
            f"The file {path} should hold the key of this laptop and does not; put a backup copy in its place, or move "
            "it away, and a new key is made that others must accept anew."
        )
    return Key(secret, _public(secret))


def _made(path: Path, write: Write) -> Key:
    secret = os.urandom(KEY_BYTES)
    key = Key(secret, _public(secret))
    try:
        write(path, f"{KEY_LINE}{secret.hex()}\n".encode("ascii"))
    except OSError as error:
        raise SigningError(str(errors.from_system(path, error))) from error
    return key


def _public(secret: bytes) -> bytes:
    try:
        from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
    except ImportError as error:
        raise NoSigningError from error
    return Ed25519PrivateKey.from_private_bytes(secret).public_key().public_bytes_raw()
