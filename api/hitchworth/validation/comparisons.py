"""Two estimates that can be compared."""

from collections.abc import Iterator

from hitchworth.model.estimate_comparison import DEFAULT_EFFECTS
from hitchworth.model.fault import Fault
from hitchworth.model.request import EstimateComparisonRequest
from hitchworth.reference.currencies import exponent_of


def currencies_differ(request: EstimateComparisonRequest) -> Iterator[Fault]:
    """Amounts of two currencies have no difference. A currency that is none has a fault of its own."""
    before, after = request.before.build.currency, request.after.build.currency
    known = exponent_of(before) is not None and exponent_of(after) is not None
    if known and before != after:
        yield Fault(
            pointer="/after/build/currency",
            detail="The two builds are in different currencies",
            expected=f"{before}, as the build before",
            found=after,
        )


def effects_not_once(request: EstimateComparisonRequest) -> Iterator[Fault]:
    """Every effect is in the order once: what is left out would be missing from the sum."""
    if sorted(request.order) != sorted(DEFAULT_EFFECTS):
        yield Fault(
            pointer="/order",
            detail="Every effect is taken once",
            expected=f"in any order: {', '.join(DEFAULT_EFFECTS)}",
            found=", ".join(request.order) or "none",
        )
