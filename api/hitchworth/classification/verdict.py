"""The verdict: the registered class against its own definition and those that contradict it."""

from collections.abc import Sequence

from msgspec import Struct

from hitchworth.classification.build_facts import BuildFacts
from hitchworth.classification.judgment import Judgment, judge
from hitchworth.classification.kleene import Truth
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


def verdict_of(truth: Truth) -> Verdict:
    """Return the verdict for the outcome."""
    return "undetermined" if truth is None else "match" if truth else "mismatch"
