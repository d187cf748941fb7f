"""For who receives messages of webhooks: verify that a message comes from the server and is of now.

The messages are signed by the Standard Webhooks specification, so any library for that does as well.
"""

import hmac
from base64 import b64decode
from binascii import Error as Base64Error
from collections.abc import Iterable, Mapping
from hashlib import sha256
from json import loads
from time import time
from typing import Any

from hitchworth_sdk.errors import WebhookVerificationError

TOLERANCE_SECONDS = 300
"""A message that was signed longer ago, or that long ahead, may be an old one that somebody sends again."""

_PREFIX = "whsec_"
_MOST_DIGITS = 15


def verify_webhook(
    headers: Mapping[str, str],
    body: bytes,
    secret: str | Iterable[str],
    *,
    tolerance_seconds: float = TOLERANCE_SECONDS,
    now: float | None = None,
) -> dict[str, Any]:
    """Return the message in a request, decoded from JSON: type, timestamp and data.

    headers: those of the request, in any case. body: its bytes, unchanged. secret: whsec_...; while it is rotated,
    both. now: seconds since 1970; default: the clock of this machine. Raises WebhookVerificationError. Remember the
    header webhook-id for a while, and leave out what has come already: a message may come twice.
    """
    sent = {name.lower(): value for name, value in headers.items()}
    try:
        message, timestamp, signatures = (sent[f"webhook-{name}"] for name in ("id", "timestamp", "signature"))
    except KeyError as error:
        raise WebhookVerificationError(f"the header {error.args[0]} is missing") from None
    if not (timestamp.isascii() and timestamp.isdigit() and len(timestamp) <= _MOST_DIGITS):
        raise WebhookVerificationError("the header webhook-timestamp is no number of seconds")
    if abs((time() if now is None else now) - int(timestamp)) > tolerance_seconds:
        raise WebhookVerificationError("the message is too old, or the clocks differ")
    content = f"{message}.{timestamp}.".encode() + body
    secrets = (secret,) if isinstance(secret, str) else tuple(secret)
    expected = [hmac.new(_key(each), content, sha256).digest() for each in secrets]
    if not any(hmac.compare_digest(one, other) for one in _sent_signatures(signatures) for other in expected):
        raise WebhookVerificationError("no signature fits")
    try:
        decoded = loads(body)
    except ValueError:
        raise WebhookVerificationError("the message is not JSON") from None
    if not isinstance(decoded, dict):
        raise WebhookVerificationError("the message is not an object")
    return decoded


def _key(secret: str) -> bytes:
    try:
        return b64decode(secret.removeprefix(_PREFIX), validate=True)
    except (Base64Error, ValueError):
        raise WebhookVerificationError("the secret is not one of a webhook: whsec_ and base64") from None


def _sent_signatures(header: str) -> Iterable[bytes]:
    for part in header.split():
        version, _, text = part.partition(",")
        if version == "v1":
            try:
                yield b64decode(text, validate=True)
            except (Base64Error, ValueError):
                continue
