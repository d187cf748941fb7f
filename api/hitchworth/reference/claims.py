"""What to do after a loss, and the time limits of claims by jurisdiction."""

from collections.abc import Iterator, Mapping
from functools import cache
from types import MappingProxyType
from typing import Literal, TypeAlias

from msgspec import Struct

from hitchworth.model.after_loss import Authority, ClaimStep, RunsFrom, TimeUnit, Under, When
from hitchworth.model.provenance import Provenance
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


BEGINS_WITH: Mapping[ClaimStep, RunsFrom] = MappingProxyType(
    {
        "notice": "loss",
        "proof_of_loss": "request",
        "acknowledge": "notice",
        "investigate": "notice",
        "decide": "proof",
        "status": "report",
        "outcome": "decision",
        "pay": "acceptance",
        "theft_wait": "notice",
        "not_looked_up": "notice",
    }
)
"""What the time of each step begins with, unless a rule says otherwise."""

MAIN_STEPS: tuple[ClaimStep, ...] = ("acknowledge", "decide", "pay")
"""The steps of the insurer on which every place should say something."""


class ClaimTimeLimit(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A time limit. Without perils it applies to any peril; `text`, if any, replaces the text of the step."""

    id: str
    jurisdiction: str
    step: ClaimStep
    within: int | None
    counted_in: TimeUnit
    source: str
    provenance: Provenance
    perils: tuple[str, ...] = ()
    runs_from: RunsFrom | None = None
    """Null: what the step begins with by default."""
    authority: Authority = "law"
    under: Under | None = None
    text: str = ""

    @property
    def begins_with(self) -> RunsFrom:
        """What the time begins with."""
        return self.runs_from or BEGINS_WITH[self.step]


class Claims(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The checklist after a loss, the time limits, and by place the rules that were not read."""

    checklist: tuple[ClaimDuty, ...]
    time_limits: tuple[ClaimTimeLimit, ...]
    not_read: dict[str, str]


@cache
def claims() -> Claims:
    """Return the checklist and the time limits."""
    return read("claims.yaml", Claims)


@cache
def time_limits_for(code: str | None) -> tuple[ClaimTimeLimit, ...]:
    """Return the time limits of the jurisdiction: for each step its own, else those of a wider one.

    A model text fills no gap of a place that has rules of its own, read or not. Where nothing was read on the proof of
    loss or on a main step of a claim, an entry says so and names the rules to look up. A place that is not known has
    none.
    """
    entry = jurisdictions().get(code or "")
    chain = entry.chain if entry else ()
    has_own_rules = code in claims().not_read or any(limit.jurisdiction == code for limit in claims().time_limits)
    nearest: dict[ClaimStep, tuple[ClaimTimeLimit, ...]] = {}
    for place in chain:
        here = tuple(
            limit
            for limit in claims().time_limits
            if limit.jurisdiction == place and not (limit.authority == "model_text" and has_own_rules and place != code)
        )
        for step in dict.fromkeys(limit.step for limit in here):
            nearest.setdefault(step, tuple(limit for limit in here if limit.step == step))
    found = tuple(limit for limits in nearest.values() for limit in limits)
    return (*found, *_not_looked_up(chain, found))


def _not_looked_up(chain: tuple[str, ...], found: tuple[ClaimTimeLimit, ...]) -> Iterator[ClaimTimeLimit]:
    """Yield an entry where nothing was read on the proof of loss, or no law or code on one of the main steps.

    A law without numbers counts for all main steps.
    """
    if not chain:
        return
    rules = [limit for limit in found if limit.authority in ("law", "industry_code")]
    is_without_numbers = any(limit.within is None for limit in rules)
    is_complete = is_without_numbers or {limit.step for limit in rules}.issuperset(MAIN_STEPS)
    if is_complete and any(limit.step == "proof_of_loss" for limit in found):
        return
    yield ClaimTimeLimit(
        id="not-looked-up",
        jurisdiction=chain[0],
        step="not_looked_up",
        within=None,
        counted_in="calendar_days",
        source=claims().not_read.get(chain[0], ""),
        provenance="unverified",
    )
