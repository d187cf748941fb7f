"""The registered class compared with the built use: verdict, definitions, missing facts, and remedies."""

from collections.abc import Iterator

from msgspec.structs import replace

from hitchworth.localization.class_statement import class_statement, unread_citations
from hitchworth.localization.localizer import capital
from hitchworth.localization.working_readings import verdict_label
from hitchworth.model.assessment import Assessment, WorkingReading
from hitchworth.model.definition import DefinitionResult, ElementResult
from hitchworth.model.towing_rule import TowingRuleResult
from hitchworth.reports.built_class import built_class
from hitchworth.reports.content import AnyBlock, Column, Group, GroupedTable, Heading, Listing, Paragraph, Table
from hitchworth.reports.context import ReportContext, Sourced, was_read

INDENT = "\u2003"


def class_comparison(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return the definitions in one table, then each with its conditions and findings."""
    assessment = context.statement.assessment
    return (
        Heading(context.format("assessment")),
        Paragraph(class_verdict(context)),
        *_remarks(context, assessment),
        *_definitions(context, assessment),
        *_missing_facts(context, assessment),
        *_remedies(context, assessment),
        *_towing_rules(context, assessment),
        *_conditions(context, context.shown(assessment.built)),
    )


def class_verdict(context: ReportContext) -> str:
    """Return how the registered class compares with the built use, by the definitions that the report prints.

    Where definitions that are left out decide it, only what is registered and built is said.
    """
    assessment = context.statement.assessment
    if context.include_unverified:
        return assessment.statement
    if unread_citations(assessment):
        registered, built = assessment.registered.class_ or "", built_class(context)
        if built is None:
            return context.format("class_unread_use_open", registered=registered)
        return context.format("class_unread", registered=registered, built=capital(built))
    return class_statement(replace(assessment, built=context.shown(assessment.built)), context.localizer)


def unread_entries(context: ReportContext) -> int:
    """Return how many definitions, rules and effects were not compared with the published text."""
    assessment = context.statement.assessment
    effects = next((remedy.brings for remedy in assessment.remedies if remedy.brings), ())
    entries: tuple[Sourced, ...] = (*assessment.built, *assessment.towing_rules, *effects)
    return sum(not was_read(entry) for entry in entries)


def _definitions(context: ReportContext, assessment: Assessment) -> tuple[AnyBlock, ...]:
    shown = context.shown(assessment.built)
    if not shown:
        return ()
    columns = (
        Column(context.format("definition"), width=5),
        Column(context.format("citation"), width=6),
        Column(context.format("kind"), width=3),
        Column(context.format("result"), width=3),
    )
    rows = tuple(
        (
            definition.title,
            _citation(context, definition),
            context.localizer.heading("role", definition.role),
            _result(context, definition, assessment.working_reading),
        )
        for definition in shown
    )
    return (Table(context.format("definitions_caption"), columns, rows),)


def _citation(context: ReportContext, definition: DefinitionResult) -> str:
    """Return the citation, marked where it was not verified against the published text."""
    return context.cite(definition.citation, verified=definition.verified)


def _result(context: ReportContext, definition: DefinitionResult, reading: WorkingReading | None) -> str:
    """Return the result, and what the definition is to the class: against it by its text, or in a working reading."""
    result = _holds(context, definition.holds)
    if definition.holds and definition.contradicts_registered:
        return f"{result}; {context.format('contradicts')}"
    if reading is not None and definition.id in reading.read_by:
        return f"{result}; {context.format('reads_for')}"
    if reading is not None and definition.holds and definition.id in reading.contradicted_by:
        return f"{result}; {context.format('reads_against')}"
    return result


def _holds(context: ReportContext, holds: bool | None) -> str:
    return context.localizer.heading("holds", "unknown" if holds is None else str(holds).lower())


def _conditions(context: ReportContext, built: tuple[DefinitionResult, ...]) -> tuple[AnyBlock, ...]:
    """Return a group of conditions for each definition; conditions within a condition follow it, indented."""
    columns = (
        Column(context.format("condition"), width=5),
        Column(context.format("finding"), width=6),
        Column(context.format("result"), width=2),
    )
    groups = tuple(
        Group(
            context.format("definition_heading", title=definition.title, citation=_citation(context, definition)),
            tuple(row for element in definition.elements for row in _condition_rows(context, element, "")),
        )
        for definition in built
    )
    return (GroupedTable(context.format("conditions_caption"), columns, groups),) if groups else ()


def _condition_rows(context: ReportContext, element: ElementResult, indent: str) -> Iterator[tuple[str, ...]]:
    """Yield the condition, then its parts. The reasons of a condition with parts are those of the parts."""
    because = "" if element.parts else element.because
    yield indent + capital(element.text), because, _holds(context, element.holds)
    for part in element.parts:
        yield from _condition_rows(context, part, indent + INDENT)


def _missing_facts(context: ReportContext, assessment: Assessment) -> tuple[AnyBlock, ...]:
    if not assessment.missing_facts:
        return ()
    columns = (
        Column(context.format("question"), width=3),
        Column(context.format("how_to_find_out"), width=2),
        Column(context.format("answer"), width=2),
    )
    rows = tuple((fact.question, fact.measure, "") for fact in assessment.missing_facts)
    return (Table(context.format("missing_caption"), columns, rows),)


def _remedies(context: ReportContext, assessment: Assessment) -> tuple[AnyBlock, ...]:
    if not assessment.remedies:
        return ()
    columns = tuple(
        Column(context.format(title), width=width)
        for title, width in (("route", 4), ("decided_by", 2), ("needs", 3), ("source", 2))
    )
    rows = tuple(
        (remedy.route, remedy.decided_by, capital("; ".join(remedy.needs)), remedy.source)
        for remedy in assessment.remedies
    )
    read_so = assessment.working_reading is not None and assessment.verdict == "mismatch"
    return (
        *((Paragraph(context.format("remedies_of_working_reading")),) if read_so else ()),
        Table(context.format("remedies_caption"), columns, rows),
        *_class_change(context, assessment),
    )


def _class_change(context: ReportContext, assessment: Assessment) -> tuple[AnyBlock, ...]:
    """Return what a change of class brings; the remedies that change it all bring the same."""
    effects = context.shown(next((remedy.brings for remedy in assessment.remedies if remedy.brings), ()))
    if not effects:
        return ()
    columns = tuple(
        Column(context.format(title), width=width)
        for title, width in (("class_change_topic", 1), ("class_change_effect", 5), ("source", 3))
    )
    rows = tuple(
        (
            context.localizer.heading("class_change", effect.topic),
            context.format("same_rule", text=effect.text) if effect.differs is False else effect.text,
            context.cite(effect.source, verified=effect.verified),
        )
        for effect in effects
    )
    return (Table(context.format("class_change_caption"), columns, rows),)


def _remarks(context: ReportContext, assessment: Assessment) -> tuple[AnyBlock, ...]:
    """Return other verdicts, near misses, preset facts, and notes on the vehicle identification number."""
    localizer = context.localizer
    views = [
        context.format(view.outlook, jurisdiction=view.jurisdiction, verdict=verdict_label(view, localizer))
        for view in assessment.views
    ]
    shown = {definition.id for definition in context.shown(assessment.built)}
    near_misses = [miss.text for miss in assessment.near_misses if miss.definition in shown]
    vin_notes = [note.text for note in assessment.vin_check.notes] if assessment.vin_check else []
    presets = [preset.text for preset in assessment.presets]
    items = (*views, *near_misses, *presets, *vin_notes)
    return (Listing(items),) if items else ()


def _towing_rules(context: ReportContext, assessment: Assessment) -> tuple[AnyBlock, ...]:
    """Return the towing rules, whether they apply, and their cautions, once each."""
    rules = context.shown(assessment.towing_rules)
    if not rules:
        return ()
    columns = (
        Column(context.format("weight_limit"), width=5),
        Column(context.format("applies")),
        Column(context.format("source"), width=4),
    )
    rows = tuple(
        (
            rule.text,
            _applies(context, rule),
            context.cite(rule.source, verified=rule.verified),
        )
        for rule in rules
    )
    cautions = tuple(dict.fromkeys(rule.caution for rule in rules if rule.caution))
    return (Table(context.format("towing_rules_caption"), columns, rows), *((Listing(cautions),) if cautions else ()))


def _applies(context: ReportContext, rule: TowingRuleResult) -> str:
    """Return whether the rule applies, as of which class, and whether the trailer has what it asks for."""
    applies = capital(context.format({True: "applies_yes", False: "applies_no", None: "applies_perhaps"}[rule.applies]))
    if rule.considered_as is not None:
        applies = context.format(f"applies_as_{rule.considered_as}", applies=applies)
    if rule.met is None or rule.applies is False:
        return applies
    return context.format("applies_met" if rule.met else "applies_not_met", applies=applies)
