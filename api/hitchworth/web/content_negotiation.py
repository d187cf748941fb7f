"""Formats of answers: which there are, and which of them a request would rather have."""

import re
from collections.abc import Callable, Sequence
from typing import Any

import msgspec
from msgspec import Struct

JSON = "application/json"
_encoder = msgspec.json.Encoder()
_QUALITY = re.compile(r"\s*q\s*=\s*([01](?:\.[0-9]{0,3})?)\s*", re.IGNORECASE)


class Rendering(Struct, frozen=True):
    """One format in which an answer can be had."""

    name: str
    """What `?format=` calls it."""
    media_type: str
    render: Callable[[Any], bytes]

    @property
    def content_type(self) -> str:
        return f"{self.media_type}; charset=utf-8" if self.media_type.startswith("text/") else self.media_type


AS_JSON = Rendering("json", JSON, _encoder.encode)


def preferred(accept: str, renderings: Sequence[Rendering]) -> Rendering | None:
    """The rendering that the header Accept likes best, the first of equals; None when it admits none of them.

    What the header says wrongly is passed over.
    """
    if not accept.strip():
        return renderings[0]
    wishes = [_wish(part) for part in accept.split(",")]
    rated = [(_quality(rendering.media_type, wishes), rendering) for rendering in renderings]
    best, rendering = max(rated, key=lambda pair: pair[0])
    return rendering if best > 0 else None


def _wish(part: str) -> tuple[str, float]:
    """A media range and its weight."""
    media_range, *parameters = part.split(";")
    weights = [float(match[1]) for parameter in parameters if (match := _QUALITY.fullmatch(parameter))]
    return media_range.strip().lower(), weights[0] if weights else 1.0


def _quality(media_type: str, wishes: Sequence[tuple[str, float]]) -> float:
    """The weight that the closest range gives to a media type (RFC 9110, 12.5.1)."""
    for media_range in (media_type, f"{media_type.partition('/')[0]}/*", "*/*"):
        weights = [weight for wish, weight in wishes if wish == media_range]
        if weights:
            return max(weights)
    return 0.0
