"""Compression of answers (RFC 9110, 8.4): gzip, for who reads it."""

from collections.abc import Mapping
from gzip import compress

_LEVEL = 5
_COMPRESSIBLE = ("application/json", "application/x-ndjson", "image/svg+xml", "text/")
"""Beginnings of the media types of text; the others are compressed in themselves."""

MIN_BYTES = 1_000
"""A shorter content is sent as it is: it would hardly be shorter, and an answer with a secret in it is never longer."""

_SUFFIX = '-gzip"'


def coded(content: bytes, content_type: str, headers: Mapping[str, str], accepted: str) -> tuple[bytes, dict[str, str]]:
    """Return the content as it is sent, and its headers.

    The compressed form has a tag of its own, as strong tags need (RFC 9110, 8.8.3.3); `plain_tag` leads back from it.

    headers: those of the answer. With a Content-Encoding of its own, it stays as it is.
    accepted: the header Accept-Encoding, empty where there is none.
    """
    sent = {name.lower(): value for name, value in headers.items()}
    if "content-encoding" in sent or len(content) < MIN_BYTES or not content_type.startswith(_COMPRESSIBLE):
        return content, sent
    sent["vary"] = ", ".join(filter(None, (sent.get("vary"), "accept-encoding")))
    if not reads_gzip(accepted):
        return content, sent
    sent["content-encoding"] = "gzip"
    if "etag" in sent:
        sent["etag"] = sent["etag"].removesuffix('"') + _SUFFIX
    return compress(content, _LEVEL, mtime=0), sent


def plain_tag(tag: str) -> str:
    """Return the tag of the content before it was compressed."""
    return f'{tag.removesuffix(_SUFFIX)}"' if tag.endswith(_SUFFIX) else tag


def reads_gzip(accepted: str) -> bool:
    """Return whether Accept-Encoding allows gzip (RFC 9110, 12.5.3). Malformed parts of it are ignored."""
    weights: dict[str, float] = {}
    for part in accepted.lower().split(","):
        coding, *parameters = (piece.strip() for piece in part.split(";"))
        weights[coding] = _weight(parameters)
    named = [weights[coding] for coding in ("gzip", "x-gzip") if coding in weights]
    return (max(named) if named else weights.get("*", 0.0)) > 0


def _weight(parameters: list[str]) -> float:
    for parameter in parameters:
        name, _, value = parameter.partition("=")
        if name.strip() == "q":
            try:
                return float(value)
            except ValueError:
                return 0.0
    return 1.0
