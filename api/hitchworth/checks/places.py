"""Jurisdictions: the ones that are named have definitions here."""

from collections.abc import Iterator

from hitchworth.model.fault import Fault
from hitchworth.reference.jurisdictions import jurisdictions


def unknown_jurisdiction(code: str | None) -> Iterator[Fault]:
    """Null is a jurisdiction not yet known, and no fault."""
    if code is not None and code not in jurisdictions():
        yield Fault(
            pointer="/jurisdiction",
            detail="No definitions of this jurisdiction",
            expected=f"null or one of {', '.join(jurisdictions())}",
            found=code,
        )
