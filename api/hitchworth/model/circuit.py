"""A circuit of the low-voltage supply."""

from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.numbers import Amps, Area, FaultAmps, Gauge, InsulationClass, Length, Volts
from hitchworth.model.strings import Identifier

BatteryChemistry: TypeAlias = Literal["lead_acid", "lithium"]
"""The battery that feeds a main circuit.

lead_acid: flooded, absorbed glass mat or gel
lithium: lithium iron phosphate or another lithium chemistry
"""

CircuitRole: TypeAlias = Literal["branch", "main"]
"""Where a circuit runs.

branch: from the fuse block to a device
main: from the battery to the fuse block
"""


class Circuit(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A circuit of the low-voltage supply: its load, its copper conductor, its fuse. Null is not known."""

    name: Annotated[Identifier, Meta(description="Your name for the circuit.")]
    load_amps: Annotated[Amps, Meta(description="The most that everything on it draws together.")]
    length_m: Annotated[Length, Meta(description="Length of the run, one way.")]
    awg: Annotated[
        Gauge | None,
        Meta(
            description="Conductor size, American wire gauge: 0 is 1/0, -1 is 2/0, -2 is 3/0, -3 is 4/0. Null: not "
            "known, or given as area_mm2."
        ),
    ] = None
    area_mm2: Annotated[
        Area | None, Meta(description="Cross-section of the conductor, instead of a gauge. Null: not known.")
    ] = None
    insulation: Annotated[
        InsulationClass | None,
        Meta(
            description="Temperature class of the insulation in degrees Celsius, as printed on the cable: 60, 75, 105. "
            "Null: not known."
        ),
    ] = None
    fuse_amps: Annotated[
        Amps | None,
        Meta(
            description="Rating of the fuse or breaker near its source. 0: it has none. Null: not known; a main "
            "circuit without a fuse on record fails its check."
        ),
    ] = None
    dedicated_fuse: Annotated[
        bool | None, Meta(description="The fuse serves this circuit alone. Null: yes when fuse_amps is given.")
    ] = None
    fuse_distance_m: Annotated[
        Length | None,
        Meta(description="For a main circuit: from the battery to the fuse, along the cable. Null: not known."),
    ] = None
    sheathed_to_fuse: Annotated[
        bool | None,
        Meta(description="The cable from the battery to the fuse lies in a sheath or conduit. Null: not known."),
    ] = None
    fuse_interrupt_amps: Annotated[
        FaultAmps | None,
        Meta(
            description="Interrupt rating (AIC) of the fuse at the battery's voltage: the largest current that it "
            "breaks safely. Null: not known."
        ),
    ] = None
    battery: Annotated[
        BatteryChemistry | None,
        Meta(description="For a main circuit: the battery that feeds it. Null: not known."),
    ] = None
    battery_fault_amps: Annotated[
        FaultAmps | None,
        Meta(
            description="Short-circuit current of the battery bank, as its maker states it: the sum of those in "
            "parallel. Null: not known."
        ),
    ] = None
    has_motor: Annotated[
        bool | None,
        Meta(description="It drives a motor: a pump, a fan, a compressor, a jack. Null: not known."),
    ] = None
    start_amps: Annotated[
        Amps | None,
        Meta(description="What its motor draws for a moment when it starts, as its maker states it. Null: not known."),
    ] = None
    apart_from_line_voltage: Annotated[
        bool | None,
        Meta(
            description="It is kept apart from every conductor of 120 or 230 V, by a gap or a barrier; true also where "
            "there is no such conductor. Null: not known."
        ),
    ] = None
    volts: Annotated[Volts, Meta(description="Nominal voltage.")] = Decimal(12)
    role: Annotated[CircuitRole, Meta(description="Where the circuit runs.")] = "branch"
    critical: Annotated[
        bool, Meta(description="Its device must not fail or dim. A main circuit always counts as critical.")
    ] = False
    fuse_block_covered: Annotated[bool | None, Meta(description="The fuse block has a cover. Null: not known.")] = None
    no_sharp_bends: Annotated[bool | None, Meta(description="The cable has no sharp bends. Null: not known.")] = None
    chafe_protection: Annotated[
        bool | None, Meta(description="The cable is protected where it could chafe. Null: not known.")
    ] = None
