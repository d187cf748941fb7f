"""Content negotiation: the rendering that fits the Accept header best (RFC 9110, 12.5.1)."""

import re
from collections.abc import Sequence

from hitchworth.operations.renderings import Rendering

_QUALITY = re.compile(r"\s*q\s*=\s*([01](?:\.[0-9]{0,3})?)\s*", re.IGNORECASE)


def preferred(accept: str, renderings: Sequence[Rendering]) -> Rendering | None:
    """Return the rendering with the highest weight in the Accept header, the first of equals; None if none fits.

    Malformed parts of the header are ignored.
    """
    if not accept.strip():
        return renderings[0]
    media_ranges = [_media_range(part) for part in accept.split(",")]
    rated = [(_quality(rendering.media_type, media_ranges), rendering) for rendering in renderings]
    best, rendering = max(rated, key=lambda pair: pair[0])
    return rendering if best > 0 else None


def _media_range(part: str) -> tuple[str, float]:
    """Return a media range and its weight."""
    media_range, *parameters = part.split(";")
    weights = [float(match[1]) for parameter in parameters if (match := _QUALITY.fullmatch(parameter))]
    return media_range.strip().lower(), weights[0] if weights else 1.0


def _quality(media_type: str, media_ranges: Sequence[tuple[str, float]]) -> float:
    """Return the weight that the most specific range gives a media type, whatever its parameters.

    Of a range named twice, the higher.
    """
    essence = media_type.partition(";")[0]
    for specific in (essence, f"{essence.partition('/')[0]}/*", "*/*"):
        weights = [weight for media_range, weight in media_ranges if media_range == specific]
        if weights:
            return max(weights)
    return 0.0
