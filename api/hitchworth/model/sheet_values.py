"""The values of the rows of a spreadsheet, as its macro writes them beside the rows."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.numbers import RoundedAmount

SheetRowKind: TypeAlias = Literal["heading", "line", "left_out", "fault", "total"]
"""What is to be written into a row.

heading: the headings of the columns with the values
line: the values of the entry in the row
left_out: why the row has no values
fault: what is wrong in the row
total: the sums of the sheet, below its rows
"""


class SheetRow(Struct, frozen=True, kw_only=True):
    """What is to be written into one row of a sheet."""

    sheet: Annotated[str, Meta(description="Name of the sheet.")]
    row: Annotated[int, Meta(description="Number of the row, counted from 1.")]
    kind: Annotated[SheetRowKind, Meta(description="What is to be written.")]
    replacement_cost: Annotated[RoundedAmount | None, Meta(description="Replacement cost new. Null: none here.")] = None
    percent_good: Annotated[Decimal | None, Meta(description="Percent good, as a share. Null: none here.")] = None
    actual_cash_value: Annotated[RoundedAmount | None, Meta(description="Actual cash value. Null: none here.")] = None
    remark: Annotated[str, Meta(description="A sentence for the row: a fault, a guess, a note. Empty: none.")] = ""


class SheetValues(Struct, frozen=True, kw_only=True):
    """The values of the rows of a spreadsheet."""

    locale: Annotated[str, Meta(description="The locale of the texts.")]
    as_of: Annotated[date, Meta(description="Valuation date.")]
    currency: Annotated[str | None, Meta(description="ISO 4217 code of the amounts. Null: nothing was valued.")]
    fault_count: Annotated[int, Meta(description="Number of wrong cells; with any, no row has values.")]
    rows: Annotated[tuple[SheetRow, ...], Meta(description="What is to be written, by sheet and row.")]
