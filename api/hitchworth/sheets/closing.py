"""The end of a sheet: cautions, glossary, sources, and the digest of the data that it was made from."""

from hitchworth.sheets.content import AnyBlock, Caution, Fact, Facts, Heading, Listing, Paragraph
from hitchworth.sheets.subject import Subject
from hitchworth.wording.texts import texts


def closing(subject: Subject) -> tuple[AnyBlock, ...]:
    """What the reader has to beware of, what the terms mean, and where it all comes from."""
    say = subject.voice.translated
    glossary = tuple(Fact(say(entry.term), say(entry.meaning)) for entry in texts().glossary)
    return (
        Caution(subject.say("cautions"), subject.statement.cautions),
        Heading(subject.say("glossary")),
        Facts(glossary),
        *_sources(subject),
        Heading(subject.say("revision"), level=2),
        Paragraph(subject.say("digest", digest=subject.statement.digest)),
    )


def _sources(subject: Subject) -> tuple[AnyBlock, ...]:
    """Where the questions come from, once each; what else has a source says so where it stands."""
    listed = tuple(dict.fromkeys(question.source for question in subject.statement.questions if question.source))
    intro = Paragraph(subject.say("sources_intro"))
    return (Heading(subject.say("sources")), intro, *((Listing(listed),) if listed else ()))
