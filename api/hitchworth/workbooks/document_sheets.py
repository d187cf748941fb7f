"""A document as sheets to fill in: one for the build, one for each list, one for the facts with their questions.

What no cell can show, such as a schedule written out with its line, is in the sheet of further entries as JSON, so that
a document comes back from its workbook as it was.
"""

from base64 import b64encode
from collections.abc import Iterable, Iterator
from typing import Any

import msgspec
from msgspec import NODEFAULT, Struct
from msgspec.structs import FieldInfo, fields

from hitchworth.canonical import without_defaults
from hitchworth.localization.localizer import Localizer
from hitchworth.localization.texts import texts
from hitchworth.model.answer import Answer
from hitchworth.model.build import FactValue, Measurement
from hitchworth.model.request import GapRequest
from hitchworth.reference.facts import FactDefinition, facts, vocabulary
from hitchworth.workbooks.cells import Cell, Row
from hitchworth.workbooks.columns import LEFT_OUT, OWN_SHEET, RECORDS, Column, columns_of
from hitchworth.workbooks.entries import FurtherEntry
from hitchworth.workbooks.records import shown, table_of, value_of_field
from hitchworth.workbooks.table import Table

LISTS: dict[str, str] = {
    "component": "build.components",
    "labor": "build.labor",
    "policy": "policies",
    "loss": "losses",
    "answer": "answers",
    "protection": "build.protections",
    "circuit": "build.circuits",
}
"""Where the records of each list are in a document, by the name of their columns."""

FORM = ("build", "document")
"""The records of the first sheet, which has a row for each of their fields."""

KEYS = {"component": "id", "labor": "id", "policy": "name", "loss": "name", "protection": "name", "circuit": "name"}
"""The field by which the sheet of further entries names a record."""

_MOST_CHARACTERS = 30_000
"""Of a cell; a spreadsheet holds 32,767."""


def sheet_name(kind: str, localizer: Localizer) -> str:
    """Return the name of a sheet in the locale."""
    return localizer.heading("workbook_sheet", kind)


def document_tables(document: GapRequest | None, localizer: Localizer) -> dict[str, Table]:
    """Return the sheets of a document by their kind; without one, empty ones with their headers."""
    tables = {"build": _form(document, localizer)}
    for record, path in LISTS.items():
        records = (None if document is None else value_of_field(document, path)) or ()
        table = table_of(records, record, sheet_name(record, localizer), localizer)
        tables[record] = _with_answers(table, records, localizer) if record == "answer" else table
        if record == "labor":
            tables["fact"] = _facts(document, localizer)
    further = () if document is None else tuple(_further(document))
    tables["further"] = table_of(further, "further", sheet_name("further", localizer), localizer)
    return tables


def _form(document: GapRequest | None, localizer: Localizer) -> Table:
    """Return the build and, below it, the settings, a row for each field: header, value, example."""
    own = texts().workbook
    rows: list[Row] = [tuple(localizer.translate(own[name]) for name in ("entry", "value", "example"))]
    holders = {"build": None if document is None else document.build, "document": document}
    for record in FORM:
        holder = holders[record]
        for column in columns_of(record):
            value = None if holder is None else value_of_field(holder, column.field)
            if document is None and column.field == "locale":
                value = localizer.locale.formats
            rows.append((column.header(localizer), shown(value, column, localizer), example(column, localizer)))
    return Table(name=sheet_name("build", localizer), rows=tuple(rows))


def example(column: Column, localizer: Localizer) -> Cell:
    """Return an example of what may stand in a cell, as a cell of the locale; none of a number, which says nothing."""
    value: Any = None if column.kind in ("number", "whole") else column.example(localizer)
    return localizer.label("yes_no", str(value).lower()) if isinstance(value, bool) else shown(value, column, localizer)


def _facts(document: GapRequest | None, localizer: Localizer) -> Table:
    """Return every fact of the vocabulary with its question, and its value where it is given."""
    head = tuple(column.header(localizer) for column in columns_of("fact"))
    given = {} if document is None else document.build.facts
    rows = (
        (
            localizer.label("fact", fact.name),
            localizer.translate(fact.question) + (f" ({fact.unit})" if fact.unit else ""),
            *(_fact_cells(fact, given[fact.name], localizer) if fact.name in given else (None, None, None)),
        )
        for fact in facts()
    )
    return Table(name=sheet_name("fact", localizer), rows=(head, *rows))


def _fact_cells(fact: FactDefinition, given: FactValue, localizer: Localizer) -> tuple[Cell, Cell, Cell]:
    """Return value, unit and planned."""
    if isinstance(given, Measurement):
        planned = localizer.label("yes_no", "true") if given.planned else None
        return fact_cell(fact, given.value, localizer), given.unit, planned
    return fact_cell(fact, given, localizer), None, None


def fact_cell(fact: FactDefinition, value: Any, localizer: Localizer) -> Cell:
    """Return the value of a fact as a cell, in words of the locale."""
    if value is None:
        return localizer.translate(texts().sheet["not_known"])
    if isinstance(value, str):
        return localizer.label(fact.name, value) if value in texts().labels.get(fact.name, {}) else value
    return shown(value, _PLAIN, localizer)


_PLAIN = Column(record="fact", field="value", kind="text", is_required=False, can_be_unknown=True, description="")


def fact_words(fact: FactDefinition, localizer: Localizer) -> tuple[str, ...]:
    """Return the words that the value of a fact may be; empty where it may be any."""
    if fact.type == "boolean":
        values: Iterable[Any] = (True, False, None)
    elif fact.type == "enum":
        values = (*fact.values, None)
    else:
        return ()
    return tuple(str(fact_cell(fact, value, localizer)) for value in values)


def _with_answers(table: Table, answers: Iterable[Answer], localizer: Localizer) -> Table:
    """Return the sheet of answers with each answer as the term or the fact that it settles would show it."""
    place = next(at for at, column in enumerate(columns_of("answer")) if column.field == "value")
    rows = [table.rows[0]]
    for row, answer in zip(table.rows[1:], answers, strict=True):
        rows.append((*row[:place], _answer_cell(answer, localizer), *row[place + 1 :]))
    return Table(name=table.name, rows=tuple(rows))


def _answer_cell(answer: Answer, localizer: Localizer) -> Cell:
    if answer.fact is not None and answer.fact in vocabulary():
        return fact_cell(vocabulary()[answer.fact], answer.value, localizer)
    if answer.value is None:
        return localizer.translate(texts().sheet["not_known"])
    if answer.value == "none":
        return localizer.label("term_state", "none")
    return shown(answer.value, term_column(answer.term) or _PLAIN, localizer)


def term_column(term: str | None) -> Column | None:
    """Return the column of a term of a policy; None for a term that no column has."""
    return next((column for column in columns_of("policy") if column.field == term), None)


def _further(document: GapRequest) -> Iterator[FurtherEntry]:
    """Yield what the other sheets cannot show."""
    yield from _beside_columns(document, "document", None, None)
    yield from _beside_columns(document.build, "build", "build", None)
    if document.build.protections == ():  # known to have none, which an empty sheet does not say
        yield FurtherEntry(sheet="build", field="protections", value="[]")
    for record, path in LISTS.items():
        for each in value_of_field(document, path) or ():
            if record in KEYS:
                yield from _beside_columns(each, record, record, getattr(each, KEYS[record]))


def _beside_columns(holder: Struct, record: str, sheet: str | None, entry: str | None) -> Iterator[FurtherEntry]:
    """Yield the fields of a record that have a value other than their default, and no cell that shows it."""
    left_out = LEFT_OUT.get(RECORDS[record], {})
    for field in fields(RECORDS[record]):
        value = getattr(holder, field.name)
        has_cell = left_out.get(field.name) == OWN_SHEET or field.name == "format"
        if field.name not in left_out:
            has_cell = not _is_written_out(record, field, value)
        if not has_cell and value != _default(field):
            text = _json(value)
            for start in range(0, len(text), _MOST_CHARACTERS):
                part = text[start : start + _MOST_CHARACTERS]
                yield FurtherEntry(sheet=sheet, entry=entry, field=field.name, value=part)


def _is_written_out(record: str, field: FieldInfo, value: Any) -> bool:
    """Return whether a field that has a column has a record as its value, which a column of its own cannot show."""
    return isinstance(value, Struct) and any(column.field == field.name for column in columns_of(record))


def _default(field: FieldInfo) -> Any:
    return field.default if field.default_factory is NODEFAULT else field.default_factory()


def _json(value: Any) -> str:
    plain = b64encode(value).decode() if isinstance(value, bytes) else without_defaults(value)
    return msgspec.json.encode(plain).decode()
