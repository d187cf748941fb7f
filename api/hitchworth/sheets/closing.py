"""The end of a sheet: protections, cautions, glossary and sources."""

from hitchworth.sheets.content import AnyBlock, Caution, Column, Fact, Facts, Heading, Listing, Table
from hitchworth.sheets.subject import Subject
from hitchworth.wording.texts import texts


def closing(subject: Subject) -> tuple[AnyBlock, ...]:
    """What protects the trailer, what the reader has to beware of, what the terms mean, and where it all comes from."""
    say = subject.voice.translated
    glossary = tuple(Fact(say(entry.term), say(entry.meaning)) for entry in texts().glossary)
    return (
        *_protections(subject),
        Caution(subject.say("cautions"), subject.statement.cautions),
        Heading(subject.say("glossary")),
        Facts(glossary),
        *_sources(subject),
    )


def _protections(subject: Subject) -> tuple[AnyBlock, ...]:
    voice = subject.voice
    rows = tuple(
        (
            voice.heading("protection", protection.name),
            voice.formats.day(protection.fitted_on) if protection.fitted_on else subject.say("not_known"),
            protection.evidence,
        )
        for protection in subject.build.protections
    )
    columns = (
        Column(subject.say("measure"), width=1),
        Column(subject.say("fitted_on")),
        Column(subject.say("evidence"), width=1),
    )
    if not rows:
        return ()
    return (Heading(subject.say("protections")), Table(subject.say("protections_caption"), columns, rows))


def _sources(subject: Subject) -> tuple[AnyBlock, ...]:
    """The published definitions that were applied, and where the questions come from, once each."""
    statement = subject.statement
    definitions = [
        definition.citation if definition.verified else subject.say("not_verified", citation=definition.citation)
        for definition in statement.assessment.built
    ]
    sources = tuple(dict.fromkeys([*definitions, *(question.source for question in statement.questions)]))
    listed = tuple(source for source in sources if source)
    return (Heading(subject.say("sources")), Listing(listed)) if listed else ()
