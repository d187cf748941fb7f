"""After a loss: what to do at once, on the first day and in the first week, and which time limits run."""

from datetime import date
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct, field

from hitchworth.model.assessment import Provenance

When: TypeAlias = Literal["at_once", "first_day", "first_week"]
ClaimStep: TypeAlias = Literal[
    "notice", "proof_of_loss", "acknowledge", "investigate", "decide", "outcome", "pay", "pay_after_proof", "theft_wait"
]
"""What must be done in the time: the first two by the insured, the rest by the insurer."""
TimeUnit: TypeAlias = Literal["calendar_days", "business_days", "working_days", "months"]


class SerialNumber(Struct, frozen=True, kw_only=True):
    """A component that can be told from others, for the police report."""

    component: str
    description: str
    serial_number: str
    model_number: str | None


class ChecklistItem(Struct, frozen=True, kw_only=True):
    """One thing to do. `perils`: of the perils given, those it is for."""

    id: str
    when: When
    perils: tuple[str, ...]
    parameters: dict[str, str] = field(default_factory=dict)
    text: str = ""


class Deadline(Struct, frozen=True, kw_only=True):
    """The last day of a time limit that begins on the day of a loss."""

    loss: str
    day: date


class TimeLimit(Struct, frozen=True, kw_only=True):
    """One published or usual time limit. `within` is null where the rule has no number."""

    id: str
    jurisdiction: Annotated[str | None, Meta(description="Null: usual in many policies, in no law.")]
    step: ClaimStep
    within: int | None
    counted_in: TimeUnit
    source: str
    provenance: Provenance
    deadlines: Annotated[
        tuple[Deadline, ...],
        Meta(
            description="For each loss, when the time ends if it begins on the day of the loss; it ends later where it "
            "begins later, with notice or proof. None for business or working days: holidays differ, so count them."
        ),
    ] = ()
    text: str = ""


class AfterLoss(Struct, frozen=True, kw_only=True):
    """What the record of the build gives for the day of a loss. Counted is what was fitted on the day of one."""

    perils: tuple[str, ...]
    identification_number: str | None
    serial_numbers: tuple[SerialNumber, ...]
    without_serial_number: Annotated[
        int, Meta(description="Components in the trailer that have no serial number on record.")
    ]
    without_receipt: Annotated[tuple[str, ...], Meta(description="Components whose cost no receipt proves, by id.")]
    protections: Annotated[tuple[str, ...], Meta(description="Measures on record, by name.")]
    checklist: tuple[ChecklistItem, ...]
    time_limits: tuple[TimeLimit, ...]
