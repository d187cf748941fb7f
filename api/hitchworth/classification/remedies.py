"""The usual routes for this trailer, from the library of remedies."""

from hitchworth.classification.judgment import judge
from hitchworth.classification.local_assessment import LocalAssessment
from hitchworth.classification.readings import Readings
from hitchworth.model.assessment import Remedy
from hitchworth.reference.remedies import RemedyEntry, remedies


def remedies_for(local: LocalAssessment, places: frozenset[str], facts: Readings) -> tuple[Remedy, ...]:
    """Every route that the verdict, the classes and the facts call for, in these places."""
    built = {one.definition.class_ for one in local.judged if one.holds and one.definition.role == "class"}
    return tuple(
        _remedy(entry)
        for entry, when in remedies()
        if places.intersection(entry.jurisdictions)
        and local.verdict in entry.verdicts
        and (not entry.registered or local.registered in entry.registered)
        and (not entry.built or built.intersection(entry.built))
        and (when is None or judge(when, facts).holds)
    )


def _remedy(entry: RemedyEntry) -> Remedy:
    return Remedy(
        id=entry.id,
        route=entry.route,
        decided_by=entry.decided_by,
        needs=entry.needs,
        source=entry.source,
        verified=entry.provenance == "published",
        caution=entry.caution,
    )
