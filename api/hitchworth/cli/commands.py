"""The commands that read a request and print a result: one table, a row for each command."""

from argparse import Namespace
from collections.abc import Callable, Sequence
from typing import Any

import msgspec
from msgspec import Struct
from rich.console import Console, RenderableType

from hitchworth.cli import attention_tables, change_tables, protection_tables, quote_tables, tables, valuation_tables
from hitchworth.cli.request_file import comparison_from_files, input_errors, request_from_file
from hitchworth.localization.localizer import Localizer, localizer_for
from hitchworth.model.attention import AttentionRequest
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
from hitchworth.operations.attention import create_attention
from hitchworth.operations.requests import currency_of
from hitchworth.operations.tables import csv_table


class Command(Struct, frozen=True):
    """A command: what it reads, what it computes, and how it prints the result."""

    name: str
    help: str
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
        "value every line of a build",
        EstimateRequest,
        appraisals.create_estimate,
        tables.estimate_report,
        lambda estimate: estimate.lines,
    ),
    Command(
        "classify",
        "compare the registered class with how the trailer is used",
        ClassificationRequest,
        appraisals.create_classification,
        tables.assessment_report,
        lambda assessment: assessment.built,
    ),
    Command(
        "settle",
        "settle losses under policies, step by step",
        SettlementRequest,
        appraisals.create_settlements,
        tables.settlement_report,
        lambda settlements: settlements.settlements,
    ),
    Command(
        "gap",
        "value the build, compare the class, settle each loss, and rank the questions",
        GapRequest,
        appraisals.create_gap_statement,
        tables.gap_report,
        lambda statement: statement.settlements,
    ),
    Command(
        "curve",
        "value a build on a series of dates and compare a limit with it",
        ValueCurveRequest,
        appraisals.create_value_curve,
        valuation_tables.curve_report,
        lambda curve: curve.points,
    ),
    Command(
        "compare",
        "compare two documents: what changed, in words, and what that changes of the values",
        DocumentComparisonRequest,
        appraisals.create_document_comparison,
        change_tables.comparison_report,
        lambda comparison: comparison.changes,
    ),
    Command(
        "sales",
        "adjust comparable sales to the build and weigh them with its cost",
        SalesComparisonRequest,
        appraisals.create_sales_comparison,
        valuation_tables.sales_comparison_report,
        lambda comparison: comparison.sales_comparison.comparables,
    ),
    Command(
        "protect",
        "check the protection measures and circuits of a build",
        ProtectionRequest,
        appraisals.create_protection_check,
        protection_tables.protection_report,
        lambda report: report.measures,
    ),
    Command(
        "attention",
        "list what needs attention: limits outgrown, gaps, old answers, quotes that expire",
        AttentionRequest,
        create_attention,
        attention_tables.attention_report,
        lambda found: found.items,
    ),
    Command(
        "quote",
        "quote a build as a workshop prices it",
        QuoteRequest,
        quotes.create_quote,
        quote_tables.quote_report,
        lambda quote: quote.lines,
    ),
)


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
            print(msgspec.json.format(msgspec.json.encode(result)).decode())
        case "csv":
            print(csv_table(command.rows(result)), end="")
        case _:
            Console().print(command.layout(result, localizer_for(request.locale, currency_of(request))))
