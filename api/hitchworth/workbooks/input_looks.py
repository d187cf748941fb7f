"""How the sheets to fill in look: drop-down lists, what a column holds in a comment on its header, widths."""

from collections.abc import Iterator, Mapping

from hitchworth.localization.locales import available
from hitchworth.localization.localizer import Localizer, localizer_for
from hitchworth.localization.texts import texts
from hitchworth.reference.currencies import currencies
from hitchworth.reference.facts import vocabulary
from hitchworth.reference.jurisdictions import jurisdictions
from hitchworth.reference.schedules import library_schedules
from hitchworth.reference.words import words_of
from hitchworth.workbooks.cells import cell_text
from hitchworth.workbooks.columns import Column, Kind, columns_of
from hitchworth.workbooks.document_sheets import FORM, LISTS, example, fact_words
from hitchworth.workbooks.look import Choices, Look, Place, Style, wide_enough
from hitchworth.workbooks.records import code_of, shown_code
from hitchworth.workbooks.table import Table

_SPARE_ROWS = 500
"""A list has drop-down lists for so many rows more than it has entries."""

_WIDTHS: dict[Kind, int] = {
    "text": 20,
    "number": 10,
    "whole": 10,
    "share": 12,
    "money": 13,
    "date": 12,
    "yes_no": 10,
    "choice": 20,
    "list": 24,
}
_WIDE = {"description": 44, "task": 44, "note": 30, "question": 70, "name": 30, "fact": 36}
_WIDE_IN = {("further", "value"): 80, ("fact", "value"): 24, ("answer", "value"): 24}
_FORM_STYLES: dict[Kind, Style] = {
    "number": "entry_number",
    "whole": "entry_number",
    "share": "entry_share",
    "money": "entry_money",
    "date": "date",
}
"""Of values below each other in one column with texts, which start on the left."""
_STYLES: dict[Kind, Style] = {"number": "number", "whole": "number", "share": "share", "money": "money", "date": "date"}


def input_looks(tables: Mapping[str, Table], localizer: Localizer, heads: Mapping[str, int]) -> dict[str, Look]:
    """Return the looks of the sheets of a document, by their names.

    tables: the sheets by what they hold, with columns in any order.
    heads: the row of the headers of a sheet, where it is not the first.
    """
    looks: dict[str, Look] = {}
    for kind, table in tables.items():
        if kind == "build":
            looks[table.name] = _form_look(table, localizer)
        else:
            looks[table.name] = _list_look(kind, table, localizer, tables, heads.get(table.name, 0))
    return looks


def _list_look(kind: str, table: Table, localizer: Localizer, tables: Mapping[str, Table], head: int) -> Look:
    places = dict(_columns_in(table, kind, head))
    choices = [] if kind != "fact" else list(_fact_choices(table, localizer, places, head))
    last_row = len(table.rows) - 1 + (0 if kind == "fact" else _SPARE_ROWS)
    for place, column in places.items():
        words, is_closed = words_for(column, localizer, tables)
        if words and not (kind == "fact" and column.field != "planned"):
            choices.append(
                Choices(column=place, first_row=head + 1, last_row=last_row, words=words, is_closed=is_closed)
            )
    width = max(map(len, table.rows), default=0)
    return Look(
        widths=wide_enough([_width(places.get(place)) for place in range(width)], table.rows[head : head + 1]),
        columns={place: _STYLES.get(column.kind, "text") for place, column in places.items()},
        styles={(head, place): "required" for place, column in places.items() if column.is_required},
        comments={(head, place): text for place, column in places.items() if (text := _comment(column, localizer))},
        choices=tuple(choices),
        head=head,
        frozen_columns=1,
    )


def _columns_in(table: Table, record: str, head: int) -> Iterator[tuple[int, Column]]:
    """Yield the columns that a sheet has, by their place."""
    by_words = {words_of(column.header(localizer)): column for column, localizer in _in_every_locale(record)}
    for place, cell in enumerate(table.rows[head] if table.rows else ()):
        column = by_words.get(words_of(cell_text(cell)))
        if column is not None:
            yield place, column


def _in_every_locale(record: str) -> Iterator[tuple[Column, Localizer]]:
    for locale in available():
        for column in columns_of(record):
            yield column, localizer_for(locale)


def _width(column: Column | None) -> int:
    if column is None:
        return 16
    return _WIDE_IN.get((column.record, column.field), _WIDE.get(column.field, _WIDTHS[column.kind]))


def _comment(column: Column, localizer: Localizer) -> str:
    """Return what a column means, whether it is required, an example, and how to say that there is nothing."""
    own = texts().workbook
    shown = cell_text(example(column, localizer))
    return " ".join(
        (
            *([meaning] if (meaning := column.meaning(localizer)) else []),
            *([localizer.translate(own["required"])] if column.is_required else []),
            *([localizer.format(own["example_is"], example=shown)] if shown else []),
            *([localizer.translate(own["several"])] if column.kind == "list" else []),
            *(
                [localizer.format(own["unknown"], none=localizer.label("term_state", "none"))]
                if column.kind == "list" and column.can_be_unknown
                else []
            ),
        )
    )


def words_for(column: Column, localizer: Localizer, tables: Mapping[str, Table]) -> tuple[tuple[str, ...], bool]:
    """Return the words of the drop-down list of a column, and whether it admits no others; empty without one."""
    if column.kind == "yes_no":
        return (localizer.label("yes_no", "true"), localizer.label("yes_no", "false")), True
    if column.kind == "choice":
        return tuple(localizer.label(column.labels, code) for code in column.choices), True
    if column.kind == "list":
        return (), False
    if column.field == "sheet":
        return tuple(localizer.label(column.labels, kind) for kind in ("build", *LISTS) if kind in tables), False
    match column.field:
        case "currency":
            return tuple(sorted(currencies().exponents)), False
        case "jurisdiction":
            return tuple(jurisdictions()), False
        case "registered_class":
            return tuple(sorted(texts().labels["class"])), False
        case "schedule" | "options.whole_trailer_schedule":
            return tuple(shown_code(record.name, column, localizer) for record in library_schedules()), False
    return _labels(column.labels, localizer) if column.labels else (), False


def _labels(group: str, localizer: Localizer) -> tuple[str, ...]:
    """Return the words of a group of labels in alphabetical order, without those that have a gap to fill."""
    labels = {localizer.label(group, code) for code, text in texts().labels[group].items() if "{" not in text}
    return tuple(sorted(labels, key=str.casefold))


def _fact_choices(table: Table, localizer: Localizer, places: Mapping[int, Column], head: int) -> Iterator[Choices]:
    """Yield the drop-down lists of the facts: each has words of its own."""
    by_field = {column.field: place for place, column in places.items()}
    if not {"fact", "value"} <= by_field.keys():
        return
    for row in range(head + 1, len(table.rows)):
        fact = vocabulary().get(code_of(cell_text(table.rows[row][by_field["fact"]]), "fact"))
        words = fact_words(fact, localizer) if fact is not None else ()
        if words:
            yield Choices(column=by_field["value"], first_row=row, last_row=row, words=words, is_closed=True)


def _form_look(table: Table, localizer: Localizer) -> Look:
    """Return the look of the build's sheet: headers on the left, one column of values, their examples beside them."""
    by_words = {
        words_of(column.header(locale)): column for record in FORM for column, locale in _in_every_locale(record)
    }
    styles: dict[Place, Style] = {}
    comments: dict[Place, str] = {}
    choices: list[Choices] = []
    for row, cells in enumerate(table.rows):
        place = next((at for at, cell in enumerate(cells[:20]) if words_of(cell_text(cell)) in by_words), None)
        if place is None:
            continue
        column = by_words[words_of(cell_text(cells[place]))]
        styles[row, place] = "required" if column.is_required else "label"
        style = _FORM_STYLES.get(column.kind, "text")
        styles |= {(row, place + 1): style, (row, place + 2): style}
        if meaning := column.meaning(localizer):
            comments[row, place] = meaning
        words, is_closed = words_for(column, localizer, {})
        if words:
            choices.append(Choices(column=place + 1, first_row=row, last_row=row, words=words, is_closed=is_closed))
    return Look(widths=(50, 40, 30), styles=styles, choices=tuple(choices), comments=comments)
