"""What accompanies a verdict: remedies, and the standards that a label names."""

import re
from collections.abc import Sequence

from hitchworth.classification.build_facts import BuildFacts
from hitchworth.classification.class_change import class_change_effects
from hitchworth.classification.judgment import judge
from hitchworth.classification.jurisdiction_assessment import JurisdictionAssessment
from hitchworth.model.assessment import Remedy, StandardNamed
from hitchworth.model.build import Base
from hitchworth.model.entry import Component
from hitchworth.model.towing_rule import TowingRuleResult
from hitchworth.reference.price_contents import bought_base_categories
from hitchworth.reference.remedies import RemedyEntry, remedies
from hitchworth.reference.standards import standards


def remedies_for(
    home: JurisdictionAssessment,
    places: frozenset[str],
    facts: BuildFacts,
    rules: Sequence[TowingRuleResult],
    *,
    components: Sequence[Component],
    base: Base | None,
) -> tuple[Remedy, ...]:
    """Return every remedy in these places that fits the verdict, the classes and the facts.

    One that changes the class says what that brings; `rules` are the towing rules of the places. Where the class is
    wrong in a working reading alone, what is against it there says what the trailer is built as. Components without a
    bought base among them are those of a frame of one's own.
    """
    bought = bought_base_categories(base)
    is_own_frame = bool(components) and not any(part.category in bought for part in components)
    decided = [one for one in home.judged if one.definition.role == "class"]
    built = {one.definition.class_ for one in (*decided, *home.reading.opposed) if one.holds}
    return tuple(
        _remedy(entry, home, rules, is_own_frame=is_own_frame)
        for entry, when in remedies()
        if places.intersection(entry.jurisdictions)
        and home.verdict in entry.verdicts
        and (not entry.registered or home.registered in entry.registered)
        and (not entry.built or built.intersection(entry.built))
        and (when is None or judge(when, facts).holds)
    )


def _remedy(
    entry: RemedyEntry, home: JurisdictionAssessment, rules: Sequence[TowingRuleResult], *, is_own_frame: bool
) -> Remedy:
    return Remedy(
        id=entry.id,
        route=entry.route,
        decided_by=entry.decided_by,
        needs=entry.needs if is_own_frame else (*entry.needs, *entry.needs_of_bought_base),
        source=entry.source,
        verified=entry.provenance == "published",
        caution=entry.caution,
        brings=class_change_effects(home.chain, rules) if entry.changes_class else (),
    )


def standards_on_label(facts: BuildFacts) -> tuple[StandardNamed, ...]:
    """Return every standard whose number is in the text of the label, whatever its edition."""
    label = str(facts["certified_to_standard"].value or "")
    return tuple(
        StandardNamed(
            name=entry.name, covers=entry.covers, source=entry.source, verified=entry.provenance == "published"
        )
        for entry in standards()
        if re.search(_number_pattern(entry.name), label, flags=re.IGNORECASE)
    )


def _number_pattern(name: str) -> str:
    """Return a pattern for the whole number, with or without its spaces, before any edition."""
    number = r"\s*".join(map(re.escape, name.split()))
    return rf"\b{number}(?!\d)"
