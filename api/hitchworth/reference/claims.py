"""What to do after a loss, and the time limits of claims by jurisdiction."""

from functools import cache
from typing import Literal, TypeAlias

from msgspec import Struct

from hitchworth.model.after_loss import ClaimStep, TimeUnit, When
from hitchworth.model.assessment import Provenance
from hitchworth.reference.jurisdictions import jurisdictions
from hitchworth.reference.load import read

RecordedItem: TypeAlias = Literal[
    "vin", "suggested_vin", "serial_numbers", "unproven", "protections", "no_protections", "unfinished"
]
"""What the record of a build may hold.

`suggested_vin` means a serial number of the base to confirm as the VIN, `unproven` components without a receipt, and
`no_protections` that there are known to be none.
"""


class ClaimDuty(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Something to do after a loss. Without perils it applies to any peril."""

    id: str
    when: When
    text: str
    perils: tuple[str, ...] = ()
    if_recorded: tuple[RecordedItem, ...] = ()
    if_not_recorded: tuple[RecordedItem, ...] = ()


class ClaimTimeLimit(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A time limit. Without perils it applies to any peril; `text`, if any, replaces the text of the step."""

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
    """The checklist after a loss, and the time limits."""

    checklist: tuple[ClaimDuty, ...]
    time_limits: tuple[ClaimTimeLimit, ...]


@cache
def claims() -> Claims:
    """Return the checklist and the time limits."""
    return read("claims.yaml", Claims)


@cache
def time_limits_for(code: str | None) -> tuple[ClaimTimeLimit, ...]:
    """Return the time limits of the jurisdiction: for each step its own, else those of a wider one, else the usual."""
    entry = jurisdictions().get(code or "")
    nearest: dict[ClaimStep, tuple[ClaimTimeLimit, ...]] = {}
    for place in (*(entry.chain if entry else ()), None):
        here = tuple(limit for limit in claims().time_limits if limit.jurisdiction == place)
        for step in dict.fromkeys(limit.step for limit in here):
            nearest.setdefault(step, tuple(limit for limit in here if limit.step == step))
    return tuple(limit for limits in nearest.values() for limit in limits)
