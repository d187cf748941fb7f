"""Measures against loss that the inventory of a build suggests. Each is to be confirmed; none counts as in place."""

from collections.abc import Iterator
from datetime import date
from functools import lru_cache

from hitchworth.model.build import Build
from hitchworth.model.entry import Component
from hitchworth.model.protection import MeasureSuggestion
from hitchworth.model.timeline import is_installed_on
from hitchworth.reference.protections import measures_by_name, protection_words
from hitchworth.reference.words import words_of


def suggested_measures(build: Build, as_of: date) -> tuple[MeasureSuggestion, ...]:
    """Return the measures that were not entered and that a component in the trailer on the day seems to be."""
    entered = {protection.name for protection in build.protections or ()}
    return tuple(
        suggestion
        for part in build.components
        if is_installed_on(part, as_of)
        for suggestion in _shown_by(part)
        if suggestion.measure not in entered
    )


def _shown_by(part: Component) -> Iterator[MeasureSuggestion]:
    for measure, phrase in _measures_named(f"{part.category} {part.description}"):
        yield MeasureSuggestion(
            measure=measure,
            title=measures_by_name()[measure].title,
            component=part.id,
            description=part.description,
            words=phrase,
        )


@lru_cache(maxsize=10_000)
def _measures_named(text: str) -> tuple[tuple[str, str], ...]:
    """Return the measures that a text names, each with the words that do."""
    words = frozenset(words_of(text))
    found = ((entry.measure, entry.phrase_in(words)) for entry in protection_words())
    return tuple((measure, phrase) for measure, phrase in found if phrase is not None)
