"""The reference data without a server, a command for each list: `hitchworth schedules`, `facts` and so on."""

import re
from argparse import ArgumentParser, Namespace
from collections.abc import Callable, Iterator, Sequence
from datetime import date
from functools import partial
from typing import Annotated, Any, NamedTuple

import msgspec
from msgspec import Meta, Struct

from hitchworth.cli.exit_codes import UsageError
from hitchworth.cli.layout import word_table
from hitchworth.cli.options import add_format, add_locale, value_of
from hitchworth.cli.request_file import input_errors
from hitchworth.cli.terminal import show_csv, show_json, show_result
from hitchworth.localization.locales import SOURCE, available
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.listing import Items
from hitchworth.model.strings import Jurisdiction
from hitchworth.operations import reference_data, result_tables
from hitchworth.operations.tables import ResultTable, filled
from hitchworth.reference.coverage import JurisdictionRecord
from hitchworth.reference.definitions import Definition
from hitchworth.reference.facts import FactDefinition
from hitchworth.reference.places import places_named
from hitchworth.reference.price_indexes import PriceIndex
from hitchworth.reference.questions import BankQuestion
from hitchworth.reference.schedules import ScheduleRecord, library_schedules
from hitchworth.reference.wages import Wage

_PLACEHOLDER = re.compile(r"\{[^{}]*\}")
"""What a question names for one build: the policy, the peril."""


class Category(Struct, frozen=True, kw_only=True):
    """A category of components and labor."""

    category: Annotated[str, Meta(description="Its name in a document.")]
    label: Annotated[str, Meta(description="Its name for a reader.")]
    schedule: Annotated[str, Meta(description="The schedule that its lines follow by default.")]


def list_categories(locale: str | None = None) -> Items[Category]:
    """List the categories, each with the schedule that its lines follow by default."""
    localizer = localizer_for(locale or "en-US")
    return Items(
        items=tuple(
            Category(category=name, label=localizer.label("category", name), schedule=schedule.name)
            for schedule in library_schedules()
            for name in schedule.categories
        )
    )


def _as_json(item: Struct) -> str:
    return msgspec.json.encode(item).decode()


def _category_in_every_language(category: Category) -> str:
    labels = (localizer_for(locale).label("category", category.category) for locale in available())
    return " ".join((_as_json(category), *labels))


class _List(NamedTuple):
    """A list: what it calls, its table for CSV, and the columns of the one for a terminal."""

    function: Callable[..., Items[Any]]
    table: ResultTable
    headings: Sequence[str]
    cells: Callable[[Any], Sequence[str]]
    add_filters: Callable[[ArgumentParser], None] = lambda _: None
    filters: Sequence[str] = ()
    search_text: Callable[[Any], str] = _as_json
    """What of an entry may have the words in it."""
    named: Callable[[str], Sequence[str]] | None = None
    """Gives the codes of the entries that have a name; they are listed with what belongs to them, and nothing else."""


def _schedule(record: ScheduleRecord) -> Sequence[str]:
    life = record.schedule.life_years
    return record.name, record.title, "" if life is None else f"{life:f}", record.source or "common practice"


def _fact(fact: FactDefinition) -> Sequence[str]:
    return fact.name, fact.question, fact.unit or ", ".join(fact.values) or fact.type, fact.measure


def _definition(definition: Definition) -> Sequence[str]:
    ends = "" if definition.valid_to is None else f" (until {definition.valid_to})"
    return definition.id, f"{definition.title}{ends}", definition.citation, "yes" if definition.verified else "no"


def _jurisdiction(record: JurisdictionRecord) -> Sequence[str]:
    return record.code, record.name, f"{record.definitions}", f"{record.verified}"


def _question(question: BankQuestion) -> Sequence[str]:
    return question.id, _PLACEHOLDER.sub("…", question.text), question.to, question.phase


def _wage(wage: Wage) -> Sequence[str]:
    rate = wage.loaded_rate
    loaded = "" if rate is None else f"{rate.hourly.mean:f}"
    return wage.trade, wage.title, wage.jurisdiction, f"{wage.currency} {wage.hourly.mean:f}", loaded, wage.vintage


def _index(index: PriceIndex) -> Sequence[str]:
    first, last = index.months[0], index.months[-1]
    return index.name, index.title, index.jurisdiction, f"{first.month} to {last.month}", f"{last.value:f}"


def _add_definition_filters(parser: ArgumentParser) -> None:
    parser.add_argument(
        "--jurisdiction", type=value_of(Jurisdiction), metavar="CODE", help="only those that apply there: US-WA, GB, DE"
    )
    parser.add_argument("--as-of", type=value_of(date), metavar="DATE", help="only those in force on this day")


_LISTS = {
    "schedules": _List(
        reference_data.list_schedules,
        reference_data.SCHEDULES[0],
        ("schedule", "what it is", "life in years", "source"),
        _schedule,
    ),
    "categories": _List(
        list_categories,
        result_tables.items_of(Category, "the categories")[0],
        ("category", "label", "schedule"),
        lambda each: (each.category, each.label, each.schedule),
        add_locale,
        ("locale",),
        _category_in_every_language,
    ),
    "facts": _List(
        reference_data.list_facts,
        reference_data.FACTS[0],
        ("fact", "question", "unit or values", "how to find out"),
        _fact,
    ),
    "definitions": _List(
        reference_data.list_definitions,
        reference_data.DEFINITIONS[0],
        ("definition", "title", "citation", "verified"),
        _definition,
        _add_definition_filters,
        ("jurisdiction", "as_of"),
    ),
    "jurisdictions": _List(
        reference_data.list_jurisdictions,
        reference_data.JURISDICTIONS[0],
        ("code", "name", "definitions", "verified"),
        _jurisdiction,
        named=places_named,
    ),
    "questions": _List(
        reference_data.list_questions,
        reference_data.QUESTIONS[0],
        ("question", "text", "to", "phase"),
        _question,
    ),
    "wages": _List(
        reference_data.list_wages,
        reference_data.WAGES[0],
        ("trade", "title", "place", "mean wage", "with the employer's costs", "of"),
        _wage,
    ),
    "indexes": _List(
        reference_data.list_price_indexes,
        reference_data.PRICE_INDEXES[0],
        ("index", "what it measures", "place", "months", "last value"),
        _index,
    ),
}


def add_options(parser: ArgumentParser) -> None:
    """Add the options of the list whose parser this is."""
    chosen = _LISTS[parser.prog.rpartition(" ")[2]]
    parser.add_argument("words", nargs="*", metavar="WORD", help="only entries that have all these words in them")
    chosen.add_filters(parser)
    add_format(parser)
    parser.set_defaults(run=partial(run, chosen))


def run(chosen: _List, arguments: Namespace) -> None:
    """Print a list, or what has the words in it."""
    with input_errors():
        found = chosen.function(**{name: getattr(arguments, name) for name in chosen.filters})
    items = tuple(_found(chosen, found.items, arguments.words))
    if not items:
        raise UsageError(
            f"nothing has {' and '.join(arguments.words)} in it" if arguments.words else "there is nothing"
        )
    match arguments.format:
        case "json":
            show_json(msgspec.json.encode(Items(items=items)))
        case "csv":
            show_csv(filled(chosen.table, Items(items=items), getattr(arguments, "locale", None) or SOURCE))
        case _:
            table = word_table(*chosen.headings)
            for item in items:
                table.add_row(*chosen.cells(item))
            show_result(table)


def _found(chosen: _List, items: Sequence[Any], words: Sequence[str]) -> Iterator[Any]:
    """Yield the entries that are named so, else those that have all the words in them, in whatever case."""
    if chosen.named is not None and (codes := chosen.named(" ".join(words))):
        parts = tuple(f"{code}-" for code in codes)
        yield from (item for item in items if item.code in codes or item.code.startswith(parts))
        return
    wanted = [word.lower() for word in words]
    for item in items:
        text = chosen.search_text(item).lower()
        if all(word in text for word in wanted):
            yield item
