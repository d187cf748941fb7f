"""The situation in which questions are asked, and which of the bank's conditions hold in it."""

from collections.abc import Iterator, Sequence

from msgspec import Struct

from hitchworth.coverage.loss import LossContext
from hitchworth.model.assessment import Verdict
from hitchworth.model.build import Build, Measurement
from hitchworth.model.policy import Loss, Policy
from hitchworth.reference.perils import peril_key
from hitchworth.reference.questions import Applies


class Situation(Struct, frozen=True, kw_only=True):
    """The build with its verdict, the policies on the table, and the losses they are tried against."""

    build: Build
    verdict: Verdict
    losses: tuple[Loss, ...]
    policies: tuple[Policy, ...]
    unfinished: bool

    def admits(self, applies: Applies) -> bool:
        """Whether every condition on build and losses holds."""
        return all(_judged(applies, self))

    def concerned(self, applies: Applies) -> tuple[Policy, ...]:
        """The policies for which every condition on a policy holds."""
        return tuple(
            policy
            for policy in self.policies
            if (not applies.bases or policy.basis in applies.bases)
            and all(getattr(policy, term) in (None, ()) for term in applies.without)
        )


def situation_of(policies: Sequence[Policy], losses: Sequence[LossContext]) -> Situation:
    """The situation of at least one loss; the build is the same in all of them."""
    build = losses[0].build
    return Situation(
        build=build,
        verdict=losses[0].verdict,
        losses=tuple(context.loss for context in losses),
        policies=tuple(policies),
        unfinished=any(context.under_construction for context in losses),
    )


def _judged(applies: Applies, situation: Situation) -> Iterator[bool]:
    build, losses = situation.build, situation.losses
    yield _one_of(applies.verdicts, (situation.verdict,))
    yield _one_of(applies.perils, (peril_key(loss.peril) for loss in losses))
    yield _one_of(applies.extents, (loss.extent for loss in losses))
    yield _one_of(applies.any_true, _true_of(build))
    yield _one_of(applies.evidence, (component.evidence_grade for component in build.components))
    for asked, found in (
        (applies.unfinished, situation.unfinished),
        (applies.has_vin, build.vin is not None),
        (applies.has_labor, bool(build.labor)),
        (applies.has_protections, bool(build.protections)),
        (applies.several_policies, len(situation.policies) > 1),
    ):
        yield asked is None or asked == found


def _one_of(asked: Sequence[str], found: Iterator[str] | Sequence[str]) -> bool:
    """No condition, or one of what is asked for is there."""
    return not asked or not set(asked).isdisjoint(found)


def _true_of(build: Build) -> Iterator[str]:
    """The uses and facts of the build that are true; what is planned counts, for it will be."""
    for name, value in (*build.use.items(), *build.facts.items()):
        if (value.value if isinstance(value, Measurement) else value) is True:
            yield name
