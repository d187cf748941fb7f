"""A protection report: what slows a loss and what proves it, what is missing, how the low-voltage circuits fare."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct, field

from hitchworth.model.assessment import Provenance
from hitchworth.model.build import CircuitRole
from hitchworth.model.note import Note

Layer: TypeAlias = Literal[
    "visible_deterrents",
    "locks_and_couplers",
    "construction_and_wiring",
    "sealing",
    "fire_and_gas_alarms",
    "tracking",
    "storage",
    "records",
]
"""From what a thief sees first to what is left after a loss."""

Ask: TypeAlias = Literal["discount", "condition", "discount_or_condition", "upkeep", "licensed_work", "proof"]
"""What to ask the insurer about a measure."""

Hazard: TypeAlias = Literal["wiring", "gas", "structure", "towing"]
"""What a measure touches that may hurt someone when it is done wrong."""

CircuitCheck: TypeAlias = Literal[
    "conductor_for_load",
    "customary_conductor",
    "dedicated_fuse",
    "fuse_carries_load",
    "fuse_sized_to_load",
    "fuse_within_conductor",
    "voltage_drop",
    "fuse_block_covered",
    "no_sharp_bends",
    "chafe_protection",
]


class MeasureResult(Struct, frozen=True, kw_only=True):
    """A measure of the build, held against the vocabulary."""

    name: str
    title: str
    layer: Annotated[Layer | None, Meta(description="Null for a measure of the user's own.")]
    slows: Annotated[tuple[str, ...], Meta(description="Perils that it makes rarer or smaller.")]
    in_place: Annotated[bool, Meta(description="Fitted on or before the day of the report.")]
    installed_on: date | None
    evidence: Annotated[str, Meta(description="What the user says proves it.")]
    evidenced: Annotated[bool, Meta(description="The user named something that proves it.")]
    usual_evidence: Annotated[tuple[str, ...], Meta(description="What customarily proves it.")]
    ask: Ask
    question: str = ""
    caution: str = ""
    source: str = ""
    provenance: Provenance = "common_practice"


class SlowedPeril(Struct, frozen=True, kw_only=True):
    """A peril, and what in the build slows it."""

    peril: str
    measures: Annotated[tuple[str, ...], Meta(description="Names of the measures in place that slow it.")]
    evidenced: Annotated[tuple[str, ...], Meta(description="Those of them for which evidence is named.")]


class UncoveredLayer(Struct, frozen=True, kw_only=True):
    """A layer in which nothing is in place."""

    layer: Layer
    usual: Annotated[tuple[str, ...], Meta(description="Names of the measures that are customary there.")]
    text: str = ""


class CircuitFinding(Struct, frozen=True, kw_only=True):
    """One check of one circuit. It warns; it approves nothing."""

    circuit: str
    check: CircuitCheck
    holds: Annotated[bool | None, Meta(description="Null when the circuit does not say enough.")]
    measured: Decimal | None = None
    required: Decimal | None = None
    bound: Annotated[
        Literal["at_least", "at_most"] | None, Meta(description="How measured should stand to required.")
    ] = None
    unit: Annotated[
        Literal["A", "mm2", "share"] | None, Meta(description="Of measured and required; share: of the volts.")
    ] = None
    source: str = ""
    provenance: Provenance = "common_practice"
    parameters: dict[str, str] = field(default_factory=dict)
    text: str = ""


class CircuitResult(Struct, frozen=True, kw_only=True):
    """One circuit: its conductor, what it loses, and its findings. Null where the conductor is not known."""

    name: str
    role: CircuitRole
    area_mm2: Annotated[Decimal | None, Meta(description="Area of the conductor, to 0.001 mm2.")]
    resistance_ohm_per_km: Annotated[Decimal | None, Meta(description="Of one conductor at 20 C, to 0.001 ohm/km.")]
    rating_amps: Annotated[
        Decimal | None, Meta(description="What the conductor carries; null when it is thinner than the table goes.")
    ]
    voltage_drop: Annotated[Decimal | None, Meta(description="Volts lost there and back at full load, to 0.001 V.")]
    voltage_drop_share: Annotated[Decimal | None, Meta(description="Share of the circuit's volts, to four places.")]
    findings: tuple[CircuitFinding, ...]


class Payback(Struct, frozen=True, kw_only=True):
    """What a device costs against the discount that the user entered. No promise of the insurer's."""

    measure: str
    cost: Decimal | None
    annual_saving: Annotated[
        Decimal | None, Meta(description="The discount entered, or its rate on the policy's premium; null: not known.")
    ]
    years: Annotated[
        Decimal | None, Meta(description="Years until the savings reach the cost, to 0.01; null: never, or not known.")
    ]
    text: str = ""


class ProtectionReport(Struct, frozen=True, kw_only=True):
    """Which perils are slowed by what, which layers are bare, the circuits' checks, and the paybacks."""

    as_of: date
    measures: tuple[MeasureResult, ...]
    perils: tuple[SlowedPeril, ...]
    uncovered_layers: tuple[UncoveredLayer, ...]
    circuits: tuple[CircuitResult, ...]
    paybacks: tuple[Payback, ...]
    cautions: tuple[Note, ...]
