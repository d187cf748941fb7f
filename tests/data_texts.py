"""The texts that lie in the reference data of a jurisdiction, as far as an assessment there can show them."""

from collections.abc import Iterator
from importlib.abc import Traversable
from importlib.resources import files

import msgspec

from hitchworth.reference.class_change_effects import class_change_rows
from hitchworth.reference.condition import Condition
from hitchworth.reference.definitions import Definition, condition_of, definitions
from hitchworth.reference.facts import FactDefinition, facts, vocabulary
from hitchworth.reference.jurisdictions import jurisdiction
from hitchworth.reference.remedies import remedies
from hitchworth.reference.schedules import library_schedules
from hitchworth.reference.towing_rules import towing_rules


def questions_about_facts() -> tuple[str, ...]:
    """Every fact as a question, and how to find it out, whatever the jurisdiction."""
    return tuple(dict.fromkeys(text for fact in facts() for text in (fact.question, fact.measure) if text))


def texts_of(code: str) -> tuple[str, ...]:
    """Every text of the jurisdiction's chain, once each: definitions, the facts they ask for, ways out, limits."""
    chain = set(jurisdiction(code).chain)
    entries = [entry for entry in definitions() if entry.jurisdiction in chain]
    texts = [
        *(text for entry in entries for text in _definition(entry)),
        *(text for fact in _facts(entries) for text in (fact.question, fact.measure)),
        *_remedies(chain),
        *_limits(chain),
        *(record.source for record in library_schedules()),
    ]
    return tuple(dict.fromkeys(filter(None, texts)))


def _definition(entry: Definition) -> Iterator[str]:
    yield entry.title
    yield entry.note
    yield from (part.text for part in _parts(condition_of(entry.id)))


def _facts(entries: list[Definition]) -> list[FactDefinition]:
    parts = [part for entry in entries for part in _parts(condition_of(entry.id))]
    asked = {part.comparison.fact for part in parts if part.comparison is not None}
    return [vocabulary()[name] for name in sorted(asked)]


def _parts(condition: Condition) -> Iterator[Condition]:
    yield condition
    for part in condition.parts:
        yield from _parts(part)


def _remedies(chain: set[str]) -> Iterator[str]:
    for entry, _ in remedies():
        if chain.intersection(entry.jurisdictions):
            yield from (entry.route, entry.decided_by, *entry.needs, entry.source, entry.caution)
    for row in class_change_rows():
        if row.place in chain:
            yield from (row.text, row.source)


def _limits(chain: set[str]) -> Iterator[str]:
    for rule in (each.rule for each in towing_rules()):
        if chain.intersection(rule.jurisdictions):
            yield from (rule.text, rule.source, rule.caution)


def every_text_of_the_data() -> set[str]:
    """Every text that lies in a data file or a file of texts, whether it is ever shown or not."""
    package = files("hitchworth")
    folders = (package / "reference" / "data", package / "localization" / "texts")
    return {text for folder in folders for file in _data_files(folder) for text in _leaves(msgspec.yaml.decode(file))}


def _data_files(folder: Traversable) -> Iterator[bytes]:
    for entry in folder.iterdir():
        if entry.is_dir():
            yield from _data_files(entry)
        elif entry.name.endswith(".yaml"):
            yield entry.read_bytes()


def _leaves(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict | list):
        for part in value.values() if isinstance(value, dict) else value:
            yield from _leaves(part)
