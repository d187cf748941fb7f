"""The faults of a document as those of its cells: in which cell each is, and what that cell may say."""

import re
from collections.abc import Iterable, Mapping

import msgspec
from msgspec.structs import replace

from hitchworth.localization.localizer import Localizer, localizer_for
from hitchworth.model.fault import Fault
from hitchworth.reference.facts import vocabulary
from hitchworth.validation.fault_texts import MISSING, NEEDS_DAMAGE, OUT_OF_RANGE, VALUE_FAULTS
from hitchworth.workbooks.cells import cell_text
from hitchworth.workbooks.columns import EXAMPLES, Column, columns_of
from hitchworth.workbooks.document_sheets import fact_words, sheet_name, term_column
from hitchworth.workbooks.records import Records

_POINTER = re.compile(r"/(?:build|policies|losses|answers)/[\w/.~-]+")
_QUOTED = re.compile(r'"(.*)"', re.DOTALL)
_OR_NULL = " or null"
_FACTS = "/build/facts/"


def faults_in_cells(
    faults: Iterable[Fault],
    sheets: Mapping[str, Records],
    cells: Mapping[str, str] | None = None,
    localizer: Localizer | None = None,
) -> tuple[Fault, ...]:
    """Return the faults with the cells in which they are, and with the values that these cells offer as expected.

    sheets: the records by the pointer to their array; of a form, to its record.
    cells: single cells by their pointer, which go first.
    localizer: of the words that the cells offer. Default: American English.
    """
    places = _Places(sheets, cells or {}, localizer or localizer_for("en-US"))
    return tuple(map(places.in_cells, faults))


class _Places:
    """Finds the cell of a JSON Pointer: its own, or that of the nearest record that holds it."""

    def __init__(self, sheets: Mapping[str, Records], cells: Mapping[str, str], localizer: Localizer) -> None:
        self._sheets = sorted(sheets.items(), key=lambda item: len(item[0]), reverse=True)
        self._cells, self._localizer = cells, localizer

    def in_cells(self, fault: Fault) -> Fault:
        """Return the fault as one of the cells."""
        return replace(
            fault,
            detail=self._detail(fault),
            expected=self._expected(fault),
            cell=self._cell(fault.pointer),
            found=_QUOTED.sub(r"\1", fault.found),
            also_at=tuple(self._cell(pointer) or pointer for pointer in fault.also_at),
        )

    def _detail(self, fault: Fault) -> str:
        """Return what is wrong, with cells in place of pointers; of a field without a column, its header."""
        records, _, field = self._entry(fault.pointer) or (None, 0, "")
        if records is not None and fault.detail == MISSING and field not in records.columns:
            column = _column(records.record, field)
            if column is not None:
                return f"The sheet lacks the header {column.header(self._localizer)}"
        return _POINTER.sub(lambda found: self._cell(found[0]) or found[0], fault.detail)

    def _cell(self, pointer: str) -> str:
        """Return the name of the cell; empty where no sheet has it."""
        own = pointer
        while own and own not in self._cells:
            own = own.rpartition("/")[0]
        if own:
            return self._cells[own]
        entry = self._entry(pointer)
        return "" if entry is None else entry[0].cell(*entry[1:])

    def _entry(self, pointer: str) -> tuple[Records, int, str] | None:
        """Return the sheet, the number of the record in it and the field."""
        for prefix, records in self._sheets:
            if pointer.startswith(f"{prefix}/"):
                parts = pointer.removeprefix(f"{prefix}/").split("/")
                index = 0 if records.is_form else int(parts.pop(0))
                return records, index, ".".join(parts)
        return None

    def _expected(self, fault: Fault) -> str:
        """Return what the cell may hold: words as its drop-down list has them; else what the fault says."""
        expected = self._further(fault) or self._offered(fault) or fault.expected
        return f"{expected.removesuffix(_OR_NULL)}, or an empty cell" if expected.endswith(_OR_NULL) else expected

    def _further(self, fault: Fault) -> str:
        """Return the row of the further entries that says the damage of a loss, which has no cell of its own."""
        records, index, field = self._entry(fault.pointer) or (None, 0, "")
        if records is None or fault.detail != NEEDS_DAMAGE:
            return ""
        parts = next((sheet for prefix, sheet in self._sheets if prefix == "/build/components"), None)
        categories = () if parts is None else (part.get("category") for part in parts.values)
        example = [{"category": next(filter(None, categories), "solar"), "fraction": 0.5}]
        cells = {
            "sheet": self._localizer.label("workbook_sheet", "loss"),
            "entry": records.values[index].get("name", ""),
            "field": field,
            "value": msgspec.json.encode(example).decode(),
        }
        row = "; ".join(f"{column.header(self._localizer)}: {cells[column.field]}" for column in columns_of("further"))
        return f"a row in the sheet {sheet_name('further', self._localizer)}. {row}"

    def _offered(self, fault: Fault) -> str:
        """Return what the cell offers; empty where it offers nothing, or the fault is about something else."""
        entry = self._entry(fault.pointer)
        records, index, field = entry or (None, 0, "")
        is_answer = records is not None and records.record == "answer" and field == "value"
        name = fault.pointer.removeprefix(_FACTS)
        if records is not None and is_answer:
            name = records.values[index].get("fact", "")
        fact = vocabulary().get(name)
        if fact is not None:
            words = fact_words(fact, self._localizer)
            return f"one of {', '.join(words)}" if words else ""
        if records is None or fault.detail not in (*VALUE_FAULTS, OUT_OF_RANGE):
            return ""
        is_item = field.rpartition(".")[2].isdecimal()
        field = field.rpartition(".")[0] if is_item else field
        column = _column(records.record, field)
        if is_answer:
            column = term_column(records.values[index].get("term"))
        if fault.detail == OUT_OF_RANGE and (column is None or not column.is_part):
            return ""
        offered = "" if column is None else _words_of(column, self._localizer)
        is_open = column is not None and column.can_be_unknown and not is_item and fault.detail != MISSING
        return f"{offered}{_OR_NULL}" if offered and is_open else offered


def _column(record: str, field: str) -> Column | None:
    return next((column for column in columns_of(record) if column.field == field), None)


def _words_of(column: Column, localizer: Localizer) -> str:
    """Return what a cell of the column may hold; empty where its type says more."""
    labels = ", ".join(localizer.label(column.labels, code) for code in column.choices)
    match column.kind:
        case "choice":
            return f"one of {labels}"
        case "list" if labels:
            return f"some of {labels}, with semicolons between"
        case "yes_no":
            yes, no = (localizer.label("yes_no", code) for code in ("true", "false"))
            return f"{yes} or {no}"
        case "date" | "money" as kind:
            return f"a {'number' if kind == 'money' else kind}, such as {cell_text(EXAMPLES[kind])}"
        case "share":
            return "a share, such as 0.25 or 25 %"
        case "number":
            return "a number"
    return ""
