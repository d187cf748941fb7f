"""Jurisdictions: the ones that are named have definitions here."""

from collections.abc import Iterator

from hitchworth.model.fault import Fault
from hitchworth.reference.jurisdictions import jurisdictions


def unknown_jurisdiction(code: str | None) -> Iterator[Fault]:
    """Null is a jurisdiction not yet known, and no fault."""
    if code is not None:
        yield from _unknown(code, "/jurisdiction", "null or one of")


def unknown_borders(codes: tuple[str, ...]) -> Iterator[Fault]:
    """The places across the border that are named."""
    for index, code in enumerate(codes):
        yield from _unknown(code, f"/travels_to/{index}", "one of")


def _unknown(code: str, pointer: str, expected: str) -> Iterator[Fault]:
    if code not in jurisdictions():
        yield Fault(
            pointer=pointer,
            detail="No definitions of this jurisdiction",
            expected=f"{expected} {', '.join(jurisdictions())}",
            found=code,
        )
