"""`hitchworth import`: read a file of receipts or hours, show what it becomes, and add it to a document.

Nothing is written while a question or a fault is open. How a file was read is kept beside the document, for the next
file with the same headers: DOCUMENT.import.yaml.
"""

from argparse import ArgumentParser, Namespace
from collections.abc import Iterator
from functools import reduce
from pathlib import Path
from typing import Any, get_args

import msgspec
from msgspec.structs import replace

from hitchworth import validation
from hitchworth.cli.document_files import document_bytes, request_to_change, require_document_name
from hitchworth.cli.exit_codes import InputError, UsageError
from hitchworth.cli.import_report import import_report, told
from hitchworth.cli.options import add_locale
from hitchworth.cli.request_file import file_content, input_errors
from hitchworth.cli.terminal import show_result
from hitchworth.cli.written_files import write_whole
from hitchworth.localization.localizer import Localizer, localizer_for
from hitchworth.model.build import Build
from hitchworth.model.document import Document
from hitchworth.model.entry import EvidenceGrade
from hitchworth.model.receipt_import import (
    AmountSign,
    DateOrder,
    DecimalMark,
    Delimiter,
    Difference,
    Encoding,
    ImportKind,
    ImportQuestion,
    ImportSettings,
    ReceiptImport,
    TaxInAmount,
)
from hitchworth.operations.documents import dated, document_in
from hitchworth.operations.imports import KeptSettings, UnreadableFileError, import_into

OPTIONS = {
    "sheet": "--sheet",
    "date_order": "--date-order",
    "decimal_mark": "--decimal",
    "columns": "--map",
    "tax_in_amount": "--tax",
    "sign": "--sign",
    "currency": "--currency",
    "difference": "--difference",
    "refunds": "--refund",
    "lines": "--line",
}
"""The option that answers a question about each setting."""

_COMMENT = b"""\
# How files with these headers were read by `hitchworth import`, for the next time. It may be edited.
# left_out: rows that stay out, by what stands in them; delete one here, and the next import takes it again.
# freight: rows that are freight, in the same way.
# ids: the lines of the document that rows have become, by what stands in the rows.
"""


def add_options(parser: ArgumentParser) -> None:
    """Add the options of `hitchworth import`."""
    parser.add_argument("file", metavar="FILE", help="a .csv, .xlsx, .ods or .ics file; - for standard input")
    parser.add_argument(
        "--into", type=Path, required=True, metavar="DOCUMENT", help="the document to add to, created when missing"
    )
    parser.add_argument("--dry-run", action="store_true", help="show the result and write nothing")
    parser.add_argument("--name", help="name of the build in a new document; default: from the document's file name")
    add_locale(parser)
    declared = parser.add_argument_group("what the file does not say itself")
    declared.add_argument("--as", dest="kind", choices=get_args(ImportKind), help="what the rows are")
    declared.add_argument(
        "--map",
        action="append",
        default=[],
        metavar="HEADER=FIELD",
        help='what a column holds, by its header or letter, as "Paid=unit_cost"; "Paid=": it is not read',
    )
    declared.add_argument(
        "--set",
        action="append",
        default=[],
        metavar="FIELD=VALUE",
        help="what holds for every row that does not say it, as acquired_on=2026-03-02",
    )
    declared.add_argument(
        "--category",
        action="append",
        default=[],
        metavar="WORDS=CATEGORY",
        help='the category of parts with these words, as "gas struts=fasteners"',
    )
    declared.add_argument(
        "--fill-down", action="append", default=[], metavar="FIELD", help="empty cells repeat the one above"
    )
    declared.add_argument("--date-order", choices=get_args(DateOrder), help="the order of the parts of dates")
    declared.add_argument("--decimal", choices=get_args(DecimalMark), help="what begins the fraction of numbers")
    declared.add_argument("--currency", metavar="CODE", help="currency of the amounts: USD, EUR")
    declared.add_argument("--tax", choices=get_args(TaxInAmount), help="whether amounts include the tax beside them")
    declared.add_argument("--difference", choices=get_args(Difference), help="what a total has more than the price")
    declared.add_argument("--sign", choices=get_args(AmountSign), help="the sign of what was paid")
    declared.add_argument("--evidence", choices=get_args(EvidenceGrade), help="what proves the costs")
    declared.add_argument("--refund", action="append", default=[], metavar="ROW=ROW", help="what a refund takes back")
    declared.add_argument(
        "--line",
        action="append",
        default=[],
        metavar="ROW=ID",
        help="the line of the document that a row corrects, or new",
    )
    declared.add_argument(
        "--leave-out", action="append", type=int, default=[], metavar="ROW", help="a row to leave out"
    )
    declared.add_argument(
        "--freight",
        action="append",
        type=int,
        default=[],
        metavar="ROW",
        help="a row that is freight, to split over its receipt",
    )
    declared.add_argument("--sheet", metavar="NAME", help="the sheet of a workbook")
    declared.add_argument("--header-row", type=int, metavar="N", help="row of the headers; 0: there are none")
    declared.add_argument("--encoding", choices=get_args(Encoding), help="how letters are written as bytes")
    declared.add_argument("--delimiter", choices=get_args(Delimiter), help="what separates the cells of text")
    declared.add_argument("--words", metavar="WORDS", help="of a calendar: only events with these words")
    parser.set_defaults(run=run)


def run(arguments: Namespace) -> None:
    """Import a file into a document, or show what would be imported."""
    target: Path = arguments.into
    require_document_name(target, "--into")
    previous = file_content(str(target)) if target.exists() else None
    is_new = previous is None
    request = dated(_new_document(arguments), None) if previous is None else request_to_change(previous, str(target))
    before = document = document_in(request)
    if arguments.locale:
        document = replace(document, locale=arguments.locale)
    kept = _kept(target)
    try:
        localizer = localizer_for(document.locale, document.build.currency)
        with input_errors(arguments.file, prefix=f"{arguments.file}: ", localizer=localizer):
            content = file_content(arguments.file)
            imported, addition, kept = import_into(
                content, _declared(arguments), document, kept, lines=_pairs(arguments.line, "--line")
            )
    except UnreadableFileError as error:
        raise InputError(f"{arguments.file}: {error}") from None
    localizer = localizer_for(document.locale, imported.settings.currency)
    show_result(import_report(imported, addition, localizer))
    if addition is None:
        raise InputError(_how_to_answer(imported, localizer))
    if arguments.dry_run:
        print(told(localizer, "dry_run"))
        return
    is_changed = is_new or addition.document != before
    if is_changed:
        write_whole(target, document_bytes(addition.document, request.as_of, target, previous))
    write_whole(_kept_file(target), _kept_bytes(kept))
    done = ("created" if is_new else "updated") if is_changed else "unchanged"
    what_next = told(localizer, "next", command=f"hitchworth sheet {target} -o sheet.pdf")
    print(told(localizer, done, file=str(target)), what_next)


def _new_document(arguments: Namespace) -> Document:
    """Return a document with nothing but a build without lines; its currency is a placeholder until it has some."""
    name = arguments.name or arguments.into.stem.replace("_", " ").replace("-", " ").capitalize()
    return Document(build=Build(name=name, currency="USD"))


def _kept_file(target: Path) -> Path:
    return target.with_suffix(".import.yaml")


def _kept(target: Path) -> tuple[KeptSettings, ...]:
    path = _kept_file(target)
    if not path.exists():
        return ()
    try:
        return msgspec.yaml.decode(path.read_bytes(), type=tuple[KeptSettings, ...])
    except (msgspec.MsgspecError, UnicodeDecodeError) as error:
        raise UsageError(f"{path} cannot be read: {error}. Correct it, or delete it.") from None


def _kept_bytes(kept: tuple[KeptSettings, ...]) -> bytes:
    """Return the kept settings as a file for people, without what is as it is by default."""
    plain = []
    for each in kept:
        entry: dict[str, Any] = {"headers": each.headers, "settings": dict(_given(each.settings))}
        entry |= {name: rows for name in ("left_out", "freight", "ids") if (rows := getattr(each, name))}
        plain.append(entry)
    return _COMMENT + msgspec.yaml.encode(plain)


def _given(settings: ImportSettings) -> Iterator[tuple[str, Any]]:
    default = ImportSettings()
    for name in ImportSettings.__struct_fields__:
        value = getattr(settings, name)
        if value != getattr(default, name):
            yield name, value


def _declared(arguments: Namespace) -> ImportSettings:
    """Return the settings of the command line. Raises UsageError for one that cannot be read."""
    fields = {
        "kind": arguments.kind,
        "encoding": arguments.encoding,
        "delimiter": arguments.delimiter,
        "sheet": arguments.sheet,
        "header_row": arguments.header_row,
        "date_order": arguments.date_order,
        "decimal_mark": arguments.decimal,
        "tax_in_amount": arguments.tax,
        "sign": arguments.sign,
        "difference": arguments.difference,
        "currency": arguments.currency,
        "columns": _pairs(arguments.map, "--map"),
        "constants": _pairs(arguments.set, "--set"),
        "categories": _pairs(arguments.category, "--category"),
        "fill_down": arguments.fill_down,
        "evidence_grade": arguments.evidence,
        "refunds": _pairs(arguments.refund, "--refund"),
        "freight": arguments.freight,
        "leave_out": arguments.leave_out,
        "words": arguments.words,
    }
    given = {name: value for name, value in fields.items() if value is not None}
    try:
        return validation.read(msgspec.json.encode(given), ImportSettings)
    except validation.InvalidInputError as error:
        fault = error.faults[0]
        raise UsageError(f"{fault.pointer.removeprefix('/')}: {fault.detail}; expected {fault.expected}") from None


def _pairs(texts_given: list[str], option: str) -> dict[str, str]:
    """Return NAME=VALUE options as a dictionary, split at the last equals sign."""
    pairs = {}
    for text in texts_given:
        name, _, value = text.rpartition("=")
        if not name.strip():
            raise UsageError(f"{option} {text}: expected NAME=VALUE")
        pairs[name.strip()] = value.strip()
    return pairs


def _how_to_answer(imported: ReceiptImport, localizer: Localizer) -> str:
    """Return the options that answer the open questions, a line each."""
    answers = (_example_options(question, localizer) for question in imported.questions)
    lines = [told(localizer, "answer_with", options=options) for options in answers]
    return "\n".join(dict.fromkeys(lines))


def _example_options(question: ImportQuestion, localizer: Localizer) -> str:
    """Return the options that answer a question; of one about rows, also the way out that is none of the choices."""
    option = OPTIONS[question.setting]
    values = [f'"{choice.value}"' if " " in choice.value else choice.value for choice in question.choices]
    options = reduce(
        lambda first, second: told(localizer, "either", first=first, second=second),
        [f"{option} {value}" for value in values or ["..."]],
    )
    rows = question.parameters.get("row") or question.parameters.get("numbers", "")
    if not rows:
        return options
    left_out = " ".join(f"--leave-out {row}" for row in rows.split())
    return told(localizer, "or_leave_out", options=options, option=left_out)
