"""A protection report: measures against loss and their evidence, what is missing, and checks of the circuits."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct, field

from hitchworth.model.circuit import CircuitRole
from hitchworth.model.note import Note
from hitchworth.model.provenance import Provenance

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
"""A layer of protection, from what a thief sees first to what is left after a loss.

visible_deterrents: what a thief sees first: marked parts, labels, lights, alarms
locks_and_couplers: locks at coupler, wheels and doors
construction_and_wiring: sound construction, fused and protected circuits
sealing: seams and openings that keep water out
fire_and_gas_alarms: alarms and extinguishers
tracking: finding a stolen trailer
storage: where the trailer is kept
records: papers and photos kept away from the trailer
"""

Ask: TypeAlias = Literal["discount", "condition", "discount_or_condition", "upkeep", "licensed_work", "proof"]
"""What to ask the insurer about a measure.

discount: whether it earns a discount
condition: whether it is a condition of coverage
discount_or_condition: whether it earns a discount or is a condition of coverage
upkeep: whether a record of upkeep is required
licensed_work: whether a licensed person's certificate is required
proof: what counts as proof
"""

Hazard: TypeAlias = Literal["wiring", "gas", "structure", "towing"]
"""What a measure touches that can hurt someone when it is done wrong.

wiring: electrical wiring
gas: the gas installation
structure: frame and body
towing: coupler, brakes and safety chains
"""

CircuitCheck: TypeAlias = Literal[
    "conductor_for_load",
    "thinnest_conductor",
    "fused",
    "dedicated_fuse",
    "fuse_carries_load",
    "fuse_within_conductor",
    "motor_start",
    "fuse_near_battery",
    "interrupt_rating",
    "voltage_drop",
    "apart_from_line_voltage",
    "fuse_block_covered",
    "no_sharp_bends",
    "chafe_protection",
]
"""A check of a circuit.

conductor_for_load: the conductor carries the load
thinnest_conductor: the conductor is no thinner than 18 AWG
fused: the circuit has a fuse; for a main circuit one has to be on record
dedicated_fuse: the circuit has a fuse of its own
fuse_carries_load: the fuse is at least 1.25 times the load
fuse_within_conductor: the fuse is no larger than what the conductor carries; it guards the conductor, not the load
motor_start: the fuse stands the moment in which a motor starts
fuse_near_battery: the fuse of a main circuit is near the battery
interrupt_rating: the fuse of a main circuit can break the short-circuit current of the battery
voltage_drop: at most 3 percent for a main or critical circuit, 10 percent for others
apart_from_line_voltage: the circuit is kept apart from conductors of line voltage
fuse_block_covered: the fuse block has a cover
no_sharp_bends: the cable has no sharp bends
chafe_protection: the cable is protected where it could chafe
"""

Bound: TypeAlias = Literal["at_least", "at_most"]
"""How a measured value has to compare with the required one.

at_least: measured must be at least required
at_most: measured must be at most required
"""

FindingUnit: TypeAlias = Literal["A", "m", "mm2", "share"]
"""The unit of a finding.

A: amperes
m: meters
mm2: square millimeters
share: a share of the circuit's volts: 0.03 is 3 percent
"""


class MeasureResult(Struct, frozen=True, kw_only=True):
    """A measure of the build, compared with the published list of measures."""

    name: Annotated[str, Meta(description="The measure, as given.")]
    title: Annotated[
        str, Meta(description="What it is, in the language of the request's locale; a name of your own as given.")
    ]
    layer: Annotated[Layer | None, Meta(description="Its layer of protection. Null: a measure of your own.")]
    slows: Annotated[tuple[str, ...], Meta(description="Perils that it makes less likely or less severe.")]
    in_place: Annotated[bool, Meta(description="Installed on or before the date of the report, or on no known day.")]
    installed_on: Annotated[date | None, Meta(description="Day of installation, as given. Null: not known.")]
    evidence: Annotated[str, Meta(description="What proves it, as given; empty: nothing named.")]
    evidenced: Annotated[bool, Meta(description="Whether evidence was named.")]
    usual_evidence: Annotated[tuple[str, ...], Meta(description="What usually proves it.")]
    ask: Annotated[Ask, Meta(description="What to ask the insurer about it.")]
    question: Annotated[str, Meta(description="The same as a question, in the language of the request's locale.")] = ""
    caution: Annotated[str, Meta(description="What to keep in mind; empty: nothing.")] = ""
    source: Annotated[str, Meta(description="Where the entry comes from; empty for a measure of your own.")] = ""
    provenance: Annotated[Provenance, Meta(description="How far that was verified.")] = "common_practice"


class MeasureSuggestion(Struct, frozen=True, kw_only=True):
    """A measure that a component of the inventory seems to be, to confirm. It never counts as in place."""

    measure: Annotated[str, Meta(description="Name of the measure in GET /v1/protections.")]
    title: Annotated[str, Meta(description="What it is, in the language of the request's locale.")]
    component: Annotated[str, Meta(description="Id of the component.")]
    description: Annotated[str, Meta(description="What the component is, as given.")]
    words: Annotated[str, Meta(description="The words of its category and description that suggest the measure.")]
    why: Annotated[str, Meta(description="The same as a sentence, in the language of the request's locale.")] = ""


class SlowedPeril(Struct, frozen=True, kw_only=True):
    """A peril, and what in the build protects against it."""

    peril: Annotated[str, Meta(description="The peril.")]
    measures: Annotated[
        tuple[str, ...],
        Meta(description="Names of the measures in place against it; empty, and none to confirm: unprotected."),
    ]
    evidenced: Annotated[tuple[str, ...], Meta(description="Those of them for which evidence was named.")]
    to_confirm: Annotated[
        tuple[str, ...], Meta(description="Names of the measures against it that the inventory suggests.")
    ] = ()


class UncoveredLayer(Struct, frozen=True, kw_only=True):
    """A layer in which nothing is in place, and the inventory suggests nothing."""

    layer: Annotated[Layer, Meta(description="The layer of protection.")]
    usual: Annotated[tuple[str, ...], Meta(description="Names of the measures that are customary there.")]
    text: Annotated[str, Meta(description="The same in words, in the language of the request's locale.")] = ""


class CircuitFinding(Struct, frozen=True, kw_only=True):
    """One check of one circuit. It warns; it approves nothing."""

    circuit: Annotated[str, Meta(description="Name of the circuit.")]
    check: Annotated[CircuitCheck, Meta(description="What is checked.")]
    holds: Annotated[bool | None, Meta(description="Whether it is as it should be. Null: not enough is known.")]
    measured: Annotated[
        Decimal | None, Meta(description="The circuit's value, in `unit`. Null: not known, or nothing to measure.")
    ] = None
    required: Annotated[
        Decimal | None, Meta(description="The value it is compared with, in `unit`. Null: nothing to measure.")
    ] = None
    bound: Annotated[
        Bound | None, Meta(description="How measured has to compare with required. Null: nothing to measure.")
    ] = None
    unit: Annotated[
        FindingUnit | None, Meta(description="Unit of measured and required. Null: nothing to measure.")
    ] = None
    source: Annotated[str, Meta(description="Where the requirement comes from.")] = ""
    provenance: Annotated[Provenance, Meta(description="How far that was verified.")] = "common_practice"
    parameters: Annotated[dict[str, str], Meta(description="The values in the text, by name, as unformatted text.")] = (
        field(default_factory=dict)
    )
    text: Annotated[str, Meta(description="The finding in words, in the language of the request's locale.")] = ""


class CircuitResult(Struct, frozen=True, kw_only=True):
    """One circuit: its conductor, its voltage drop and its findings. Without a known conductor, figures are null."""

    name: Annotated[str, Meta(description="The circuit, as given.")]
    role: Annotated[CircuitRole, Meta(description="Where the circuit runs.")]
    area_mm2: Annotated[
        Decimal | None,
        Meta(
            description="Cross-section of the conductor in square millimeters, to 0.001. Null: the conductor is not "
            "known."
        ),
    ]
    resistance_ohm_per_km: Annotated[
        Decimal | None,
        Meta(
            description="Resistance of one conductor at 20 degrees Celsius, in ohms per kilometer, to 0.001. Null: "
            "the conductor is not known."
        ),
    ]
    rating_amps: Annotated[
        Decimal | None,
        Meta(
            description="What the conductor carries in amperes, by the strictest table that may apply. Null also where "
            "it is thinner than the tables go."
        ),
    ]
    rating_amps_at_most: Annotated[
        Decimal | None,
        Meta(
            description="What it carries in amperes by the most generous table that may apply: that of its "
            "insulation, or of 105 degrees Celsius where the insulation is not known. A current between "
            "the two is not judged. Null: the conductor is not known."
        ),
    ]
    voltage_drop: Annotated[
        Decimal | None,
        Meta(description="Volts lost out and back at full load, to 0.001. Null: the conductor is not known."),
    ]
    voltage_drop_share: Annotated[
        Decimal | None,
        Meta(
            description="Volts lost as a share of the circuit's volts, to four places: 0.03 is 3 percent. Null: the "
            "conductor is not known."
        ),
    ]
    findings: Annotated[tuple[CircuitFinding, ...], Meta(description="The checks that apply to it, in a fixed order.")]


class Payback(Struct, frozen=True, kw_only=True):
    """What a measure costs compared with the discount that you entered. The insurer promises nothing by it."""

    measure: Annotated[str, Meta(description="Name of the measure.")]
    cost: Annotated[
        Decimal | None, Meta(description="What it cost, as given, in the build's currency. Null: not known.")
    ]
    annual_saving: Annotated[
        Decimal | None,
        Meta(
            description="The discount a year in the build's currency: as given, or its rate on the policy's premium. "
            "Null: not known."
        ),
    ]
    years: Annotated[
        Decimal | None, Meta(description="Cost / annual saving in years, to 0.01. Null: never, or not known.")
    ]
    text: Annotated[str, Meta(description="The same in words, in the language of the request's locale.")] = ""


class ProtectionReport(Struct, frozen=True, kw_only=True):
    """What protects the trailer against each peril, uncovered layers, checks of the circuits, and paybacks."""

    as_of: Annotated[date, Meta(description="Date of the report; measures installed later count as planned.")]
    entered: Annotated[
        bool,
        Meta(
            description="True: measures were entered, or it was said that there are none. False: not entered, so what "
            "is in place is not known."
        ),
    ]
    measures: Annotated[tuple[MeasureResult, ...], Meta(description="The measures of the build, in the order given.")]
    suggestions: Annotated[
        tuple[MeasureSuggestion, ...],
        Meta(description="Measures that were not entered but that the inventory suggests, to confirm."),
    ]
    perils: Annotated[
        tuple[SlowedPeril, ...],
        Meta(description="Every peril of the published list of measures; empty when no measures were entered."),
    ]
    uncovered_layers: Annotated[
        tuple[UncoveredLayer, ...],
        Meta(
            description="Layers in which nothing is in place, from the outermost inward; empty when no measures were "
            "entered."
        ),
    ]
    circuits: Annotated[tuple[CircuitResult, ...], Meta(description="The circuits, in the order given.")]
    paybacks: Annotated[
        tuple[Payback, ...], Meta(description="The measures for which a cost or a discount was entered.")
    ]
    cautions: Annotated[tuple[Note, ...], Meta(description="What to keep in mind before relying on it.")]
