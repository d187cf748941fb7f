"""The class that a trailer is built as, in the words of the reader."""

from hitchworth.model.assessment import DefinitionResult
from hitchworth.reports.context import ReportContext


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
