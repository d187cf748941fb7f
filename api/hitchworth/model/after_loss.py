"""After a loss: what to do immediately, on the first day and in the first week, and which time limits run."""

from datetime import date
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct, field

from hitchworth.model.provenance import Provenance

When: TypeAlias = Literal["at_once", "first_day", "first_week"]
"""When to do something after a loss.

at_once: immediately
first_day: on the first day
first_week: in the first week
"""

ClaimStep: TypeAlias = Literal[
    "notice",
    "proof_of_loss",
    "acknowledge",
    "investigate",
    "decide",
    "status",
    "outcome",
    "pay",
    "theft_wait",
    "not_looked_up",
]
"""What must be done within a time limit: the first two by the insured, all others by the insurer.

notice: the insured reports the loss
proof_of_loss: the insured sends the proof of loss
acknowledge: the insurer acknowledges the claim
investigate: the insurer investigates the claim
decide: the insurer accepts or denies the claim
status: the insurer says why it needs longer, again and again
outcome: the insurer notifies you of the decision
pay: the insurer pays
theft_wait: the insurer waits to see whether the stolen trailer is found
not_looked_up: nothing was looked up on the other steps, yours and the insurer's; ask the insurer
"""

DutyOf: TypeAlias = Literal["insured", "insurer"]
"""Whose duty it is.

insured: yours
insurer: the insurer's
"""

RunsFrom: TypeAlias = Literal[
    "loss", "request", "notice", "proof", "complete_claim", "acceptance", "decision", "report"
]
"""What a time limit begins with.

loss: the day of the loss
request: the insurer's request
notice: the notice of the loss
proof: the proof of loss, or the documents that the insurer asked for
complete_claim: a valid and complete claim
acceptance: the insurer's acceptance of the claim
decision: the insurer's decision
report: the last report
"""

Authority: TypeAlias = Literal["law", "industry_code", "model_text", "custom"]
"""What kind of rule it is.

law: a statute, a regulation or a supervisor's rule
industry_code: a code that the insurers gave themselves
model_text: a text that regulators propose to legislators; no law
custom: what policies usually say
"""

Under: TypeAlias = Literal["vehicle_policy", "property_policy"]
"""The kind of policy under which a time limit holds.

vehicle_policy: a policy on a vehicle
property_policy: a policy on other property
"""

TimeUnit: TypeAlias = Literal["calendar_days", "business_days", "working_days", "months"]
"""What a time limit is counted in.

calendar_days: every day counts
business_days: business days, as the rule defines them
working_days: working days, as the rule defines them
months: calendar months
"""


class SerialNumber(Struct, frozen=True, kw_only=True):
    """A component with a serial number, for the police report."""

    component: Annotated[str, Meta(description="Id of the component.")]
    description: Annotated[str, Meta(description="What it is.")]
    serial_number: Annotated[str, Meta(description="Its serial number.")]
    model_number: Annotated[str | None, Meta(description="Maker's model number. Null: not on record.")]


class ChecklistItem(Struct, frozen=True, kw_only=True):
    """One thing to do."""

    id: Annotated[str, Meta(description="Stable name of the item.")]
    when: Annotated[When, Meta(description="When to do it.")]
    perils: Annotated[tuple[str, ...], Meta(description="Those of the request's perils that it applies to.")]
    parameters: Annotated[dict[str, str], Meta(description="The values in the text, by name, as unformatted text.")] = (
        field(default_factory=dict)
    )
    text: Annotated[str, Meta(description="What to do, in the language of the request's locale.")] = ""


class Deadline(Struct, frozen=True, kw_only=True):
    """The last day for a duty of the insured, counted from the day of a loss."""

    loss: Annotated[str, Meta(description="Name of the loss.")]
    day: Annotated[date, Meta(description="The last day.")]


class TimeLimit(Struct, frozen=True, kw_only=True):
    """One published or usual time limit."""

    id: Annotated[str, Meta(description="Stable name of the time limit.")]
    jurisdiction: Annotated[str, Meta(description="Where it applies.")]
    step: Annotated[ClaimStep, Meta(description="What must be done within it.")]
    within: Annotated[
        int | None, Meta(description="How long, in `counted_in`. Null: the rule has no number, such as promptly.")
    ]
    counted_in: Annotated[TimeUnit, Meta(description="What it is counted in.")]
    duty_of: Annotated[DutyOf, Meta(description="Whose duty it is.")]
    runs_from: Annotated[RunsFrom, Meta(description="What the time begins with.")]
    authority: Annotated[Authority, Meta(description="What kind of rule it is.")]
    under: Annotated[Under | None, Meta(description="The kind of policy for which it holds. Null: any.")]
    source: Annotated[str, Meta(description="The statute, regulation or practice.")]
    provenance: Annotated[Provenance, Meta(description="Where the entry comes from.")]
    deadlines: Annotated[
        tuple[Deadline, ...],
        Meta(
            description="For each loss that has happened (occurred_on is given and not later than as_of) the last day "
            "for a duty of the insured, counted from the day of the loss, so that it is never too late. Empty for "
            "duties of the insurer, whose time begins with what the insured does, and for business and working days: "
            "holidays differ, so count them yourself."
        ),
    ] = ()
    text: Annotated[str, Meta(description="The time limit in words, in the language of the request's locale.")] = ""


class AfterLoss(Struct, frozen=True, kw_only=True):
    """What the record of the build gives for the day of a loss, by the components in the trailer on that day."""

    perils: Annotated[tuple[str, ...], Meta(description="The perils of the request's losses, each once.")]
    vin: Annotated[str | None, Meta(description="The build's VIN. Null: none on record.")]
    serial_numbers: Annotated[tuple[SerialNumber, ...], Meta(description="The components with a serial number.")]
    without_serial_number: Annotated[int, Meta(description="Number of components without a serial number.")]
    without_receipt: Annotated[tuple[str, ...], Meta(description="Components whose cost no receipt proves, by id.")]
    protections: Annotated[
        tuple[str, ...] | None,
        Meta(description="Measures against loss on record, by name. Null: not entered, so they are not known."),
    ]
    checklist: Annotated[tuple[ChecklistItem, ...], Meta(description="What to do, in order.")]
    time_limits: Annotated[
        tuple[TimeLimit, ...], Meta(description="The time limits where the trailer is registered, and usual ones.")
    ]
