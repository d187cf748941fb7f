"""`hitchworth builds`: kept builds, listed, shown, added, changed, restored and verified."""

from argparse import Namespace
from collections.abc import Iterable, Sequence
from typing import Any

import msgspec
from msgspec import Struct
from rich.console import Console
from rich.table import Table

from hitchworth.cli.build_sources import build_source
from hitchworth.cli.change_tables import comparison_report
from hitchworth.cli.commands import print_csv
from hitchworth.cli.exit_codes import InputError, UsageError
from hitchworth.cli.request_file import document_content, input_errors, malformed, request_body
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.document import Document
from hitchworth.model.kept import KeptBuild, Verification
from hitchworth.operations import result_tables
from hitchworth.operations.builds import BuildFilter
from hitchworth.operations.documents import canonical, read_document
from hitchworth.operations.kept_appraisals import Side, Sides
from hitchworth.operations.revisions import DigestText
from hitchworth.operations.tables import FilledTable, ResultTable, filled
from hitchworth.validation import InvalidInputError, read_text


def list_builds(arguments: Namespace) -> None:
    """Print the kept builds, the last changed first."""
    which = BuildFilter(name=arguments.name, trashed=arguments.trashed)
    with build_source(arguments) as source, input_errors():
        entries = tuple(source.list(which))
    rows = ((each.id, str(each.revision), each.name, _minute(each.updated_at)) for each in entries)
    _print(arguments.format, result_tables.BUILDS[0], entries, ("id", "revision", "name", "changed"), rows)


def show(arguments: Namespace) -> None:
    """Print the document of a build, as a file that every command takes."""
    with build_source(arguments) as source, input_errors():
        kept = source.get(arguments.build, arguments.revision)
    print(msgspec.json.format(canonical(_document_of(kept))).decode())


def add(arguments: Namespace) -> None:
    """Keep the document of a file."""
    document = document_from_file(arguments.file)
    with build_source(arguments, make=True) as source, input_errors():
        kept = source.create(document, arguments.message)
    print(f"Kept as {kept.id}, revision {kept.revision}, digest {kept.digest}.")


def replace(arguments: Namespace) -> None:
    """Replace the document of a build by that of a file."""
    document = document_from_file(arguments.file)
    with build_source(arguments) as source, input_errors():
        seen = source.get(arguments.build)
        _require_revision(seen, arguments.revision)
        kept = source.replace(seen, document, arguments.message)
    if kept.revision == seen.revision:
        print(f"The build is the same already, at revision {kept.revision}.")
    else:
        print(f"Kept as revision {kept.revision}, digest {kept.digest}.")


def history(arguments: Namespace) -> None:
    """Print the revisions of a build, the newest first."""
    with build_source(arguments) as source, input_errors():
        found = tuple(source.history(arguments.build))
    rows = (
        (str(each.revision), _minute(each.at), each.actor, each.action, each.message or "", each.digest[:12])
        for each in found
    )
    _print(
        arguments.format, result_tables.REVISIONS[0], found, ("revision", "when", "who", "what", "why", "digest"), rows
    )


def restore(arguments: Namespace) -> None:
    """Make the document of an earlier revision the present one."""
    with build_source(arguments) as source, input_errors():
        revision = source.restore(source.get(arguments.build), arguments.restored, arguments.message)
    print(f"Revision {arguments.restored} is the present document again, as revision {revision.revision}.")


def trash(arguments: Namespace) -> None:
    """Move a build to the trash."""
    with build_source(arguments) as source, input_errors():
        revision = source.trash(source.get(arguments.build), arguments.message)
    print(f"{revision.build} is in the trash, where it can still be read and recovered.")


def recover(arguments: Namespace) -> None:
    """Take a build out of the trash."""
    with build_source(arguments) as source, input_errors():
        revision = source.recover(source.get(arguments.build), arguments.message)
    print(f"{revision.build} is out of the trash, at revision {revision.revision}.")


def verify(arguments: Namespace) -> None:
    """Say whether the history is as it was written, and whether a paper belongs to it.

    Raises InputError when not, so that a script notices.
    """
    digest = _read(arguments.digest, DigestText, "a digest of 12 to 64 hexadecimal digits")
    with build_source(arguments) as source, input_errors():
        found = source.verify(arguments.build, digest, arguments.as_of)
    lines = tuple(_verdict(found))
    if not found.intact or found.belongs is False:
        raise InputError("\n".join(lines))
    print("\n".join(lines))


def compare(arguments: Namespace) -> None:
    """Compare two revisions or two dates of a build."""
    before, after = (_read(side, Side, "a revision or a date") for side in (arguments.before, arguments.after))
    sides = Sides(from_=before, to=after, as_of=arguments.as_of)
    with build_source(arguments) as source, input_errors():
        found = source.compare(arguments.build, sides)
    if arguments.format == "table":
        currency = found.estimates.currency if found.estimates else None
        Console().print(comparison_report(found, localizer_for(found.locale, currency)))
    elif arguments.format == "json":
        print(msgspec.json.format(msgspec.json.encode(found)).decode())
    else:
        print_csv(filled(result_tables.DOCUMENT_COMPARISON[0], found, found.locale))


def document_from_file(file: str) -> Document:
    """Read a document from a file, or from standard input for `-`. A date beside it is not part of it.

    Raises InputError with every fault, and UsageError when the file cannot be read.
    """
    body = request_body(document_content(file), Document, {})
    with input_errors(is_bare_build=body.is_bare_build), malformed(file):
        return read_document(body.content)


def _document_of(kept: KeptBuild) -> Document:
    return Document(**{name: getattr(kept, name) for name in Document.__struct_fields__})


def _read(text: str | None, kind: Any, what: str) -> Any:
    """Return an argument as the type; None where it was left out. Raises UsageError."""
    try:
        return None if text is None else read_text(text, kind)
    except InvalidInputError:
        raise UsageError(f"{text} is not {what}") from None


def _require_revision(seen: KeptBuild, wanted: int | None) -> None:
    """Raise UsageError when the build has moved on from the revision that was meant."""
    if wanted is not None and wanted != seen.revision:
        raise UsageError(f"the build is at revision {seen.revision}, not {wanted}; nothing was kept")


def _verdict(found: Verification) -> Iterable[str]:
    if found.intact:
        yield f"The history is as it was written: {found.revisions} revisions, the last with the digest {found.digest}."
    else:
        yield f"Revision {found.first_unfit} does not fit: it was altered, or it is missing."
    if found.belongs:
        yield f"The digest belongs to revision {', '.join(map(str, found.belongs_to))}."
    elif found.belongs is False:
        day = f" on {found.as_of}" if found.as_of else "; name the valuation date of a report with --as-of"
        yield f"The digest belongs to no revision of this build{day}."


def _print(
    form: str, table: ResultTable, records: Sequence[Struct], headings: Sequence[str], rows: Iterable[Sequence[str]]
) -> None:
    match form:
        case "json":
            print(msgspec.json.format(msgspec.json.encode(records)).decode())
        case "csv":
            print_csv(FilledTable(record=table.record, rows=records))
        case _:
            shown = Table(*headings)
            for row in rows:
                shown.add_row(*row)
            Console().print(shown)


def _minute(at: object) -> str:
    return f"{at:%Y-%m-%d %H:%M}"
