"""The columns that the model's records have in a sheet, derived from their fields: the one description of all tables.

What a column holds, which words it admits and what it means come from the type of its field; only its header and its
example are texts. A field that is neither a column nor named in LEFT_OUT fails a test.
"""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from functools import cache
from types import NoneType
from typing import Literal, NamedTuple, TypeAlias, get_args

from msgspec import Struct
from msgspec.structs import FieldInfo

from hitchworth.localization.localizer import Localizer
from hitchworth.localization.texts import texts
from hitchworth.model.answer import Answer
from hitchworth.model.build import Build, Protection
from hitchworth.model.circuit import BatteryChemistry, Circuit, CircuitRole
from hitchworth.model.entry import Component, EvidenceGrade, Labor, PriceContent, RateEvidence
from hitchworth.model.indirect_costs import ProfitBasis, SalesTaxBasis
from hitchworth.model.loss import Extent, Loss, Situation
from hitchworth.model.numbers import NOTE
from hitchworth.model.options import DayCount, ExchangeRates, LaborDepreciation, Rounding, ThreePoint
from hitchworth.model.policy import AbsentTerm, Basis, Policy, PolicyKind, SettlementStep, SettlesAs, ValuesBy
from hitchworth.model.request import GapRequest
from hitchworth.validation.type_inspection import (
    TypeForm,
    bounds_of,
    generic_origin,
    is_record,
    is_required,
    metadata_of,
    record_fields,
    strip_annotations,
    union_members,
    without_null,
)
from hitchworth.workbooks.entries import FactEntry, FurtherEntry

Kind: TypeAlias = Literal["text", "number", "whole", "share", "money", "date", "yes_no", "choice", "list"]
"""What the cells of a column hold.

text: text
number: a number
whole: a whole number
share: a share or a rate: 0.25 or 25 %
money: an amount of money
date: a date
yes_no: yes or no
choice: one of the column's choices, by its code or its label
list: several of them, or texts of your own, with semicolons between
"""

SEPARATOR = ";"
"""Between the items of a list in one cell."""

LABELS: dict[TypeForm, str] = {
    AbsentTerm: "term",
    Basis: "basis",
    BatteryChemistry: "battery_chemistry",
    CircuitRole: "circuit_role",
    DayCount: "day_count",
    EvidenceGrade: "evidence",
    ExchangeRates: "exchange_rates",
    Extent: "extent",
    LaborDepreciation: "labor_depreciation",
    PolicyKind: "policy_kind",
    PriceContent: "price_content",
    ProfitBasis: "profit_basis",
    RateEvidence: "evidence",
    Rounding: "rounding",
    SalesTaxBasis: "sales_tax_basis",
    SettlementStep: "order",
    SettlesAs: "settles_as",
    Situation: "situation",
    ThreePoint: "three_point",
    ValuesBy: "values_by",
}
"""The group of labels of each enumeration."""

OPEN_LABELS = {
    "category": "category",
    "peril": "peril",
    "fact": "fact",
    "term": "term",
    "schedule": "category",
    "whole_trailer_schedule": "category",
    "sheet": "workbook_sheet",
    "betterment_categories": "category",
    "excluded_perils": "peril",
}
"""The groups of labels whose words a field of free text suggests. Most schedules have the name of a category."""

OWN_SHEET = "has a sheet of its own"
_RECORDS = "is a list of records, which one cell cannot hold: the sheet of further entries has it"
LEFT_OUT: dict[type[Struct], dict[str, str]] = {
    GapRequest: {
        "build": OWN_SHEET,
        "policies": OWN_SHEET,
        "losses": OWN_SHEET,
        "answers": OWN_SHEET,
        "format": "is always that of this release",
        "coordination": _RECORDS,
        "sales_comparison": _RECORDS,
        "photo": "is a file",
        "evidence": _RECORDS,
    },
    Build: {
        "facts": OWN_SHEET,
        "components": OWN_SHEET,
        "labor": OWN_SHEET,
        "protections": OWN_SHEET,
        "circuits": OWN_SHEET,
        "use": "is a set of names with a value each: the sheet of further entries has it",
        "obsolescence": _RECORDS,
        "schedules": _RECORDS,
        "price_indexes": _RECORDS,
    },
    Policy: {
        "sublimits": _RECORDS,
        "peril_deductibles": _RECORDS,
        "allowances": _RECORDS,
        "covers_perils": "is a set of names with a value each: the sheet of further entries has it",
        "covers_situations": "is a set of names with a value each: the sheet of further entries has it",
    },
    Loss: {"damage": _RECORDS, "expenses": _RECORDS},
}
"""The fields that are no column, by record, each with its reason."""

RECORDS: dict[str, type[Struct]] = {
    "document": GapRequest,
    "build": Build,
    "component": Component,
    "labor": Labor,
    "policy": Policy,
    "loss": Loss,
    "answer": Answer,
    "protection": Protection,
    "circuit": Circuit,
    "fact": FactEntry,
    "further": FurtherEntry,
}
"""The records that have columns, by the name of their headers in the texts."""

NAMED_BY = {"component": "description", "labor": "task"}
"""The field from which a line without an ID has its ID, by its record."""

_UNITS = {
    "In years.": "years",
    "In meters.": "m",
    "In amperes.": "A",
    "In volts.": "V",
    "In square millimeters.": "mm²",
}
_MOST_MONEY = 10**9
EXAMPLES: dict[Kind, Decimal | date | bool] = {
    "number": Decimal(2),
    "whole": Decimal(2),
    "share": Decimal("0.25"),
    "money": Decimal("268.00"),
    "date": date(2026, 2, 14),
    "yes_no": True,
}


_FIELD_EXAMPLES = {
    "base.comparable_price": Decimal(4800),
    "base.condition": Decimal("0.9"),
    "condition": Decimal("0.9"),
    "indirect_costs.freight_lump_sum": Decimal(350),
    "indirect_costs.overhead_rate": Decimal("0.1"),
    "indirect_costs.profit_rate": Decimal("0.1"),
    "indirect_costs.sales_tax_rate": Decimal("0.09"),
    "market_value": Decimal(30000),
    "options.confidence": Decimal("0.9"),
}
"""Of fields for which the example of their kind would mislead."""


class Column(NamedTuple):
    """One field as a column."""

    record: str
    """The name of the record in RECORDS."""
    field: str
    """The name of the field; of one in a record of its own, with a point: owner.name."""
    kind: Kind
    is_required: bool
    can_be_unknown: bool
    """An empty cell says that it is not known. Of a list, the word none says that there is nothing."""
    description: str
    """What the field means, in English, as the API describes it."""
    unit: str = ""
    """Of a number: years, m, A."""
    choices: tuple[str, ...] = ()
    """The codes that a cell admits, of a choice or of a list of choices."""
    labels: str = ""
    """The group of labels for the choices, or for words that a text suggests."""
    is_part: bool = False
    """A share of at most 1, for which 80 can only be 80 %; a rate may be 80 times as well."""

    def header(self, localizer: Localizer) -> str:
        """Return the text at the head of the column in the locale."""
        own = texts().columns[self.record].get(self.field)
        return localizer.heading("term", self.field) if own is None else localizer.translate(own)

    def meaning(self, localizer: Localizer) -> str:
        """Return what the column means, in the locale, and how a share is written; empty where its header says it."""
        meaning = localizer.translate(texts().column_meanings.get(self.record, {}).get(self.field, ""))
        own = texts().workbook
        written = localizer.translate(own["part" if self.is_part else "rate"]) if self.kind == "share" else ""
        return " ".join(filter(None, (meaning, written)))

    def example(self, localizer: Localizer) -> object:
        """Return a value that may stand in a cell, in the words of the locale; null for a text without an example."""
        if self.choices:
            return localizer.label(self.labels, self.choices[0])
        if self.labels:
            return localizer.label(self.labels, next(iter(texts().labels[self.labels])))
        if self.field in _FIELD_EXAMPLES:
            return _FIELD_EXAMPLES[self.field]
        if self.kind in EXAMPLES:
            return EXAMPLES[self.kind]
        text = texts().column_examples.get(self.field)
        return None if text is None else localizer.translate(text)


@cache
def columns_of(record: str) -> tuple[Column, ...]:
    """Return the columns of a record by its name in RECORDS, in the order of its fields."""
    return tuple(_columns(record, RECORDS[record], ""))


def _columns(record: str, kind: type[Struct], prefix: str) -> Iterator[Column]:
    for field in record_fields(kind):
        if field.name in LEFT_OUT.get(kind, {}):
            continue
        inner = strip_annotations(without_null(field.type))
        if is_record(inner):
            yield from _columns(record, inner, f"{prefix}{field.name}.")
        else:
            yield _column(record, field, prefix)


def _column(record: str, field: FieldInfo, prefix: str) -> Column:
    """Return the column of a field. Raises TypeError for a type that no cell can hold."""
    choices, labels = _choices(field.type)
    return Column(
        record=record,
        field=prefix + field.name,
        kind=_kind(field.type),
        is_required=is_required(field) and not prefix and not (record in NAMED_BY and field.name == "id"),
        can_be_unknown=NoneType in union_members(field.type),
        description=next((meta.description for meta in reversed(metadata_of(field.type)) if meta.description), ""),
        unit=next((_UNITS[note] for note in _notes(field.type) if note in _UNITS), ""),
        choices=choices,
        labels=labels or OPEN_LABELS.get(field.name, ""),
        is_part=_is_part(field.type),
    )


def _is_part(kind: TypeForm) -> bool:
    bounds = bounds_of(kind)
    return bounds is not None and bounds.greatest == 1 and _kind(kind) == "share"


def _kind(kind: TypeForm) -> Kind:
    members = [strip_annotations(member) for member in union_members(kind)]
    if any(generic_origin(member) is tuple for member in members):
        return "text" if str in members else "list"
    first = strip_annotations(without_null(kind))
    if generic_origin(first) is Literal:
        return "choice"
    if first is Decimal:
        return _decimal_kind(kind)
    if len({*members} - {NoneType}) > 1 and str in members:
        return "text"
    return _SIMPLE_KINDS[first]


_SIMPLE_KINDS: dict[TypeForm, Kind] = {str: "text", bool: "yes_no", int: "whole", float: "number", date: "date"}


def _decimal_kind(kind: TypeForm) -> Kind:
    if any(note.startswith(("A share:", "A rate:")) for note in _notes(kind)):
        return "share"
    bounds = bounds_of(kind)
    return "money" if bounds is not None and bounds.greatest == _MOST_MONEY else "number"


def _notes(kind: TypeForm) -> Iterator[str]:
    """Yield the notes of a type and of the members of a union."""
    for member in (kind, *union_members(kind)):
        for meta in metadata_of(member):
            note = (meta.extra_json_schema or {}).get(NOTE)
            if note is not None:
                yield note


def _choices(kind: TypeForm) -> tuple[tuple[str, ...], str]:
    """Return the codes of an enumeration, or of the items of a list, and the group of their labels."""
    inner = strip_annotations(without_null(kind))
    item = strip_annotations(get_args(inner)[0]) if generic_origin(inner) is tuple else inner
    if generic_origin(item) is not Literal:
        return (), ""
    return get_args(item), next(group for enumeration, group in LABELS.items() if enumeration == item)
