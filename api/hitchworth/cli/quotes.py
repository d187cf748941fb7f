"""`hitchworth quotes`: kept quotes, listed, shown, added and accepted, with change orders and what became of them."""

from argparse import ArgumentParser, Namespace
from datetime import date

import msgspec

from hitchworth.cli.builds import add_kept_action, show_records, show_revisions
from hitchworth.cli.command_parser import add_actions
from hitchworth.cli.exit_codes import UsageError
from hitchworth.cli.layout import word_table
from hitchworth.cli.options import add_document, add_format, value_of
from hitchworth.cli.quote_sources import quote_source
from hitchworth.cli.request_file import document_content, input_errors, malformed, request_body
from hitchworth.cli.terminal import show_json, show_result
from hitchworth.localization.localizer import Localizer, localizer_for
from hitchworth.model.change_order import ChangeOrder
from hitchworth.model.kept import RevisionNumber
from hitchworth.model.kept_quote import QuoteAcceptance, QuoteEntry, QuoteRevision
from hitchworth.model.quote_document import QuoteDocument
from hitchworth.model.quote_variance import QuoteVariance
from hitchworth.model.strings import ShortText
from hitchworth.operations import result_tables
from hitchworth.operations.builds import QuoteFilter
from hitchworth.operations.documents import canonical, read_document
from hitchworth.operations.tables import FilledTable, filled
from hitchworth.validation import read


def add_options(parser: ArgumentParser) -> None:
    """Add the actions of `hitchworth quotes` with their options."""
    actions = add_actions(parser)
    listed = add_kept_action(actions, list_quotes, "list the kept quotes, the last changed first")
    listed.add_argument("--name", type=value_of(ShortText), metavar="TEXT", help="only those whose name contains it")
    listed.add_argument("--trashed", action="store_true", help="the quotes in the trash instead")
    add_format(listed)
    shown = add_kept_action(actions, show, "print the document of a quote", "quote")
    shown.add_argument(
        "--revision", type=value_of(RevisionNumber), metavar="N", help="as this revision had it; default: as it is now"
    )
    add_document(add_kept_action(actions, add, "keep the quote of a file", change=True))
    replacing = add_kept_action(actions, replace, "replace the document of a quote", "quote", change=True)
    add_document(replacing)
    replacing.add_argument(
        "--revision", type=value_of(RevisionNumber), metavar="N", help="only if the quote is at this revision"
    )
    add_format(add_kept_action(actions, history, "list the revisions of a quote, the newest first", "quote"))
    _add_acceptance(add_kept_action(actions, accept, "accept a quote: it becomes a kept build", "quote", change=True))
    changing = add_kept_action(actions, change_order, "add a change order to an accepted quote", "quote", change=True)
    changing.add_argument("file", metavar="FILE", help="the change order, in JSON or YAML; - for standard input")
    accepting = add_kept_action(
        actions, accept_change, "accept a change order", "quote", name="accept-change", change=True
    )
    accepting.add_argument("number", metavar="NUMBER", help="the number of the change order")
    _add_acceptance(accepting)
    add_format(add_kept_action(actions, contract, "print the contract: the quote and its change orders", "quote"))
    add_format(add_kept_action(actions, variance, "compare a quote with the build that it became", "quote"))


def _add_acceptance(action: ArgumentParser) -> None:
    action.add_argument("--by", type=value_of(ShortText), required=True, metavar="NAME", help="who accepts it")
    action.add_argument("--on", type=value_of(date), metavar="DATE", help="the day; default: today")


def list_quotes(arguments: Namespace) -> None:
    """Print the kept quotes, the last changed first."""
    with quote_source(arguments) as source, input_errors():
        entries = tuple(source.list(QuoteFilter(name=arguments.name, trashed=arguments.trashed)))
    rows = (
        (each.id, str(each.revision), each.number or "", each.name, _day(each.valid_until), _day(each.accepted_on))
        for each in entries
    )
    show_records(
        arguments.format,
        FilledTable(record=QuoteEntry, rows=entries),
        ("id", "revision", "number", "name", "valid until", "accepted"),
        rows,
    )


def show(arguments: Namespace) -> None:
    """Print the document of a quote, as a file that `hitchworth quote` takes."""
    with quote_source(arguments) as source, input_errors():
        kept = source.get(arguments.quote, arguments.revision)
    document = QuoteDocument(**{name: getattr(kept, name) for name in QuoteDocument.__struct_fields__})
    show_json(canonical(document))


def add(arguments: Namespace) -> None:
    """Keep the quote of a file."""
    document = _document(arguments.file)
    with quote_source(arguments, make=True) as source, input_errors():
        kept = source.create(document, arguments.message)
    print(f"Kept as {kept.id}, revision {kept.revision}, digest {kept.digest}.")


def replace(arguments: Namespace) -> None:
    """Replace the document of a quote by that of a file."""
    document = _document(arguments.file)
    with quote_source(arguments) as source, input_errors():
        seen = source.get(arguments.quote)
        if arguments.revision not in (None, seen.revision):
            raise UsageError(f"the quote is at revision {seen.revision}, not {arguments.revision}; nothing was kept")
        kept = source.replace(seen, document, arguments.message)
    if kept.revision == seen.revision:
        print(f"The quote is the same already, at revision {kept.revision}.")
    else:
        print(f"Kept as revision {kept.revision}, digest {kept.digest}.")


def history(arguments: Namespace) -> None:
    """Print the revisions of a quote, the newest first."""
    with quote_source(arguments) as source, input_errors():
        found = tuple(source.history(arguments.quote))
    show_revisions(arguments.format, QuoteRevision, found)


def accept(arguments: Namespace) -> None:
    """Accept a quote."""
    with quote_source(arguments) as source, input_errors():
        build = source.accept(arguments.quote, _acceptance(arguments), arguments.message)
    print(f"Accepted. It is the build {build.id} now: hitchworth builds show {build.id}")


def change_order(arguments: Namespace) -> None:
    """Add a change order to an accepted quote."""
    told = document_content(arguments.file)
    with input_errors(arguments.file, told.lines), malformed(arguments.file):
        order = read(told.content, ChangeOrder)
    with quote_source(arguments) as source, input_errors():
        revision = source.change(arguments.quote, order, arguments.message)
    print(f"Kept as revision {revision.revision}. It counts once it is accepted: hitchworth quotes accept-change")


def accept_change(arguments: Namespace) -> None:
    """Accept a change order."""
    with quote_source(arguments) as source, input_errors():
        kept = source.accept_change(arguments.quote, arguments.number, _acceptance(arguments), arguments.message)
        made = source.contract(arguments.quote)
    print(f"Kept as revision {kept.revision}. {made.statement}")


def contract(arguments: Namespace) -> None:
    """Print the contract of a quote: each change order with what it changes."""
    with quote_source(arguments) as source, input_errors():
        made = source.contract(arguments.quote)
    localizer = localizer_for(made.locale, made.currency)
    if arguments.format == "json":
        show_json(msgspec.json.encode(made))
        return
    rows: list[tuple[str, ...]] = [("", "quote", "", "", localizer.money(made.quote.totals.total))]
    for each in made.changes:
        amounts = map(localizer.money, (each.total_change, each.contract_total))
        rows.append((each.number, each.reason, _day(each.accepted_on), *amounts))
    table = filled(result_tables.CONTRACT[0], made, made.locale)
    show_records(arguments.format, table, ("number", "what", "accepted", "change", "contract"), rows)
    if arguments.format == "table":
        print(made.statement)


def variance(arguments: Namespace) -> None:
    """Print what differs between a quote and the build that it became, and by what cause; then the hours."""
    with quote_source(arguments) as source, input_errors():
        found = source.variance(arguments.quote)
        locale = source.get(arguments.quote).locale
    localizer = localizer_for(locale, found.currency)
    if arguments.format == "json":
        show_json(msgspec.json.encode(found))
        return
    rows = (
        (each.description, ", ".join(cause.label for cause in each.causes), localizer.money(each.variance))
        for each in found.lines
    )
    table = filled(result_tables.QUOTE_VARIANCE[0], found, locale)
    show_records(arguments.format, table, ("line", "cause", "variance"), rows)
    if arguments.format == "table":
        print(found.statement)
        _show_hours(found, localizer)


def _show_hours(found: QuoteVariance, localizer: Localizer) -> None:
    """Print what the next quote should know, of the kinds of work that were both quoted and done."""
    compared = [each for each in found.hours if each.tasks]
    if not compared:
        return
    number = localizer.formats.number
    shown = word_table("work", "tasks", "hours quoted", "hours built", "built / quoted", "range")
    for each in compared:
        told = [number(ratio, 2) for ratio in (each.likely, each.low, each.high) if ratio is not None]
        hours = (number(each.quoted_hours), number(each.built_hours))
        shown.add_row(each.category, str(each.tasks), *hours, told[0], " - ".join(told[1:]))
    print()
    show_result(shown)


def _acceptance(arguments: Namespace) -> QuoteAcceptance:
    return QuoteAcceptance(accepted_by=arguments.by, accepted_on=arguments.on)


def _document(file: str) -> QuoteDocument:
    """Read a quote from a file, or from standard input for `-`. A date beside it is not part of it."""
    source = document_content(file)
    body = request_body(source.content, QuoteDocument, {})
    with input_errors(file, source.lines, is_bare_build=body.is_bare_build), malformed(file):
        return read_document(body.content, QuoteDocument)


def _day(day: date | None) -> str:
    return "" if day is None else day.isoformat()
