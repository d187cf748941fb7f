"""What an import of receipts or hours becomes, as a terminal shows it: columns, entries, guesses, notes, questions."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from rich.console import RenderableType
from rich.table import Table

from hitchworth.cli.layout import bullet_list, stacked, titled_table
from hitchworth.localization.localizer import Localizer, ParameterValue
from hitchworth.localization.texts import texts
from hitchworth.model.entry import Component, Labor
from hitchworth.model.note import Note
from hitchworth.model.receipt_import import ImportedColumn, ReceiptImport
from hitchworth.operations.imports import ImportAddition
from hitchworth.reference.words import words_of

NOTE_OPTIONS = {
    "no_evidence": "--evidence receipt",
    "evidence_of_some": "--evidence receipt",
    "evidence_of_all": "--evidence own_estimate",
    "tax_added": "--tax included",
    "tax_included": "--tax added",
    "tax_within_amounts": "--tax added",
    "own_unpaid_hours": "--set market_rate=RATE",
    "currency_assumed": "--currency CODE",
    "currency_of_sign": "--currency CODE",
    "read_as_windows_1252": "--encoding NAME",
}
"""The option that corrects what a note says was assumed."""

_REFERENCES = frozenset(words_of("ref reference receipt invoice order bill beleg rechnung factura recibo facture reçu"))
"""Words of a header that may mean a receipt, beside others."""
_MOST_ROWS = 60
_MOST_NAMES = 3
_HEADINGS = {"component": ("acquired_on", "description"), "labor": ("performed_on", "task")}


def import_report(imported: ReceiptImport, addition: ImportAddition | None, localizer: Localizer) -> RenderableType:
    """Lay out an import: the columns, the entries, what was left out, guessed and assumed, and what is to be asked."""
    parts = [
        _column_table(imported, localizer),
        *_entry_table(imported, addition, localizer),
        *_left_out(imported, localizer),
        *_guesses(imported, localizer),
        *_corrections(addition, localizer),
        *_similar(imported, addition, localizer),
        *_notes(imported, addition, localizer),
        *_questions(imported, localizer),
        *_summary(imported, addition, localizer),
    ]
    return stacked(*parts)


def told(localizer: Localizer, key: str, **parameters: ParameterValue) -> str:
    """Return a text of `import_report` in texts/imports.yaml by its key."""
    return localizer.format(texts().import_report[key], **parameters)


def _column_table(imported: ReceiptImport, localizer: Localizer) -> RenderableType:
    table = titled_table(told(localizer, "columns"), told(localizer, "column"))
    table.add_column(told(localizer, "taken_for"))
    table.add_column(told(localizer, "example"))
    for column in imported.columns:
        sure = f" ({localizer.label('confidence', column.confidence)})" if column.confidence else ""
        taken = f"{column.field}{sure}" if column.field else told(localizer, "not_read")
        table.add_row(f"{column.column}  {column.header}", taken, column.example)
    return table


def _entry_table(
    imported: ReceiptImport, addition: ImportAddition | None, localizer: Localizer
) -> Iterator[RenderableType]:
    entries: tuple[Component | Labor, ...] = (*imported.components, *imported.labor)
    added = set(addition.added) if addition else set()
    new = [entry for entry in entries if entry.id in added]
    if not new:
        return
    rows = {row.id: row.row for row in imported.rows}
    guesses = {guess.id: guess for guess in imported.guesses if guess.field == "category"}
    table: Table = titled_table(told(localizer, "entries"), told(localizer, "row"))
    record = "labor" if imported.labor else "component"
    for heading in _HEADINGS[record]:
        table.add_column(localizer.translate(texts().columns[record][heading]))
    table.add_column(told(localizer, "amount"), justify="right", no_wrap=True)
    table.add_column(told(localizer, "category_sure"))
    for entry in new[:_MOST_ROWS]:
        guess = guesses.get(entry.id)
        sure = ""
        if guess is not None:
            label = (
                localizer.label("confidence", guess.confidence)
                if guess.confidence
                else told(localizer, "not_recognized")
            )
            stated = told(localizer, "column_says", stated=guess.stated) if guess.stated else ""
            sure = f" ({'; '.join(filter(None, (label, stated)))})"
        category = f"{localizer.label('category', entry.category)}{sure}"
        table.add_row(str(rows[entry.id]), *_cells(entry, localizer), category)
    if len(new) > _MOST_ROWS:
        table.add_row("…", "", f"+ {len(new) - _MOST_ROWS}", "", "")
    yield table


def _cells(entry: Component | Labor, localizer: Localizer) -> tuple[str, str, str]:
    """Return day, description and amount of an entry; a refund's amount is below zero."""
    if isinstance(entry, Labor):
        return localizer.formats.day(entry.performed_on), entry.task, f"{localizer.formats.number(entry.hours)} h"
    amount = entry.quantity * entry.unit_cost + (entry.tax or 0) + entry.freight
    shown = localizer.formats.money(amount, entry.currency or localizer.currency)
    return localizer.formats.day(entry.acquired_on), entry.description, shown


def _left_out(imported: ReceiptImport, localizer: Localizer) -> Iterator[RenderableType]:
    rows = [row for row in imported.rows if row.outcome in ("left_out", "split")]
    if rows and not imported.questions:
        lines = []
        for row in rows:
            why = (
                localizer.label("left_out_reason", row.reason)
                if row.reason
                else localizer.label("row_outcome", row.outcome)
            )
            lines.append(f"{row.row}: {why}: {row.shown}")
        yield bullet_list(told(localizer, "left_out"), lines)


def _guesses(imported: ReceiptImport, localizer: Localizer) -> Iterator[RenderableType]:
    names = {part.id: part.description for part in imported.components}
    keys = {"refund_of": "takes_back", "bought_used": "taken_as_used"}
    lines = [
        told(localizer, keys[guess.field], row=str(guess.row), because=guess.because, description=names[guess.id])
        for guess in imported.guesses
        if guess.field in keys
    ]
    if lines:
        yield bullet_list(told(localizer, "guesses"), lines)


def _corrections(addition: ImportAddition | None, localizer: Localizer) -> Iterator[RenderableType]:
    """Lay out what was done to entries that were there already, and what was not."""
    if addition is None:
        return
    kinds = (
        (told(localizer, "corrected"), "corrected_value", addition.corrected),
        (
            told(localizer, "contradicted", count=str(len(addition.contradicted))),
            "kept_value",
            addition.contradicted,
        ),
    )
    for title, line, corrections in kinds:
        alike: dict[tuple[str, str, str], list[str]] = {}
        for each in corrections:
            before, after = _value(each.field, each.before, localizer), _value(each.field, each.after, localizer)
            alike.setdefault((each.field, before, after), []).append(f"“{each.name}”")
        if alike:
            lines = [
                told(localizer, line, field=field, before=before, after=after, names=_names(names))
                for (field, before, after), names in alike.items()
            ]
            yield bullet_list(title, lines)
    if addition.removed:
        yield bullet_list(told(localizer, "removed"), [_names([f"“{name}”" for name in addition.removed])])
    if addition.missing:
        yield bullet_list(told(localizer, "missing"), [_names([f"“{name}”" for name in addition.missing])])
    if addition.unselected:
        yield bullet_list(told(localizer, "unselected"), addition.unselected)


def _value(field: str, value: object, localizer: Localizer) -> str:
    """Return a value of an entry as a reader knows it: a code as its label."""
    if value is None:
        return "–"
    if isinstance(value, str) and value in texts().labels.get(field, {}):
        return localizer.label(field, value)
    return localizer.formats.number(value) if isinstance(value, Decimal) else str(value)


def _names(names: Sequence[str]) -> str:
    """Return the first of many names, and how many more there are."""
    more = len(names) - _MOST_NAMES
    return ", ".join(names[:_MOST_NAMES]) + (f", + {more}" if more > 0 else "")


def _similar(
    imported: ReceiptImport, addition: ImportAddition | None, localizer: Localizer
) -> Iterator[RenderableType]:
    if addition is None or not addition.similar:
        return
    build = addition.document.build
    known = {part.id: part for part in (*build.components, *imported.components)}
    rows = {row.id: row.row for row in imported.rows}
    lines = []
    for each in addition.similar:
        amounts = (_cells(known[name], localizer)[2] for name in (each.id, each.other))
        amount, other_amount = amounts
        lines.append(
            told(
                localizer,
                each.likeness,
                row=str(rows[each.id]),
                description=known[each.id].description,
                other_description=known[each.other].description,
                amount=amount,
                other_amount=other_amount,
                day=known[each.other].acquired_on.isoformat(),
                other=each.other,
            )
        )
    yield bullet_list(told(localizer, "similar"), lines)


def _notes(imported: ReceiptImport, addition: ImportAddition | None, localizer: Localizer) -> Iterator[RenderableType]:
    known = {} if addition is None else {part.id: part.category for part in addition.document.build.components}
    unknown = sum(
        1
        for guess in imported.guesses
        if guess.field == "category" and guess.confidence is None and known.get(guess.id) == guess.value
    )
    lines = [" ".join(filter(None, (note.text, _option_of(note, imported)))) for note in imported.notes]
    if unknown:
        lines.append(told(localizer, "unrecognized_count", count=str(unknown)))
    if lines:
        yield bullet_list(told(localizer, "notes"), lines)


def _option_of(note: Note, imported: ReceiptImport) -> str:
    """Return the option that corrects what a note says, in brackets; empty for none."""
    if note.code == "no_evidence":
        maps = [f'--map "{column.header}=receipt_number"' for column in imported.columns if _may_be_receipt(column)]
        return f"[{' / '.join((*maps, NOTE_OPTIONS[note.code]))}]"
    rows = note.parameters.get("rows", "").removesuffix(", …").split(", ")
    is_extra = note.code.startswith("extra_")
    option = " ".join(f"--leave-out {row}" for row in rows) if is_extra else NOTE_OPTIONS.get(note.code)
    return f"[{option}]" if option else ""


def _may_be_receipt(column: ImportedColumn) -> bool:
    """Return whether a column may hold the numbers of receipts, though it was taken for something else."""
    is_free = column.field in (None, "model_number", "note") and column.matched_by != "declared"
    return is_free and bool(_REFERENCES & {*words_of(column.header)})


def _questions(imported: ReceiptImport, localizer: Localizer) -> Iterator[RenderableType]:
    for question in imported.questions:
        choices = [
            f"{choice.value}: {choice.reading}" if choice.reading else choice.value for choice in question.choices
        ]
        where = f" ({', '.join(question.cells)})" if question.cells else ""
        yield bullet_list(f"{told(localizer, 'questions')}: {question.text}{where}", choices)


def _summary(
    imported: ReceiptImport, addition: ImportAddition | None, localizer: Localizer
) -> Iterator[RenderableType]:
    if addition is not None:
        left_out = sum(1 for row in imported.rows if row.outcome == "left_out")
        counts = {"added": len(addition.added), "seen": len(addition.seen), "left_out": left_out}
        yield told(localizer, "summary", **{name: str(count) for name, count in counts.items()})
