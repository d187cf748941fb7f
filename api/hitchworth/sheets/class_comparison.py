"""The registered class against the built use: the verdict, every definition, what is missing, and ways out."""

from hitchworth.model.assessment import Assessment, DefinitionResult
from hitchworth.sheets.content import AnyBlock, Column, Heading, Paragraph, Table
from hitchworth.sheets.subject import Subject


def class_comparison(subject: Subject) -> tuple[AnyBlock, ...]:
    """The definitions in one table, then each with its conditions and findings."""
    assessment = subject.statement.assessment
    return (
        Heading(subject.say("assessment"), new_page=True),
        Paragraph(assessment.statement),
        *_definitions(subject, assessment.built),
        *_missing_facts(subject, assessment),
        *_remedies(subject, assessment),
        *(_elements(subject, definition) for definition in assessment.built if definition.elements),
    )


def _definitions(subject: Subject, built: tuple[DefinitionResult, ...]) -> tuple[AnyBlock, ...]:
    if not built:
        return ()
    columns = (
        Column(subject.say("definition"), width=3),
        Column(subject.say("citation"), width=3),
        Column(subject.say("kind"), width=2),
        Column(subject.say("result"), width=2),
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


def _elements(subject: Subject, definition: DefinitionResult) -> Table:
    return Table(
        subject.say("elements_caption", title=definition.title, citation=_citation(subject, definition)),
        (
            Column(subject.say("condition"), width=5),
            Column(subject.say("finding"), width=6),
            Column(subject.say("result"), width=2),
        ),
        tuple((element.text, element.because, _holds(subject, element.holds)) for element in definition.elements),
    )


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
