"""The verdict: the registered class against its own definition and those that contradict it."""

from collections.abc import Sequence

from msgspec import Struct

from hitchworth.classification.build_facts import BuildFacts
from hitchworth.classification.judgment import Judgment, judge
from hitchworth.classification.kleene import Truth, all_of, any_of, negation
from hitchworth.model.assessment import Verdict
from hitchworth.reference.definitions import Definition, condition_of


class JudgedDefinition(Struct, frozen=True, kw_only=True):
    """A definition with its outcome for this trailer."""

    definition: Definition
    judgment: Judgment
    contradicts: bool
    """Whether the registered class is wrong when it holds."""

    @property
    def holds(self) -> Truth:
        """Whether the trailer meets the definition."""
        return self.judgment.holds


def judge_all(
    definitions: Sequence[Definition], registered: str | None, facts: BuildFacts
) -> tuple[JudgedDefinition, ...]:
    """Judge every definition. Only classes contradict classes: the data of categories and overlays list none."""
    return tuple(
        JudgedDefinition(
            definition=definition,
            judgment=judge(condition_of(definition.id), facts),
            contradicts=registered in definition.contradicts,
        )
        for definition in definitions
    )


def registered_definition(judged: Sequence[JudgedDefinition], registered: str | None) -> JudgedDefinition | None:
    """Return the definition of the registered class, or None. An overlay does not count."""
    own = (one for one in judged if one.definition.class_ == registered and one.definition.role != "overlay")
    return next(own, None)


def registered_class_fits(judged: Sequence[JudgedDefinition], registered: str | None) -> Truth:
    """Return whether the registered class is right: its definition holds, and none that contradicts it does."""
    own = registered_definition(judged, registered)
    against = any_of(one.holds for one in judged if one.contradicts)
    return all_of((own.holds if own else None, negation(against)))


def verdict_of(truth: Truth) -> Verdict:
    """Return the verdict for the outcome."""
    return "undetermined" if truth is None else "match" if truth else "mismatch"
