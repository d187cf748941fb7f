"""What somebody answered to a question."""

from datetime import date
from typing import Annotated

from msgspec import Meta, Struct

from hitchworth.model.numbers import Real, Whole
from hitchworth.model.strings import Identifier, ShortText

_AnswerText = Annotated[str, Meta(min_length=1, max_length=300)]
"""ShortText without its pattern: the validator is not safe on a union of a text with a pattern and a list.

The value is checked again as the type of its term or fact, which has the pattern where it is free text.
"""


class Answer(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What somebody answered: it settles a term of a policy (policy and term), a fact of the build (fact), or what the
    wreck of a loss is worth (loss and term).

    The newest answer counts: the latest by said_on; of the same day, the later in the list. An answer without a day is
    older than one with a day.
    """

    value: Annotated[
        bool | Whole | Real | _AnswerText | Annotated[tuple[ShortText, ...], Meta(max_length=100)] | None,
        Meta(
            description="The answer, as the term or the fact would have it. none: the policy does not have the term. "
            "Null: the term or fact stays open."
        ),
    ]
    policy: Annotated[
        Identifier | None, Meta(description="Name of the policy. Null: the answer is about no policy.")
    ] = None
    term: Annotated[
        Identifier | None,
        Meta(
            description="Term of the policy, by its field name: deductible, settles_as; salvage_value of a loss. "
            "Null: the answer is about a fact."
        ),
    ] = None
    loss: Annotated[
        Identifier | None, Meta(description="Name of the loss, with the term salvage_value. Null: about no loss.")
    ] = None
    fact: Annotated[
        Identifier | None, Meta(description="Fact of the build, by its name in GET /v1/facts. Null: about a term.")
    ] = None
    said_by: Annotated[ShortText | None, Meta(description="Who answered. Null: not on record.")] = None
    said_on: Annotated[date | None, Meta(description="Day of the answer, not in the future. Null: not on record.")] = (
        None
    )
    reference: Annotated[
        ShortText | None, Meta(description="Where it is on record: a letter, an e-mail, a claim number. Null: nowhere.")
    ] = None
