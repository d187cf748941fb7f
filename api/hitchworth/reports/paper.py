"""The paper that a region prints on."""

from hitchworth.reports.content import Paper

_LETTER = frozenset(["US", "CA", "MX", "PH", "CL", "CO", "VE", "CR", "GT", "PA", "SV", "NI", "PR", "BZ"])
"""Regions that print on Letter (common practice); the others print on A4, ISO 216."""


def paper_of(region: str | None) -> Paper:
    """Letter or A4. `region` is a territory of ISO 3166, or None."""
    return "letter" if region in _LETTER else "a4"
