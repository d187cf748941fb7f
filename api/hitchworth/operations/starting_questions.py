"""The ten questions that begin a document, for every door that asks them. Their texts are under `start`."""

from typing import Literal, TypeAlias

from msgspec import Struct

AnswerKind: TypeAlias = Literal["text", "currency", "place", "class", "number", "yes_no", "policy_kind", "amount"]
"""What answers a question."""


class StartingQuestion(Struct, frozen=True):
    """One question; each may be skipped."""

    name: str
    """Its name among the texts."""
    pointer: str
    """Where its answer belongs in a document, as a JSON Pointer."""
    answer: AnswerKind = "text"


STARTING_QUESTIONS = (
    StartingQuestion("name", "/build/name"),
    StartingQuestion("currency", "/build/currency", "currency"),
    StartingQuestion("jurisdiction", "/build/jurisdiction", "place"),
    StartingQuestion("registered_class", "/build/registered_class", "class"),
    StartingQuestion("base", "/build/base/kind"),
    StartingQuestion("sleeping_berths", "/build/facts/sleeping_berths", "number"),
    StartingQuestion("has_cooking", "/build/facts/has_cooking", "yes_no"),
    StartingQuestion("policy_kind", "/policies/0/kind", "policy_kind"),
    StartingQuestion("limit", "/policies/0/limit", "amount"),
    StartingQuestion("deductible", "/policies/0/deductible", "amount"),
)
