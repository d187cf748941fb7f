"""The tables of each result, the first as the default: the same over HTTP and on the command line."""

from collections.abc import Iterable, Iterator
from datetime import date
from decimal import Decimal

from msgspec import Struct

from hitchworth.model.access import AccessEntry
from hitchworth.model.attention import AttentionItem
from hitchworth.model.change_order import QuotedChange
from hitchworth.model.definition import DefinitionResult
from hitchworth.model.document_changes import DocumentChange
from hitchworth.model.documentation import DocumentedShare, RecordToFind
from hitchworth.model.estimate import CategoryTotal, EstimateLine
from hitchworth.model.estimate_comparison import EffectTotal, LineChange
from hitchworth.model.gap import Question
from hitchworth.model.kept import BuildEntry, Revision
from hitchworth.model.kept_quote import QuoteEntry, QuoteRevision
from hitchworth.model.numbers import RoundedAmount
from hitchworth.model.portfolio import PortfolioRow, RevaluationChange, RevaluedBuild
from hitchworth.model.progress_bill import BilledLine
from hitchworth.model.protection import MeasureResult
from hitchworth.model.quote import QuotedPayment, QuoteLine
from hitchworth.model.quote_variance import CategoryVariance, VarianceLine
from hitchworth.model.sales_comparison import ComparedSale
from hitchworth.model.serial_numbers import FoundNumber, RegisterEntry
from hitchworth.model.settlement import Cause, Settlement
from hitchworth.model.sheet_values import SheetRow
from hitchworth.model.value_curve import CurvePoint, LimitCrossing, ValueChange
from hitchworth.operations.tables import ResultTable


class GapByCause(Struct, frozen=True, kw_only=True):
    """What one policy does not pay of one loss, for one cause."""

    policy: str
    loss: str
    cause: Cause
    label: str
    amount: RoundedAmount


class SettlementStep(Struct, frozen=True, kw_only=True):
    """A step of the settlement of one loss under one policy."""

    policy: str
    loss: str
    step: int
    code: str
    label: str
    amount: RoundedAmount
    running: RoundedAmount


class RegisterRow(Struct, frozen=True, kw_only=True):
    """The trailer or a part of it in the register of serial numbers, with the files that show it by their names."""

    component: str | None
    description: str
    quantity: Decimal
    unit: str
    identification_number: str | None
    serial_number: str | None
    model_number: str | None
    number_location: str | None
    acquired_on: date | None
    supplier: str | None
    shown_by: tuple[str, ...]
    photos: tuple[str, ...]


def _gap_by_cause(settlements: Iterable[Settlement]) -> Iterator[GapByCause]:
    for each in settlements:
        for part in each.gap_breakdown:
            yield GapByCause(policy=each.policy, loss=each.loss, cause=part.cause, label=part.label, amount=part.amount)


def _steps(settlements: Iterable[Settlement]) -> Iterator[SettlementStep]:
    for each in settlements:
        for number, step in enumerate(each.steps, 1):
            yield SettlementStep(
                policy=each.policy,
                loss=each.loss,
                step=number,
                code=step.code,
                label=step.label,
                amount=step.amount,
                running=step.running,
            )


def _register_row(entry: RegisterEntry) -> RegisterRow:
    fields = {name: getattr(entry, name) for name in RegisterRow.__struct_fields__}
    files = {name: tuple(each.file_name or each.id for each in fields[name]) for name in ("shown_by", "photos")}
    return RegisterRow(**fields | files)


def portfolio_row(build: RevaluedBuild) -> PortfolioRow:
    """Return a revalued build as a row: of its limits, the first that does not cover the value."""
    limit = min(build.limits, key=lambda each: (each.state != "exceeded", each.since or date.min), default=None)
    fields = {name: getattr(build, name) for name in PortfolioRow.__struct_fields__ if not name.startswith("limit_")}
    return PortfolioRow(
        **fields,
        limit_policy=None if limit is None else limit.policy,
        limit_state=None if limit is None else limit.state,
        limit_since=None if limit is None else limit.since,
        limit_lacking=None if limit is None else limit.lacking,
    )


def _part(name: str, description: str, record: type[Struct]) -> ResultTable:
    """Return the table of a list that is a field of the result."""
    return ResultTable(name=name, description=description, record=record, rows=lambda result: getattr(result, name))


def items_of(record: type[Struct], description: str = "the list") -> tuple[ResultTable, ...]:
    """Return the one table of a list, or of a page of one."""
    return (_part("items", description, record),)


ESTIMATE = (
    _part("lines", "every component and labor entry, valued", EstimateLine),
    _part("categories", "the lines added up by category", CategoryTotal),
)
SETTLEMENTS = (
    _part("settlements", "what each policy pays for each loss", Settlement),
    ResultTable(
        name="gap_by_cause",
        description="what each policy does not pay of each loss, cause by cause",
        record=GapByCause,
        rows=lambda result: tuple(_gap_by_cause(result.settlements)),
    ),
    ResultTable(
        name="steps",
        description="every settlement step by step, to redo it by hand",
        record=SettlementStep,
        rows=lambda result: tuple(_steps(result.settlements)),
    ),
)


def _of_estimate(table: ResultTable) -> ResultTable:
    rows = table.rows
    return ResultTable(
        name=table.name,
        description=table.description,
        record=table.record,
        rows=lambda result: rows(result.estimate),
    )


GAP_STATEMENT = (
    *SETTLEMENTS,
    _part("questions", "the open questions with the money at stake", Question),
    *map(_of_estimate, ESTIMATE),
)
ASSESSMENT = (_part("built", "every definition that was tested", DefinitionResult),)
VALUE_CURVE = (
    _part("points", "the values on the dates given", CurvePoint),
    _part("changes", "the steps of the curve", ValueChange),
    _part("crossings", "the days on which the limit begins or ceases to cover the value", LimitCrossing),
)
ESTIMATE_COMPARISON = (
    _part("lines", "the differences line by line", LineChange),
    _part("effects", "the differences effect by effect", EffectTotal),
)
DOCUMENT_COMPARISON = (_part("changes", "what was added, removed and changed", DocumentChange),)
SALES_COMPARISON = (
    ResultTable(
        name="comparables",
        description="the comparable sales, adjusted",
        record=ComparedSale,
        rows=lambda result: result.sales_comparison.comparables,
    ),
)
DOCUMENTATION = (
    _part("records", "the records most worth finding first", RecordToFind),
    _part("shares", "what of the replacement cost is documented", DocumentedShare),
)
SERIAL_NUMBERS = (
    ResultTable(
        name="items",
        description="the trailer and each part with a number",
        record=RegisterRow,
        rows=lambda register: tuple(map(_register_row, register.items)),
    ),
)
FOUND_NUMBERS = items_of(FoundNumber, "the numbers that are like it")
PROTECTION = (_part("measures", "the measures of the build", MeasureResult),)
QUOTE = (
    _part("lines", "the lines of the price", QuoteLine),
    _part("payments", "the payments, which add up to the total", QuotedPayment),
)
CONTRACT = (
    _part("changes", "the change orders", QuotedChange),
    _part("payments", "the payments, which add up to the contract's total", QuotedPayment),
)
PROGRESS_BILL = (_part("lines", "every line of the contract", BilledLine),)
QUOTE_VARIANCE = (
    _part("lines", "the lines that cost something else", VarianceLine),
    _part("categories", "the variance by category", CategoryVariance),
)
ATTENTION = items_of(AttentionItem, "what needs attention")
PORTFOLIO = (
    ResultTable(
        name="builds",
        description="every build with its values, its greatest gap, and the first limit that does not cover it",
        record=PortfolioRow,
        rows=lambda result: tuple(map(portfolio_row, result.builds)),
    ),
    _part("changed", "the builds whose figures or documents are not what they were", RevaluationChange),
)
SHEET_VALUES = (_part("rows", "what to write into which row of the spreadsheet", SheetRow),)
KEPT_QUOTES = items_of(QuoteEntry, "the quotes of this page")
QUOTE_REVISIONS = items_of(QuoteRevision, "the revisions of this page")
BUILDS = items_of(BuildEntry, "the builds of this page")
REVISIONS = items_of(Revision, "the revisions of this page")
ACCESS_LOG = items_of(AccessEntry, "the entries of this page")
