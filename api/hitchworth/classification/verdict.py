"""The verdict: the class on the document against every definition that speaks for or against it."""

from collections.abc import Sequence

from msgspec import Struct

from hitchworth.classification.judgment import Judgment, judge
from hitchworth.classification.kleene import Truth, all_of, any_of, negation
from hitchworth.classification.readings import Readings
from hitchworth.model.assessment import Verdict
from hitchworth.reference.definitions import Definition, condition_of


class Judged(Struct, frozen=True, kw_only=True):
    """A definition with its outcome for this trailer."""

    definition: Definition
    judgment: Judgment
    contradicts: bool
    """Whether it speaks against the registered class once it holds."""

    @property
    def holds(self) -> Truth:
        """Whether the trailer meets the definition."""
        return self.judgment.holds


def judge_all(definitions: Sequence[Definition], registered: str | None, facts: Readings) -> tuple[Judged, ...]:
    """Every definition, judged. Categories and overlays never speak against a class."""
    return tuple(
        Judged(
            definition=definition,
            judgment=judge(condition_of(definition.id), facts),
            contradicts=definition.role == "class" and registered in definition.contradicts,
        )
        for definition in definitions
    )


def own_definition(judged: Sequence[Judged], registered: str | None) -> Judged | None:
    """The definition of the registered class, where the jurisdiction has one that may decide."""
    own = (one for one in judged if one.definition.class_ == registered and one.definition.role != "overlay")
    return next(own, None)


def consistent(judged: Sequence[Judged], registered: str | None) -> Truth:
    """Whether the registered class is right: its definition holds, and none that contradicts it does."""
    own = own_definition(judged, registered)
    against = any_of(one.holds for one in judged if one.contradicts)
    return all_of((own.holds if own else None, negation(against)))


def verdict_of(truth: Truth) -> Verdict:
    """The name of the outcome."""
    return "undetermined" if truth is None else "match" if truth else "mismatch"
