"""A rule on weight, brakes, size or speed, and whether it applies to the trailer."""

from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct, field

from hitchworth.model.definition import FactTest
from hitchworth.model.policy import SettlesAs

TowingTopic: TypeAlias = Literal[
    "brakes", "breakaway", "coupling", "payload", "tongue_load", "size", "speed", "registration", "category"
]
"""What a towing rule is about.

brakes: when brakes are required
breakaway: when a breakaway device is required
coupling: hitch and safety chains
payload: loaded weight and carrying capacity
tongue_load: load on the coupler
size: width, height and length
speed: speed when towing
registration: when a registration or an inspection is required
category: the category by weight
"""


class TowingRuleResult(Struct, frozen=True, kw_only=True):
    """A published or usual rule on weight, brakes, size or speed.

    It applies to the trailer or may apply; one that asks for equipment is there also where it does not apply.
    """

    id: Annotated[str, Meta(description="Stable name of the rule.")]
    topic: Annotated[TowingTopic, Meta(description="What the rule is about.")]
    jurisdiction: Annotated[str, Meta(description="Where it applies; *: everywhere, as common practice.")]
    text: Annotated[str, Meta(description="The rule, in the language of the request's locale.")]
    applies: Annotated[
        bool | None, Meta(description="Whether it applies to the trailer. Null: a fact is missing, or not looked up.")
    ]
    tests: Annotated[tuple[FactTest, ...], Meta(description="The comparisons behind it.")]
    source: Annotated[str, Meta(description="Where it comes from.")]
    verified: Annotated[bool, Meta(description="True: compared with the published text.")]
    caution: Annotated[str, Meta(description="What to keep in mind; empty: nothing.")]
    parameters: Annotated[
        dict[str, str], Meta(description="The numbers in the text, by name, as unformatted text.")
    ] = field(default_factory=dict)
    met: Annotated[
        bool | None,
        Meta(
            description="Whether the trailer has the equipment that it asks for. Null: not known, or it asks for none."
        ),
    ] = None
    considered_as: Annotated[
        SettlesAs | None,
        Meta(
            description="A rule that differs by class: registered_class is the rule of the registered class, built_use "
            "that of what the trailer is built as, which may count already and which a change of class brings. Null: "
            "the rule is the same for every class."
        ),
    ] = None
    because: Annotated[str, Meta(description="The facts that decided, each with its value and the threshold.")] = ""
