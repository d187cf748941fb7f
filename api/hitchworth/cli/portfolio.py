"""`hitchworth portfolio`: revalue many builds, in several processes or on a cluster; and compare two runs."""

import os
from argparse import ArgumentParser, Namespace
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import get_args

import msgspec
from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn
from rich.table import Table

from hitchworth.cli import settings
from hitchworth.cli.command_parser import add_actions, add_command
from hitchworth.cli.database import database_of, store_errors
from hitchworth.cli.exit_codes import InputError, UsageError, usage_errors
from hitchworth.cli.layout import word_table
from hitchworth.cli.options import add_force, add_processes, add_workspace, value_of
from hitchworth.cli.terminal import show_json, show_result
from hitchworth.cli.written_files import require_leave
from hitchworth.model.numbers import Days
from hitchworth.model.portfolio import PortfolioChanges, PortfolioSummary, RevaluationTerms
from hitchworth.model.value_curve import ValueBasis
from hitchworth.operations import portfolios
from hitchworth.operations.clock import today
from hitchworth.operations.portfolio_queue import JobFailedError, on_queue, serve_queue
from hitchworth.operations.portfolio_tables import FORMATS, write_table
from hitchworth.operations.portfolios import FileSource, KeptSource, PortfolioSource
from hitchworth.portfolio import runs
from hitchworth.portfolio.places import PlaceError
from hitchworth.portfolio.runners import Runner, in_pool, in_process, on_dask

_PLACE = "a folder, or s3://BUCKET/PREFIX with the AWS_ variables"


def add_options(parser: ArgumentParser) -> None:
    """Add the actions of `hitchworth portfolio` with their options."""
    actions = add_actions(parser)
    revalued = add_command(actions, "revalue", "revalue every build, into a folder in which it can be taken up again")
    revalued.add_argument(
        "source",
        nargs="?",
        metavar="SOURCE",
        help=f"documents, in .ndjson, .jsonl or .parquet files: {_PLACE}; default: the kept builds of --database",
    )
    settings.add_options(revalued, "database")
    add_workspace(revalued)
    revalued.add_argument("--into", required=True, metavar="RUN", help=f"where the run is kept: {_PLACE}")
    revalued.add_argument(
        "--as-of", type=value_of(date), metavar="DATE", help="valuation date; default: that of the run, or today"
    )
    revalued.add_argument(
        "--horizon-days",
        type=value_of(Days),
        metavar="N",
        help="look so many days ahead for limits that are outgrown; default: 365",
    )
    revalued.add_argument(
        "--basis", choices=get_args(ValueBasis), help="what a limit has to cover; default: what its policy pays by"
    )
    revalued.add_argument("--since", metavar="RUN", help="an earlier run to compare with")
    how = revalued.add_mutually_exclusive_group()
    add_processes(how, "one for each processor core")
    how.add_argument(
        "--dask", nargs="?", const="", metavar="ADDRESS", help="the scheduler of a Dask cluster; without one, one here"
    )
    how.add_argument(
        "--queue", metavar="ADDRESS", help="a queue of jobs, done by `portfolio work`: postgresql://... or redis://HOST"
    )
    revalued.add_argument("--format", choices=("table", "json"), default="table", help="how the sums are printed")
    _add_table(revalued)
    revalued.set_defaults(run=revalue)
    compared = add_command(actions, "compare", "list what changed between two runs that are finished")
    compared.add_argument("before", metavar="BEFORE", help="the earlier run")
    compared.add_argument("after", metavar="AFTER", help="the later run")
    compared.add_argument("-o", "--output", type=Path, metavar="OUT", help="every changed build, as .ndjson")
    add_force(compared)
    compared.set_defaults(run=compare)

    worker = add_command(actions, "work", "do the jobs of a queue, one after another, until interrupted")
    worker.add_argument(
        "--queue", required=True, metavar="ADDRESS", help="postgresql://USER@HOST/NAME, or redis://HOST"
    )
    settings.add_options(worker, "database")
    worker.add_argument("--until-empty", action="store_true", help="stop when no job is left")
    worker.set_defaults(run=work)


def _add_table(parser: ArgumentParser) -> None:
    parser.add_argument(
        "-o",
        "--output",
        type=Path,
        metavar="OUT",
        help=f"every build as a table, in {', '.join(FORMATS)}",
    )
    add_force(parser)


def revalue(arguments: Namespace) -> None:
    """Revalue a portfolio, print what it comes to, and write its table. Raises InputError where builds have none."""
    if arguments.output is not None:
        if arguments.output.suffix.lower() not in FORMATS:
            raise UsageError(f"{arguments.output} ends in none of {', '.join(FORMATS)}")
        require_leave(arguments.output, arguments.source or "", arguments)
    with _portfolio_errors():
        run = _run(arguments)
        summary = portfolios.summarize_run(run)
        changed = None
        if arguments.since is not None:
            changed, _ = portfolios.compare_runs(runs.opened(arguments.since), run)
        if arguments.output is not None:
            with usage_errors():
                write_table(run.builds(), arguments.output)
    if arguments.format == "json":
        show_json(msgspec.json.encode({"summary": summary, "changes": changed}))
    else:
        show_result(_sums(summary))
        if changed is not None:
            show_result(_change_sums(changed))
    if summary.unreadable:
        raise InputError(f"{summary.unreadable:,} of {summary.builds:,} builds have no figures; `problem` says why")
    if not summary.builds:
        raise InputError("there is no document in it")


def compare(arguments: Namespace) -> None:
    """Print what changed between two runs, and write the changed builds."""
    if arguments.output is not None:
        require_leave(arguments.output, arguments.after, arguments)
    with _portfolio_errors(), usage_errors():
        changed, builds = portfolios.compare_runs(runs.opened(arguments.before), runs.opened(arguments.after))
        if arguments.output is not None:
            with arguments.output.open("wb") as file:
                file.writelines(msgspec.json.encode(each) + b"\n" for each in builds)
    show_result(_change_sums(changed))


def work(arguments: Namespace) -> None:
    """Do the jobs of a queue."""
    database = settings.settings_of(arguments).database
    with _portfolio_errors():
        serve_queue(arguments.queue, database, until_empty=arguments.until_empty)


def _run(arguments: Namespace) -> runs.Run:
    with _progress() as bar:
        task = bar.add_task("Revaluing", total=None)

        def tell(progress: portfolios.Progress) -> None:
            bar.update(task, completed=progress.pieces_done, total=progress.pieces)

        return portfolios.run_portfolio(_source(arguments), _terms(arguments), arguments.into, _runner(arguments), tell)


def _source(arguments: Namespace) -> PortfolioSource:
    if arguments.source is not None:
        return FileSource(where=arguments.source)
    return KeptSource(database=database_of(arguments), workspace=arguments.workspace)


def _terms(arguments: Namespace) -> RevaluationTerms:
    """Return the terms of the run that is there where nobody says otherwise, so that the same command takes it up."""
    kept = runs.terms_of(arguments.into) or RevaluationTerms(as_of=today())
    given = {name: getattr(arguments, name) for name in RevaluationTerms.__struct_fields__}
    return msgspec.structs.replace(kept, **{name: value for name, value in given.items() if value is not None})


def _runner(arguments: Namespace) -> Runner:
    if arguments.dask is not None:
        return on_dask(arguments.dask or None, os.cpu_count())
    if arguments.queue is not None:
        return on_queue(arguments.queue)
    processes = arguments.processes or os.cpu_count() or 1
    return in_process if processes == 1 else in_pool(processes)


@contextmanager
def _portfolio_errors() -> Iterator[None]:
    """Turn what keeps a run from being made or read into a UsageError."""
    try:
        with store_errors():
            yield
    except (PlaceError, runs.OtherPlanError, JobFailedError) as error:
        raise UsageError(str(error)) from None
    except ModuleNotFoundError as error:
        extra = {"polars": "parquet", "distributed": "dask", "saq": "jobs"}.get(error.name or "")
        if extra is None:
            raise
        raise UsageError(f"this needs a package that is not installed: install hitchworth[{extra}]") from None


def _progress() -> Progress:
    console = Console(stderr=True)
    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    return Progress(*columns, console=console, disable=not console.is_terminal, transient=True)


def _sums(summary: PortfolioSummary) -> Table:
    table = word_table(
        "currency", "builds", "replacement cost", "actual cash value", "gap", "median", "90 %", "exceeded", "outgrown"
    )
    for each in summary.sums:
        gaps = {found.percent: f"{found.gap:,}" for found in each.gap_percentiles}
        table.add_row(
            each.currency,
            f"{each.builds:,}",
            f"{each.replacement_cost:,}",
            f"{each.actual_cash_value:,}",
            f"{each.gap:,}",
            gaps.get(50, "–"),
            gaps.get(90, "–"),
            f"{each.limits_exceeded:,}",
            f"{each.limits_outgrown:,}",
        )
    return table


def _change_sums(changed: PortfolioChanges) -> Table:
    table = word_table("currency", "builds", "replacement cost", "actual cash value", "gap", "changed")
    for each in changed.sums:
        amounts = (f"{amount:+,}" for amount in (each.replacement_cost, each.actual_cash_value, each.gap))
        table.add_row(each.currency, f"{each.builds:,}", *amounts, each.kind.replace("_", " "))
    return table
