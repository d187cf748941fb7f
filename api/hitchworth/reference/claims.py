"""What to do after a loss, and the time limits of claims by jurisdiction."""

from functools import cache
from typing import Literal, TypeAlias

from msgspec import Struct

from hitchworth.model.after_loss import ClaimStep, TimeUnit, When
from hitchworth.model.assessment import Provenance
from hitchworth.reference.jurisdictions import jurisdictions
from hitchworth.reference.load import read

OnRecord: TypeAlias = Literal["vin", "serial_numbers", "unproven", "protections", "unfinished"]
"""What a record of a build may have: `unproven` are components without a receipt."""


class ClaimDuty(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One thing to do after a loss. Without perils it is for any."""

    id: str
    when: When
    text: str
    perils: tuple[str, ...] = ()
    given: tuple[OnRecord, ...] = ()
    lacking: tuple[OnRecord, ...] = ()


class ClaimTimeLimit(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One time limit. Without perils it is for any; `text` where the words of the step do not fit."""

    id: str
    jurisdiction: str | None
    step: ClaimStep
    within: int | None
    counted_in: TimeUnit
    source: str
    provenance: Provenance
    perils: tuple[str, ...] = ()
    text: str = ""


class Claims(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Checklist and time limits."""

    checklist: tuple[ClaimDuty, ...]
    time_limits: tuple[ClaimTimeLimit, ...]


@cache
def claims() -> Claims:
    """All of it."""
    return read("claims.yaml", Claims)


@cache
def time_limits_for(code: str | None) -> tuple[ClaimTimeLimit, ...]:
    """What runs in the jurisdiction: for each step the rules of the nearest place that has some, then what is "
    "usual."""
    entry = jurisdictions().get(code or "")
    nearest: dict[ClaimStep, tuple[ClaimTimeLimit, ...]] = {}
    for place in (*(entry.chain if entry else ()), None):
        here = tuple(limit for limit in claims().time_limits if limit.jurisdiction == place)
        for step in dict.fromkeys(limit.step for limit in here):
            nearest.setdefault(step, tuple(limit for limit in here if limit.step == step))
    return tuple(limit for limits in nearest.values() for limit in limits)
