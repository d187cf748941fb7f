"""Serial numbers: the register of a document or of a kept build, and numbers looked up over what is kept.

The docstrings of the functions are the descriptions of the API.
"""

from collections.abc import Iterable, Iterator
from heapq import nsmallest
from typing import Annotated

import msgspec
from msgspec import Meta, Struct
from msgspec.structs import replace

from hitchworth import appraisal, validation
from hitchworth.localization.localize import localize
from hitchworth.model.build import Build
from hitchworth.model.caller import Caller
from hitchworth.model.document import Document, Locale
from hitchworth.model.fault import Fault
from hitchworth.model.kept import BuildEntry
from hitchworth.model.request import SerialNumberRequest
from hitchworth.model.serial_numbers import FoundNumber, NumberSearch, SearchedNumber, SerialNumberRegister
from hitchworth.operations.builds import BuildParameter
from hitchworth.operations.changes import present_body
from hitchworth.operations.clock import today
from hitchworth.operations.documents import read_kept, request_at, require_whole
from hitchworth.operations.kept_appraisals import Version
from hitchworth.store import Store
from hitchworth.store.chain import KeptDocument
from hitchworth.store.errors import DamagedError, NotKeptError

SERIAL_NUMBERS = "/v1/serial-numbers"

MAX_FOUND = 200
"""Numbers that one answer has: a model number may be on a thing in every build."""


class NumberQuery(Struct, frozen=True, kw_only=True):
    """The number that is looked up."""

    number: SearchedNumber
    locale: Annotated[Locale, Meta(description="Locale of the sentences. Default: en-US.")] = "en-US"


class _Numbered(Struct, frozen=True):
    """What of a kept document is read here."""

    build: Build


def create_serial_number_register(request: SerialNumberRequest) -> SerialNumberRegister:
    """List the numbers of a trailer.

    The identification number of the trailer, then the serial and model numbers of every part in it on the day, with
    where they are stamped and which photo or paper shows them: for the police and the insurer. As a table: a row for
    the trailer and for each part.
    """
    return appraisal.serial_number_register(request.build, request.evidence, request.as_of or today())


def get_serial_number_register(
    store: Store, caller: Caller, build: BuildParameter, version: Version
) -> SerialNumberRegister:
    """List the numbers of a kept build.

    The answer to POST /v1/serial-numbers for its document.
    """
    document = read_kept(store.builds.read(caller.workspace, build, version.revision)[1])
    return create_serial_number_register(request_at(document, SerialNumberRequest, version.as_of))


def find_serial_number(store: Store, caller: Caller, query: NumberQuery) -> NumberSearch:
    """Look up a number among the kept builds: is this mine?

    Identification, serial and model numbers of all builds of the workspace as they are now, those in the trash too, and
    of parts that were taken out. Spaces, dashes and the case of letters do not matter, and neither does O for 0, or I
    and l for 1; the answer says what of it was forgiven. It compares characters and nothing else.
    """
    require_comparable(query.number)
    unread: list[str] = []
    found = list(_found_among(store, caller, query.number, unread))
    return number_search(query.number, query.locale, found, tuple(unread))


def find_in_document(document: Document, number: str) -> NumberSearch:
    """Look up a number in one document. Raises InvalidInputError when there is nothing in it to compare."""
    require_comparable(number)
    return number_search(
        number, document.locale, appraisal.found_numbers(appraisal.with_refunds_applied(document.build), number)
    )


def number_search(number: str, locale: str, found: Iterable[FoundNumber], unread: tuple[str, ...] = ()) -> NumberSearch:
    """Return what was found, the exact numbers first, and of these what only one thing has."""
    first = nsmallest(MAX_FOUND + 1, found, key=lambda each: (each.match != "exact", each.kind == "model_number"))
    search = NumberSearch(
        number=number,
        locale=locale,
        items=tuple(first[:MAX_FOUND]),
        is_complete=len(first) <= MAX_FOUND,
        unread=unread,
    )
    return localize(search, locale)


def require_comparable(number: str) -> None:
    """Raise InvalidInputError when a number is nothing but spaces and dashes."""
    if not appraisal.is_comparable(number):
        fault = Fault(
            pointer="/number",
            detail="There is nothing in it to compare",
            expected="a number with at least one letter or digit",
            found=number,
        )
        raise validation.InvalidInputError([fault])


def _found_among(store: Store, caller: Caller, number: str, unread: list[str]) -> Iterator[FoundNumber]:
    """Yield the numbers of every build that are like it; the builds that cannot be read are noted in `unread`."""
    for build in store.builds.ids(caller.workspace):
        try:
            entry, kept = store.builds.read(caller.workspace, build)
            numbered = _numbered(kept)
        except NotKeptError:  # it has been deleted since
            continue
        except DamagedError:
            unread.append(build)
            continue
        yield from (_in_build(each, entry) for each in appraisal.found_numbers(numbered, number))


def _numbered(kept: KeptDocument) -> Build:
    """Return the build of a document, without checking what it was checked for when it was kept."""
    try:
        return appraisal.with_refunds_applied(msgspec.json.decode(present_body(kept), type=_Numbered).build)
    except (msgspec.MsgspecError, UnicodeDecodeError):
        require_whole(kept)
        raise


def _in_build(found: FoundNumber, entry: BuildEntry) -> FoundNumber:
    return replace(found, build=entry.id, revision=entry.revision, trashed_at=entry.trashed_at)
