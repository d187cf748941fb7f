"""What the trailer is: year and make, and the class that it is built as, in the words of the reader."""

from hitchworth.classification.build_facts import parse_facts
from hitchworth.model.build import Build
from hitchworth.model.definition import DefinitionResult
from hitchworth.model.timeline import newest_facts
from hitchworth.reports.context import ReportContext

LIVING_QUARTERS = "temporary_living_quarters"


def year_and_make(build: Build) -> str:
    """Return model year and make, as far as they are known."""
    year = None if build.model_year is None else str(build.model_year)
    return " ".join(filter(None, (year, build.make)))


def built_class(context: ReportContext) -> str | None:
    """Return the class that the trailer is built as; None where neither a definition nor a fact says it.

    In general words where it meets no definition and has living quarters by the facts. Not as a camping trailer: in
    laws and in the standard of the trade that is one that folds.
    """
    definition = built_definition(context)
    if definition is not None:
        return context.localizer.label("class", definition.class_)
    return context.format("trailer_with_quarters") if _has_quarters(context) else None


def _has_quarters(context: ReportContext) -> bool:
    """Return whether it has living quarters by what was entered, or answered since; a plan is not built."""
    facts = {**context.build.facts, **newest_facts(context.statement.answers)}
    return parse_facts({LIVING_QUARTERS: facts.get(LIVING_QUARTERS)})[LIVING_QUARTERS].value is True


def built_definition(context: ReportContext) -> DefinitionResult | None:
    """Return the definition that the trailer meets and that contradicts the registered class; else the first met.

    Where the place has none, that of the standard which is against the class in a working reading.
    """
    assessment = context.statement.assessment
    met = [built for built in assessment.built if built.role == "class" and built.holds]
    against = assessment.working_reading.contradicted_by if assessment.working_reading else ()
    met += [built for built in assessment.built if built.role != "class" and built.holds and built.id in against]
    return next((built for built in met if built.contradicts_registered), next(iter(met), None))
