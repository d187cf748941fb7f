"""The situation in which questions are asked, and which conditions of the question bank hold in it."""

from collections.abc import Iterable, Iterator, Sequence

from msgspec import Struct

from hitchworth.coverage.loss import LossContext
from hitchworth.model.assessment import Verdict
from hitchworth.model.build import Build, Measurement
from hitchworth.model.loss import Loss
from hitchworth.model.note import Note
from hitchworth.model.policy import Policy
from hitchworth.reference.jurisdictions import jurisdictions
from hitchworth.reference.perils import canonical_peril
from hitchworth.reference.questions import Applicability, ProtectionRecord


class Situation(Struct, frozen=True, kw_only=True):
    """The build with its verdict, the policies, and the losses they are tried against."""

    build: Build
    verdict: Verdict
    losses: tuple[Loss, ...]
    policies: tuple[Policy, ...]
    is_unfinished: bool
    travels: bool

    def admits(self, applies: Applicability) -> bool:
        """Return whether every condition on the build and the losses holds."""
        return all(_conditions(applies, self))

    def concerned(self, applies: Applicability) -> tuple[Policy, ...]:
        """Return the policies for which every condition on a policy holds."""
        return tuple(
            policy
            for policy in self.policies
            if (not applies.bases or (policy.basis or "unknown") in applies.bases)
            and (not applies.kinds or policy.kind in applies.kinds)
            and (applies.knows_built_use is None or policy.knows_built_use is applies.knows_built_use)
        )

    def is_in(self, places: Sequence[str]) -> bool:
        """Return whether the trailer is registered in one of the places, or in one that falls back to it."""
        place = jurisdictions().get(self.build.jurisdiction or "")
        return not places or (place is not None and not set(place.chain).isdisjoint(places))


def situation_of(
    build: Build, verdict: Verdict, policies: Sequence[Policy], losses: Sequence[LossContext], travels_to: Sequence[str]
) -> Situation:
    """Return the situation of the losses; the build is the same in all of them."""
    abroad = any("abroad" in context.loss.situations for context in losses)
    return Situation(
        build=build,
        verdict=verdict,
        losses=tuple(context.loss for context in losses),
        policies=tuple(policies),
        is_unfinished=any(context.under_construction for context in losses),
        travels=bool(travels_to) or abroad,
    )


def missing_entries(policies: Sequence[Policy], losses: Sequence[Loss]) -> tuple[Note, ...]:
    """Return what would have to be entered before anything can be settled."""
    return (
        *(() if policies else (Note(code="no_policies"),)),
        *(() if losses else (Note(code="no_losses"),)),
    )


def _conditions(applies: Applicability, situation: Situation) -> Iterator[bool]:
    build, losses = situation.build, situation.losses
    yield _one_of(applies.verdicts, (situation.verdict,))
    yield _one_of(applies.perils, (canonical_peril(loss.peril) for loss in losses))
    yield _one_of(applies.extents, (loss.extent for loss in losses))
    yield _one_of(applies.any_true, _true_of(build))
    yield _one_of(applies.protections, (_protection_record(build),))
    yield _one_of(applies.evidence, (component.evidence_grade or "own_estimate" for component in build.components))
    for asked, found in (
        (applies.unfinished, situation.is_unfinished),
        (applies.has_vin, build.vin is not None),
        (applies.has_labor, bool(build.labor)),
        (applies.has_market_value, build.market_value is not None),
        (applies.several_policies, len(situation.policies) > 1),
        (applies.travels, situation.travels),
    ):
        yield asked is None or asked == found


def _protection_record(build: Build) -> ProtectionRecord:
    if build.protections is None:
        return "not_entered"
    return "entered" if build.protections else "none"


def _one_of(asked: Sequence[str], found: Iterable[str]) -> bool:
    """Return whether there is no condition, or one of what is asked for is there."""
    return not asked or not set(asked).isdisjoint(found)


def _true_of(build: Build) -> Iterator[str]:
    """Yield the uses and facts of the build that are true; what is planned counts, because it will be."""
    for name, value in (*build.use.items(), *build.facts.items()):
        if (value.value if isinstance(value, Measurement) else value) is True:
            yield name
