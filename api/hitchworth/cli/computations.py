"""The commands that read a document, compute and print a result: one table, a row for each command."""

from argparse import ArgumentParser, Namespace
from collections.abc import Callable, Sequence
from datetime import date
from functools import partial
from typing import Any

import msgspec
from msgspec import Struct
from rich.console import RenderableType

from hitchworth.cli import change_tables, protection_tables, quote_tables, tables, valuation_tables
from hitchworth.cli.options import add_date, add_document, add_format, add_locale, value_of
from hitchworth.cli.request_file import comparison_from_files, input_errors, request_from_file
from hitchworth.cli.terminal import show_json, show_result
from hitchworth.localization.localizer import Localizer, localizer_for
from hitchworth.model.numbers import Amount
from hitchworth.model.request import (
    ClassificationRequest,
    DocumentComparisonRequest,
    EstimateRequest,
    GapRequest,
    ProtectionRequest,
    QuoteRequest,
    SalesComparisonRequest,
    SettlementRequest,
    ValueCurveRequest,
)
from hitchworth.operations import appraisals, quotes
from hitchworth.operations.requests import currency_of
from hitchworth.operations.tables import csv_table


class Command(Struct, frozen=True):
    """A command: what it reads, what it computes, and how it prints the result."""

    name: str
    request_type: Any
    operation: Callable[[Any], Struct]
    layout: Callable[[Any, Localizer], RenderableType]
    """The result as tables for a terminal."""
    rows: Callable[[Any], Sequence[Struct]]
    """The part of the result that is a table, for CSV."""

    @property
    def compares(self) -> bool:
        """Whether it takes two files."""
        return self.request_type is DocumentComparisonRequest

    @property
    def has_date(self) -> bool:
        """Whether it has a valuation date."""
        return self.compares or "as_of" in self.request_type.__struct_fields__

    @property
    def has_dates(self) -> bool:
        """Whether it values the build on several dates, against a limit."""
        return self.request_type is ValueCurveRequest


COMMANDS = (
    Command(
        "estimate",
        EstimateRequest,
        appraisals.create_estimate,
        tables.estimate_report,
        lambda estimate: estimate.lines,
    ),
    Command(
        "classify",
        ClassificationRequest,
        appraisals.create_classification,
        tables.assessment_report,
        lambda assessment: assessment.built,
    ),
    Command(
        "settle",
        SettlementRequest,
        appraisals.create_settlements,
        tables.settlement_report,
        lambda settlements: settlements.settlements,
    ),
    Command(
        "gap",
        GapRequest,
        appraisals.create_gap_statement,
        tables.gap_report,
        lambda statement: statement.settlements,
    ),
    Command(
        "curve",
        ValueCurveRequest,
        appraisals.create_value_curve,
        valuation_tables.curve_report,
        lambda curve: curve.points,
    ),
    Command(
        "compare",
        DocumentComparisonRequest,
        appraisals.create_document_comparison,
        change_tables.comparison_report,
        lambda comparison: comparison.changes,
    ),
    Command(
        "opinion",
        SalesComparisonRequest,
        appraisals.create_sales_comparison,
        valuation_tables.sales_comparison_report,
        lambda comparison: comparison.sales_comparison.comparables,
    ),
    Command(
        "protect",
        ProtectionRequest,
        appraisals.create_protection_check,
        protection_tables.protection_report,
        lambda report: report.measures,
    ),
    Command(
        "quote",
        QuoteRequest,
        quotes.create_quote,
        quote_tables.quote_report,
        lambda quote: quote.lines,
    ),
)


_BY_NAME = {command.name: command for command in COMMANDS}


def add_options(parser: ArgumentParser) -> None:
    """Add the options of the command whose parser this is."""
    command = _BY_NAME[parser.prog.rpartition(" ")[2]]
    if command.compares:
        for name, which in (("before", "the first"), ("after", "the second")):
            parser.add_argument(
                name, metavar=name.upper(), help=f"{which} document, in JSON or a workbook; - for standard input"
            )
    else:
        add_document(parser)
    if command.has_dates:
        _add_dates_and_limit(parser)
    if command.has_date:
        add_date(parser)
    add_locale(parser)
    add_format(parser)
    parser.set_defaults(run=partial(run, command))


def _add_dates_and_limit(parser: ArgumentParser) -> None:
    parser.add_argument(
        "--on",
        type=value_of(date),
        action="append",
        metavar="DATE",
        help="a date to value it on; once for each, in order",
    )
    parser.add_argument("--limit", type=value_of(Amount), metavar="AMOUNT", help="the limit to compare with the values")


def run(command: Command, arguments: Namespace) -> None:
    """Run a command on its file and print the result in the chosen format."""
    request: Any
    if command.compares:
        request = comparison_from_files(arguments)
    else:
        request = request_from_file(command.request_type, arguments)
    with input_errors():
        result = command.operation(request)
    match arguments.format:
        case "json":
            show_json(msgspec.json.encode(result))
        case "csv":
            print(csv_table(command.rows(result)), end="")
        case _:
            show_result(command.layout(result, localizer_for(request.locale, currency_of(request))))
