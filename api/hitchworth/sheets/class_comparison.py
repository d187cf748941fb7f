"""The registered class against the built use: the verdict, every definition, what is missing, and ways out."""

from collections.abc import Iterator

from hitchworth.model.assessment import Assessment, DefinitionResult, ElementResult
from hitchworth.sheets.content import AnyBlock, Column, Group, GroupedTable, Heading, Listing, Paragraph, Table
from hitchworth.sheets.subject import Subject

INDENT = "\u2003"


def class_comparison(subject: Subject) -> tuple[AnyBlock, ...]:
    """The definitions in one table, then each with its conditions and findings."""
    assessment = subject.statement.assessment
    return (
        Heading(subject.say("assessment")),
        Paragraph(assessment.statement),
        *_asides(subject, assessment),
        *_definitions(subject, assessment.built),
        *_missing_facts(subject, assessment),
        *_remedies(subject, assessment),
        *_weights(subject, assessment),
        *_conditions(subject, assessment.built),
    )


def _definitions(subject: Subject, built: tuple[DefinitionResult, ...]) -> tuple[AnyBlock, ...]:
    if not built:
        return ()
    columns = (
        Column(subject.say("definition"), width=5),
        Column(subject.say("citation"), width=6),
        Column(subject.say("kind"), width=3),
        Column(subject.say("result"), width=3),
    )
    rows = tuple(
        (
            definition.title,
            _citation(subject, definition),
            subject.voice.heading("role", definition.role),
            _result(subject, definition),
        )
        for definition in built
    )
    return (Table(subject.say("definitions_caption"), columns, rows),)


def _citation(subject: Subject, definition: DefinitionResult) -> str:
    """The citation, marked where nobody has held it against the published text."""
    return definition.citation if definition.verified else subject.say("not_verified", citation=definition.citation)


def _result(subject: Subject, definition: DefinitionResult) -> str:
    result = _holds(subject, definition.holds)
    if definition.holds and definition.contradicts_registered:
        return f"{result}; {subject.say('contradicts')}"
    return result


def _holds(subject: Subject, holds: bool | None) -> str:
    return subject.voice.heading("holds", "unknown" if holds is None else str(holds).lower())


def _conditions(subject: Subject, built: tuple[DefinitionResult, ...]) -> tuple[AnyBlock, ...]:
    """Every definition with its conditions, a group each; conditions within a condition follow it."""
    columns = (
        Column(subject.say("condition"), width=5),
        Column(subject.say("finding"), width=6),
        Column(subject.say("result"), width=2),
    )
    groups = tuple(
        Group(
            subject.say("definition_heading", title=definition.title, citation=_citation(subject, definition)),
            tuple(row for element in definition.elements for row in _rows(subject, element, "")),
        )
        for definition in built
    )
    return (GroupedTable(subject.say("conditions_caption"), columns, groups),) if groups else ()


def _rows(subject: Subject, element: ElementResult, indent: str) -> Iterator[tuple[str, ...]]:
    """The condition; where it is made of others, its reasons stand with those."""
    because = "" if element.parts else element.because
    yield indent + element.text, because, _holds(subject, element.holds)
    for part in element.parts:
        yield from _rows(subject, part, indent + INDENT)


def _missing_facts(subject: Subject, assessment: Assessment) -> tuple[AnyBlock, ...]:
    if not assessment.missing_facts:
        return ()
    columns = (
        Column(subject.say("question"), width=3),
        Column(subject.say("how_to_find_out"), width=2),
        Column(subject.say("answer"), width=2),
    )
    rows = tuple((fact.question, fact.measure, "") for fact in assessment.missing_facts)
    return (Table(subject.say("missing_caption"), columns, rows),)


def _remedies(subject: Subject, assessment: Assessment) -> tuple[AnyBlock, ...]:
    if not assessment.remedies:
        return ()
    columns = tuple(
        Column(subject.say(title), width=width)
        for title, width in (("route", 4), ("decided_by", 2), ("needs", 3), ("source", 2))
    )
    rows = tuple(
        (remedy.route, remedy.decided_by, "; ".join(remedy.needs), remedy.source) for remedy in assessment.remedies
    )
    return (Table(subject.say("remedies_caption"), columns, rows),)


def _asides(subject: Subject, assessment: Assessment) -> tuple[AnyBlock, ...]:
    """The verdict from other points of view, what is missed by one condition, and what the number says."""
    voice = subject.voice
    views = [
        subject.say(view.outlook, jurisdiction=view.jurisdiction, verdict=voice.label("verdict", view.verdict))
        for view in assessment.views
    ]
    near = [miss.text for miss in assessment.near_misses]
    number = [note.text for note in assessment.identification.notes] if assessment.identification else []
    items = (*views, *near, *number)
    return (Listing(items),) if items else ()


def _weights(subject: Subject, assessment: Assessment) -> tuple[AnyBlock, ...]:
    """Limits that the trailer reaches or may reach, and the cautions that go with them, once each."""
    if not assessment.weights:
        return ()
    columns = (
        Column(subject.say("weight_limit"), width=5),
        Column(subject.say("applies")),
        Column(subject.say("source"), width=4),
    )
    rows = tuple(
        (
            warning.text,
            subject.say("applies_surely" if warning.applies else "applies_maybe"),
            warning.source if warning.verified else subject.say("not_verified", citation=warning.source),
        )
        for warning in assessment.weights
    )
    cautions = tuple(dict.fromkeys(warning.caution for warning in assessment.weights))
    return (Table(subject.say("weights_caption"), columns, rows), Listing(cautions))
