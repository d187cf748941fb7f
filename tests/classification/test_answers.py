"""More facts never reverse a verdict, and the missing facts are enough to settle it."""

from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from hitchworth.classification.assessment import assess
from hitchworth.model.build import FactValue
from hitchworth.reference.definitions import definitions, definitions_for
from hitchworth.reference.facts import FactDefinition, facts
from hitchworth.reference.jurisdictions import jurisdictions

AS_OF = date(2026, 11, 25)
CLASSES = sorted({definition.class_ for definition in definitions() if definition.role == "class"})


def _values(fact: FactDefinition) -> st.SearchStrategy[FactValue]:
    if fact.type == "boolean":
        return st.booleans()
    if fact.type == "integer":
        return st.integers(0, 6)
    if fact.type == "number":
        return st.sampled_from([0, 1, 2.4384, 2.5908, 2.6, 6, 29.7289728, 37.2])
    return st.sampled_from(fact.values)


ANSWERS: st.SearchStrategy[dict[str, FactValue]] = st.fixed_dictionaries(
    {fact.name: _values(fact) for fact in facts() if fact.type != "text"}
)
PLACES = st.sampled_from(sorted(jurisdictions()))
DEFINED = st.sampled_from(
    [
        (place, definition.class_)
        for place in sorted(jurisdictions())
        for definition in definitions_for(place, AS_OF)
        if definition.role == "class"
    ]
)


@given(ANSWERS, PLACES, st.sampled_from(CLASSES), st.data())
def test_more_facts_never_reverse_a_verdict(
    answers: dict[str, FactValue], place: str, registered: str, data: st.DataObject
) -> None:
    # With most facts unknown no verdict is known either, so that a few unknown ones are a case of their own.
    names = st.sampled_from(sorted(answers))
    unknown = data.draw(st.sets(names, min_size=1, max_size=4) | st.sets(names))
    some = assess(place, registered, {name: answers[name] for name in answers.keys() - unknown}, AS_OF)
    # What the class implied holds, unless somebody says otherwise; here nobody does.
    implied = {preset.fact: preset.value for preset in some.presets}
    everything = assess(place, registered, {**answers, **implied}, AS_OF)
    if some.verdict != "undetermined":
        assert everything.verdict == some.verdict
    full = {definition.id: definition.holds for definition in everything.built}
    assert all(definition.holds in {None, full[definition.id]} for definition in some.built)


@given(ANSWERS, DEFINED, st.data())
def test_the_missing_facts_are_enough(
    answers: dict[str, FactValue], defined: tuple[str, str], data: st.DataObject
) -> None:
    """Whatever their answers, where the registered class has a definition."""
    place, registered = defined
    known = {name: answers[name] for name in data.draw(st.sets(st.sampled_from(sorted(answers))))}
    before = assess(place, registered, known, AS_OF)
    asked = {fact.fact for fact in before.missing_facts}
    assert asked.isdisjoint(known)
    assert asked.isdisjoint(preset.fact for preset in before.presets)
    after = assess(place, registered, {**known, **{name: answers[name] for name in asked}}, AS_OF)
    assert after.verdict != "undetermined"
