"""The commands that read a document, compute and print a result: one table, a row for each command."""

import sys
from argparse import ArgumentParser, Namespace
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import date
from functools import partial
from typing import Any, NamedTuple, get_type_hints

import msgspec
from msgspec import Struct
from msgspec.structs import replace
from rich.console import RenderableType

from hitchworth.cli import (
    attention_tables,
    change_tables,
    check_tables,
    documentation_tables,
    protection_tables,
    quote_tables,
    tables,
    valuation_tables,
)
from hitchworth.cli.exit_codes import InputError
from hitchworth.cli.options import (
    DOCUMENT,
    add_date,
    add_documents,
    add_format,
    add_locale,
    add_quiet,
    add_server,
    value_of,
)
from hitchworth.cli.request_file import comparison_from_files, documents_in, input_errors, request_from_file
from hitchworth.cli.server_client import computed, connected
from hitchworth.cli.terminal import show_csv, show_json, show_result, waiting
from hitchworth.localization.localizer import Localizer, localizer_for
from hitchworth.model.attention import AttentionRequest
from hitchworth.model.numbers import Amount
from hitchworth.model.request import (
    ClassificationRequest,
    DocumentComparisonRequest,
    EstimateRequest,
    GapRequest,
    ProgressBillRequest,
    ProtectionRequest,
    QuoteRequest,
    SalesComparisonRequest,
    SettlementRequest,
    ValueCurveRequest,
)
from hitchworth.operations import appraisals, quotes, result_tables
from hitchworth.operations.attention import create_attention
from hitchworth.operations.requests import currency_of
from hitchworth.operations.tables import ResultTable, filled


class Command(Struct, frozen=True):
    """A command: what it reads, what it computes, and how it prints the result."""

    name: str
    request_type: Any
    operation: Callable[[Any], Struct]
    layout: Callable[[Any, Localizer], RenderableType]
    """The result as tables for a terminal."""
    tables: Sequence[ResultTable]
    """The tables in the result, for CSV; the first is the default."""
    part: Callable[[Any], Struct] = lambda answer: answer
    """What of the operation's answer is the result of the command."""

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
        "check",
        GapRequest,
        appraisals.create_gap_statement,
        check_tables.check_report,
        check_tables.TABLES,
        check_tables.open_points,
    ),
    Command(
        "estimate",
        EstimateRequest,
        appraisals.create_estimate,
        tables.estimate_report,
        result_tables.ESTIMATE,
    ),
    Command(
        "classify",
        ClassificationRequest,
        appraisals.create_classification,
        tables.assessment_report,
        result_tables.ASSESSMENT,
    ),
    Command(
        "settle",
        SettlementRequest,
        appraisals.create_settlements,
        tables.settlement_report,
        result_tables.SETTLEMENTS,
    ),
    Command(
        "gap",
        GapRequest,
        appraisals.create_gap_statement,
        tables.gap_report,
        result_tables.GAP_STATEMENT,
    ),
    Command(
        "curve",
        ValueCurveRequest,
        appraisals.create_value_curve,
        valuation_tables.curve_report,
        result_tables.VALUE_CURVE,
    ),
    Command(
        "compare",
        DocumentComparisonRequest,
        appraisals.create_document_comparison,
        change_tables.comparison_report,
        result_tables.DOCUMENT_COMPARISON,
    ),
    Command(
        "opinion",
        SalesComparisonRequest,
        appraisals.create_sales_comparison,
        valuation_tables.sales_comparison_report,
        result_tables.SALES_COMPARISON,
    ),
    Command(
        "protect",
        ProtectionRequest,
        appraisals.create_protection_check,
        protection_tables.protection_report,
        result_tables.PROTECTION,
    ),
    Command(
        "documentation",
        EstimateRequest,
        appraisals.create_documentation_score,
        documentation_tables.documentation_report,
        result_tables.DOCUMENTATION,
    ),
    Command(
        "attention",
        AttentionRequest,
        create_attention,
        attention_tables.attention_report,
        result_tables.ATTENTION,
    ),
    Command(
        "quote",
        QuoteRequest,
        quotes.create_quote,
        quote_tables.quote_report,
        result_tables.QUOTE,
    ),
    Command(
        "bill",
        ProgressBillRequest,
        quotes.create_progress_bill,
        quote_tables.bill_report,
        result_tables.PROGRESS_BILL,
    ),
)


_BY_NAME = {command.name: command for command in COMMANDS}


def add_options(parser: ArgumentParser) -> None:
    """Add the options of the command whose parser this is."""
    command = _BY_NAME[parser.prog.rpartition(" ")[2]]
    if command.compares:
        for name, which in (("before", "the first"), ("after", "the second")):
            parser.add_argument(name, metavar=name.upper(), help=f"{which} document: {DOCUMENT.partition(': ')[2]}")
    else:
        add_documents(parser)
    if command.has_dates:
        _add_dates_and_limit(parser)
    if command.has_date:
        add_date(parser)
    add_locale(parser)
    add_format(parser)
    names = [table.name for table in command.tables]
    parser.add_argument("--table", choices=names, help=f"which table is printed as CSV; default: {names[0]}")
    add_server(parser)
    add_quiet(parser)
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
    """Run a command on its files and print the results in the chosen format.

    Of several files each is computed, whatever is wrong with another.
    """
    files = (arguments.after,) if command.compares else documents_in(arguments.files)
    with _operation(command, arguments) as compute:
        outcomes = [
            _outcome(command, compute, file, arguments, f"{file} ({number} of {len(files)})" if files[1:] else file)
            for number, file in enumerate(files, 1)
        ]
    if len(outcomes) == 1 and outcomes[0].error is not None:
        raise outcomes[0].error
    _PRINT[arguments.format](command, outcomes, arguments.table)
    if any(outcome.error for outcome in outcomes):
        raise InputError("", is_told=True)


class _Outcome(NamedTuple):
    """What a command computed of a file, or what is wrong with it."""

    file: str
    request: Any = None
    result: Any = None
    error: InputError | None = None


@contextmanager
def _operation(command: Command, arguments: Namespace) -> Iterator[Callable[[Any], Struct]]:
    """Yield what carries out the operation of a command: its function, or the server that --server names."""
    if arguments.server is None:
        yield command.operation
        return
    kind = get_type_hints(command.operation)["return"]
    with connected(arguments.server, arguments.key) as client:
        yield lambda request: computed(client, command.operation.__name__, request, kind)


def _outcome(
    command: Command, compute: Callable[[Any], Struct], file: str, arguments: Namespace, doing: str
) -> _Outcome:
    try:
        with waiting(f"{command.name}: {doing}", arguments.quiet):
            request: Any
            if command.compares:
                request = comparison_from_files(arguments)
            else:
                request = request_from_file(command.request_type, arguments, file)
            with input_errors(file):
                return _Outcome(file, request, command.part(compute(request)))
    except InputError as error:
        return _Outcome(file, error=error)


def _print_tables(command: Command, outcomes: Sequence[_Outcome], _: str | None) -> None:
    for outcome in outcomes:
        if outcomes[1:]:
            print(f"{outcome.file}:\n", file=sys.stderr if outcome.error else sys.stdout)
        if outcome.error:
            print(f"{outcome.error}\n", file=sys.stderr)
        else:
            localizer = localizer_for(outcome.request.locale, currency_of(outcome.request))
            show_result(command.layout(outcome.result, localizer))


def _print_json(_: Command, outcomes: Sequence[_Outcome], __: str | None) -> None:
    if len(outcomes) == 1:
        return show_json(msgspec.json.encode(outcomes[0].result))
    return show_json(
        msgspec.json.encode(
            [
                {"file": each.file} | (each.error.as_record() if each.error else {"result": each.result})
                for each in outcomes
            ]
        )
    )


def _print_csv(command: Command, outcomes: Sequence[_Outcome], name: str | None) -> None:
    """Print one table; of several files with the name of the file first in every line, as the first one's locale."""
    for outcome in outcomes:
        if outcome.error:
            print(f"{outcome.file}:\n{outcome.error}", file=sys.stderr)
    table = next(each for each in command.tables if name in (None, each.name))
    found = [outcome for outcome in outcomes if not outcome.error]
    if not found:
        return
    parts = [filled(table, outcome.result, outcome.request.locale) for outcome in found]
    files = [outcome.file for outcome, part in zip(found, parts, strict=True) for _ in part.rows]
    rows = tuple(row for part in parts for row in part.rows)
    show_csv(replace(parts[0], rows=rows), first=("file", files) if len(outcomes) > 1 else None)


_PRINT: dict[str, Callable[[Command, Sequence[_Outcome], str | None], None]] = {
    "table": _print_tables,
    "json": _print_json,
    "csv": _print_csv,
}
