"""A table of receipts or hours, read for a build: what it was taken for, what it became, what is to be asked."""

from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct, field

from hitchworth.model.entry import Component, EvidenceGrade, Labor
from hitchworth.model.note import Note
from hitchworth.model.strings import CurrencyCode, Identifier, ShortText

ImportKind: TypeAlias = Literal["components", "labor"]
"""What the rows of a table are.

components: purchases, one or more rows for each receipt
labor: hours of work
"""

DateOrder: TypeAlias = Literal["year-first", "day-first", "month-first"]
"""The order of the parts of a date in digits.

year-first: 2026-03-04
day-first: 04/03/2026
month-first: 03/04/2026
"""

DecimalMark: TypeAlias = Literal["point", "comma"]
"""What separates the whole from the fraction of a number.

point: 1,234.56
comma: 1.234,56
"""

TaxInAmount: TypeAlias = Literal["included", "added"]
"""Whether the amount of a row includes the tax and freight that stand beside it.

included: the amount is what was paid in all
added: tax and freight come on top of it
"""

Difference: TypeAlias = Literal["tax", "freight"]
"""What a total is more than the quantity times the price, where nothing beside it says so.

tax: the sales tax of the row
freight: the freight of the row
"""

AmountSign: TypeAlias = Literal["paid-positive", "paid-negative"]
"""The sign of what was paid.

paid-positive: purchases are above zero, refunds below
paid-negative: purchases are below zero, as on a bank statement, refunds above
"""

Encoding: TypeAlias = Literal["utf-8", "utf-16", "cp1252", "cp1250", "iso-8859-15", "mac-roman", "cp850"]
"""How letters are written as bytes.

utf-8: of most programs today, with a byte order mark or without
utf-16: Unicode text of some spreadsheets
cp1252: Windows in Western Europe and America
cp1250: Windows in Central Europe
iso-8859-15: older text of Western Europe
mac-roman: older text of Macs
cp850: text of DOS
"""

Delimiter: TypeAlias = Literal["comma", "semicolon", "tab", "bar"]
"""What separates the cells of delimited text.

comma: ,
semicolon: ;
tab: a tab
bar: |
"""

Confidence: TypeAlias = Literal["high", "medium", "low"]
"""How sure a guess is.

high: by words that mean little else
medium: by a word, or by what stands in a column
low: other readings are as good
"""

MatchedBy: TypeAlias = Literal["declared", "header", "values", "none"]
"""How the field of a column was found.

declared: the caller named it
header: by the words of its header
values: by what stands in it
none: it was not; the column is not read
"""

RowOutcome: TypeAlias = Literal["purchase", "refund", "work", "split", "left_out"]
"""What became of a row.

purchase: a component
refund: a component that takes one back
work: a labor entry
split: tax, freight or a discount, split over the lines of its receipt
left_out: nothing; `reason` says why
"""

LeftOutReason: TypeAlias = Literal["total", "header", "no_amount", "declared"]
"""Why nothing became of a row.

total: it is a total of other rows
header: it repeats the headers
no_amount: it has no amount or hours, as a heading between rows
declared: the caller left it out
"""


class ImportSettings(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How a table is read. In a request, null is to be recognized; in an answer it is what was recognized."""

    kind: Annotated[ImportKind | None, Meta(description="What the rows are. Null: by the columns.")] = None
    encoding: Annotated[
        Encoding | None,
        Meta(
            description="Encoding of delimited text. Null: by a byte order mark, else UTF-8 where it fits, else "
            "Windows-1252, and a note says so."
        ),
    ] = None
    delimiter: Annotated[Delimiter | None, Meta(description="What separates the cells. Null: what fits most rows.")] = (
        None
    )
    sheet: Annotated[Identifier | None, Meta(description="Name of the sheet. Null: the only one that fits.")] = None
    header_row: Annotated[
        Annotated[int, Meta(ge=0, le=20_000)] | None,
        Meta(description="Row of the headers, counted from 1; 0: there is none. Null: found."),
    ] = None
    date_order: Annotated[
        DateOrder | None, Meta(description="Order of the parts of dates. Null: by the whole column, else asked.")
    ] = None
    decimal_mark: Annotated[
        DecimalMark | None, Meta(description="What begins the fraction of numbers. Null: by the columns, else asked.")
    ] = None
    tax_in_amount: Annotated[
        TaxInAmount | None,
        Meta(description="Whether amounts include the tax and freight beside them. Null: by the words, else asked."),
    ] = None
    difference: Annotated[
        Difference | None,
        Meta(description="What makes a total more than the quantity times the price. Null: nothing, else asked."),
    ] = None
    sign: Annotated[
        AmountSign | None, Meta(description="The sign of what was paid. Null: above zero, asked where most are below.")
    ] = None
    currency: Annotated[
        CurrencyCode | None,
        Meta(description="Currency of the amounts. Null: by their signs or codes, else that of the locale."),
    ] = None
    columns: Annotated[
        dict[ShortText, str],
        Meta(
            max_length=100,
            description="The field of a column, by its header or its letter; empty: the column is not read. Fields "
            "are those of a component or a labor entry, and amount, gross, price, credit, receipt_number, start, end; "
            "or the words of a header that name one of them: receipt.",
        ),
    ] = field(default_factory=dict)
    constants: Annotated[
        dict[Identifier, ShortText],
        Meta(max_length=40, description="The value of a field in every row where the table has none for it."),
    ] = field(default_factory=dict)
    categories: Annotated[
        dict[ShortText, Identifier],
        Meta(
            max_length=500,
            description="The category of descriptions with certain words, where the table states none: it counts "
            "before the proposals.",
        ),
    ] = field(default_factory=dict)
    fill_down: Annotated[
        tuple[Identifier, ...],
        Meta(max_length=10, description="Fields whose empty cells mean the same as the cell above: acquired_on."),
    ] = ()
    evidence_grade: Annotated[
        EvidenceGrade | None,
        Meta(description="What proves the costs. Null: a receipt for rows with a receipt's number, else not stated."),
    ] = None
    refunds: Annotated[
        dict[str, str],
        Meta(
            max_length=1000,
            description="What a row takes back, by row number: the row of the purchase, or the id of a component.",
        ),
    ] = field(default_factory=dict)
    freight: Annotated[
        tuple[int, ...],
        Meta(
            max_length=1000,
            description="Rows that are freight though their words do not say so, by number: they are split over the "
            "purchases of their receipt.",
        ),
    ] = ()
    leave_out: Annotated[tuple[int, ...], Meta(max_length=5000, description="Rows to leave out, by number.")] = ()
    words: Annotated[
        ShortText | None, Meta(description="Of a calendar: only events with these words. Null: all of them.")
    ] = None


class ImportedColumn(Struct, frozen=True, kw_only=True):
    """A column of the table, and what it was taken for."""

    column: Annotated[str, Meta(description="Its letter: A.")]
    header: Annotated[str, Meta(description="Its header; empty: it has none.")]
    field: Annotated[str | None, Meta(description="The field that it holds. Null: it is not read.")]
    matched_by: Annotated[MatchedBy, Meta(description="How that was found.")]
    confidence: Annotated[Confidence | None, Meta(description="How sure that is. Null: declared, or not read.")] = None
    example: Annotated[str, Meta(description="What stands in its first filled row.")] = ""


class ImportedRow(Struct, frozen=True, kw_only=True):
    """A row of the table, and what became of it."""

    row: Annotated[int, Meta(description="Its number, counted from 1 as in a spreadsheet.")]
    outcome: Annotated[RowOutcome, Meta(description="What became of it.")]
    id: Annotated[str | None, Meta(description="Id of the component or labor entry. Null: it became none.")] = None
    reason: Annotated[LeftOutReason | None, Meta(description="Why nothing became of it. Null: something did.")] = None
    shown: Annotated[str, Meta(description="What stands in it, cut short.")] = ""


class ImportGuess(Struct, frozen=True, kw_only=True):
    """A value that the table does not state."""

    row: Annotated[int, Meta(description="The row, counted from 1.")]
    id: Annotated[str, Meta(description="Id of the component.")]
    field: Annotated[str, Meta(description="The field that was guessed: category, refund_of, bought_used.")]
    value: Annotated[str, Meta(description="The guess.")]
    confidence: Annotated[
        Confidence | None, Meta(description="How sure it is. Null: nothing is known, and the value says so.")
    ]
    because: Annotated[str, Meta(description="The words that it rests on; empty: none.")] = ""
    stated: Annotated[str, Meta(description="What the table says instead, which is no value; empty: nothing.")] = ""


class ImportChoice(Struct, frozen=True, kw_only=True):
    """An answer to a question about a table, and what it would make of the rows that decide it."""

    value: Annotated[str, Meta(description="The answer, as the setting takes it.")]
    reading: Annotated[str, Meta(description="What the first row would then say.")] = ""


class ImportQuestion(Struct, frozen=True, kw_only=True):
    """What the table does not decide. Nothing is taken from it until this is answered."""

    code: Annotated[str, Meta(description="Stable name of the kind of question: date_order, decimal_mark, refund_of.")]
    setting: Annotated[str, Meta(description="The setting that answers it: date_order, columns, refunds.")]
    choices: Annotated[tuple[ImportChoice, ...], Meta(description="The answers that there are.")] = ()
    cells: Annotated[tuple[str, ...], Meta(description="The cells that it is about, by name; the first of many.")] = ()
    parameters: Annotated[dict[str, str], Meta(description="The values in the sentence, by name.")] = field(
        default_factory=dict
    )
    text: Annotated[str, Meta(description="The question, in the language of the request's locale.")] = ""


class ReceiptImport(Struct, frozen=True, kw_only=True):
    """What a table of receipts or hours becomes in a build.

    With questions there are no components and no labor: nothing is guessed that changes a figure.
    """

    locale: Annotated[str, Meta(description="The locale of the texts.")]
    settings: Annotated[
        ImportSettings, Meta(description="How it was read; sent again, it reads a table with the same headers alike.")
    ]
    columns: Annotated[tuple[ImportedColumn, ...], Meta(description="The columns, and what each was taken for.")]
    components: Annotated[tuple[Component, ...], Meta(description="The purchases and refunds, for build.components.")]
    labor: Annotated[tuple[Labor, ...], Meta(description="The hours, for build.labor.")]
    rows: Annotated[tuple[ImportedRow, ...], Meta(description="Every row, and what became of it.")]
    guesses: Annotated[tuple[ImportGuess, ...], Meta(description="What the table does not state, with its grounds.")]
    questions: Annotated[tuple[ImportQuestion, ...], Meta(description="What has to be answered first.")]
    notes: Annotated[tuple[Note, ...], Meta(description="What was recognized or assumed, to check.")]
