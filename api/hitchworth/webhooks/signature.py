"""The signature of a message, by the Standard Webhooks specification, version 1.0.0, symmetric scheme (v1)."""

import hmac
from base64 import b64decode, b64encode
from collections.abc import Iterable
from hashlib import sha256

PREFIX = "whsec_"


def signed_headers(message: str, timestamp: int, body: bytes, secrets: Iterable[str]) -> dict[str, str]:
    """Return the headers of a message: its id, the time in seconds since 1970, and a signature for each secret."""
    return {
        "webhook-id": message,
        "webhook-timestamp": str(timestamp),
        "webhook-signature": " ".join(_signature(message, timestamp, body, secret) for secret in secrets),
    }


def _signature(message: str, timestamp: int, body: bytes, secret: str) -> str:
    content = f"{message}.{timestamp}.".encode() + body
    digest = hmac.new(b64decode(secret.removeprefix(PREFIX)), content, sha256).digest()
    return f"v1,{b64encode(digest).decode()}"
