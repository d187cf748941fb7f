"""What the trailer is: year and make, and the class that it is built as, in the words of the reader."""

from hitchworth.model.assessment import DefinitionResult
from hitchworth.model.build import Build
from hitchworth.reports.context import ReportContext


def year_and_make(build: Build) -> str:
    """Return model year and make, as far as they are known."""
    year = None if build.model_year is None else str(build.model_year)
    return " ".join(filter(None, (year, build.make)))


def built_class(context: ReportContext) -> str:
    """Return the class that the trailer is built as; in general words where it meets no definition of one."""
    definition = built_definition(context)
    if definition is None:
        return context.format("camping_trailer_as_built")
    return context.localizer.label("class", definition.class_)


def built_definition(context: ReportContext) -> DefinitionResult | None:
    """Return the definition that the trailer meets and that contradicts the registered class; else the first met."""
    met = [built for built in context.statement.assessment.built if built.role == "class" and built.holds]
    return next((built for built in met if built.contradicts_registered), next(iter(met), None))
