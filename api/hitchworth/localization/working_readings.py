"""The texts where a place defines no such class: its nearest words, and the working reading, marked as such."""

from collections.abc import Iterator

from msgspec.structs import replace

from hitchworth.localization.localizer import Localizer
from hitchworth.localization.texts import texts
from hitchworth.model.assessment import Assessment, ClassWord, View, WorkingReading
from hitchworth.model.definition import DefinitionResult


def verdict_label(result: Assessment | View, localizer: Localizer) -> str:
    """Return the verdict in words, marked where it is that of a working reading."""
    verdict = localizer.label("verdict", result.verdict)
    return localizer.format(texts().sheet["working_verdict"], verdict=verdict) if result.working_reading else verdict


def words_of_place(assessment: Assessment, code: str, localizer: Localizer) -> tuple[str, ...]:
    """Return that the place defines no such class, and the nearest words, or what is known of them.

    Words whose definitions a working reading names anyway are not repeated.
    """
    place, registered = localizer.place(code), assessment.registered
    read_by = {definition.id for definition in deciding_definitions(assessment)}
    words = [word for word in registered.nearest_words if word.definition not in read_by]
    own = [word for word in words if word.jurisdiction == code]
    wider = [word for word in words if word.jurisdiction != code]
    return (
        localizer.format(texts().verdicts["no_class_here"], place=place, registered=registered.class_),
        *_words(own, localizer),
        *_words(wider, localizer),
    )


def _words(words: list[ClassWord], localizer: Localizer) -> Iterator[str]:
    defined = "; ".join(word.word for word in words if word.status == "defined")
    if defined:
        place = localizer.place(words[0].jurisdiction)
        yield localizer.format(texts().verdicts["word_defined"], place=place, words=defined)
    for word in words:
        if word.status != "defined":
            yield localizer.format(texts().verdicts[f"word_{word.status}"], word=word.word, source=word.source)


def localize_reading(result: Assessment | View, localizer: Localizer) -> WorkingReading | None:
    """Return the working reading in words, from a result whose definitions are localized already."""
    reading = result.working_reading
    if reading is None or result.jurisdiction is None:
        return None
    outcome, deciding = _outcome(reading, result)
    return replace(
        reading,
        text=localizer.format(
            texts().verdicts[f"working_{outcome}"],
            titles="; ".join(f"{built.title} ({built.citation})" for built in deciding),
            registered=result.registered.class_,
        ),
    )


def deciding_definitions(result: Assessment | View) -> tuple[DefinitionResult, ...]:
    """Return the definitions that decide a working reading; empty without one."""
    return _outcome(result.working_reading, result)[1] if result.working_reading else ()


def _outcome(reading: WorkingReading, result: Assessment | View) -> tuple[str, tuple[DefinitionResult, ...]]:
    """Return how the reading comes out, and the definitions that decide it; while it is open, those it goes by."""
    read_by = tuple(built for built in result.built if built.id in reading.read_by)
    opposed = tuple(built for built in result.built if built.id in reading.contradicted_by and built.holds)
    if result.verdict == "match":
        return "match", tuple(built for built in read_by if built.holds)
    if result.verdict == "mismatch":
        return ("meets_other", opposed[:1]) if opposed else ("mismatch", read_by)
    return "undetermined", read_by
