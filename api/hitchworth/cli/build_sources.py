"""Where `hitchworth builds` finds the kept builds: in a database that it opens itself, or on a server."""

import os
from argparse import Namespace
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import Any, Protocol, TypeAlias, TypeVar
from urllib.parse import parse_qs, urlsplit

import msgspec
from msgspec.structs import asdict, replace

from hitchworth.cli.database import opened, store_errors
from hitchworth.cli.exit_codes import UsageError
from hitchworth.cli.server_client import client_library, connected
from hitchworth.cli.settings import settings_of
from hitchworth.model.caller import LOCAL_CALLER, Caller
from hitchworth.model.document import Document
from hitchworth.model.document_changes import DocumentComparison
from hitchworth.model.evidence import EvidenceKind
from hitchworth.model.fault import Fault
from hitchworth.model.kept import BuildEntry, KeptBuild, Revision, Verification
from hitchworth.model.kept_quote import KeptQuote
from hitchworth.model.plate_reading import PlateReading
from hitchworth.model.serial_numbers import NumberSearch
from hitchworth.operations import builds, evidence, kept_appraisals, plate_readings, revisions, serial_numbers
from hitchworth.operations.builds import BuildFilter
from hitchworth.operations.changes import Addition, Alteration, Creation, QuoteStageError, TrashedError
from hitchworth.operations.claim_packs import ClaimChoice, Handover
from hitchworth.operations.documents import canonical
from hitchworth.operations.evidence import NewEvidence, Upload
from hitchworth.operations.kept_appraisals import Version
from hitchworth.operations.kept_claim_packs import write_kept_claim_pack
from hitchworth.operations.paging import Page
from hitchworth.operations.serial_numbers import NumberQuery
from hitchworth.store import Store
from hitchworth.validation import InvalidInputError

T = TypeVar("T")
InStore: TypeAlias = Callable[[Store, Caller], T]
ByClient: TypeAlias = Callable[[Any, Any], T]
_CHUNK_BYTES = 1_000_000
PAGE = 200
"""Items that are asked for at a time."""

SERVER_VARIABLE = "HITCHWORTH_URL"
"""As the client names it."""


class BuildSource(Protocol):
    """Kept builds, wherever they are. A change is made to what was seen only."""

    def list(self, which: BuildFilter) -> Iterator[BuildEntry]: ...
    def get(self, build: str, revision: int | None = None) -> KeptBuild: ...
    def create(self, document: Document, message: str | None) -> KeptBuild: ...
    def replace(self, seen: KeptBuild, document: Document, message: str | None) -> KeptBuild: ...
    def history(self, build: str) -> Iterator[Revision]: ...
    def restore(self, seen: KeptBuild, revision: int, message: str | None) -> Revision: ...
    def trash(self, seen: KeptBuild, message: str | None) -> Revision: ...
    def recover(self, seen: KeptBuild, message: str | None) -> Revision: ...
    def verify(self, build: str, digest: str | None, as_of: date | None) -> Verification: ...
    def compare(self, build: str, sides: kept_appraisals.Sides) -> DocumentComparison: ...
    def write_claim_pack(
        self, path: Path, build: str, *, version: Version, claim: ClaimChoice, handover: Handover
    ) -> None: ...
    def find_number(self, number: str, locale: str) -> NumberSearch: ...

    def read_plate(self, build: str, entry: str, locale: str) -> PlateReading: ...


@contextmanager
def build_source(arguments: Namespace, *, make: bool = False) -> Iterator[BuildSource]:
    """Open where builds are kept, as `kept_source` does."""
    sources: tuple[InStore[BuildSource], ByClient[BuildSource]] = (InDatabase, OnServer)
    with kept_source(arguments, *sources, make=make) as source:
        yield source


@contextmanager
def kept_source(
    arguments: Namespace,
    in_database: InStore[T],
    on_server: ByClient[T],
    *,
    make: bool = False,
) -> Iterator[T]:
    """Open what --database or --server names, or else the variables of the environment.

    `make` makes a missing SQLite file. Raises UsageError when nothing is named, or both are.
    """
    server, database = arguments.server, arguments.database
    if server is None and database is None:
        server, database = os.environ.get(SERVER_VARIABLE), settings_of(arguments).database
    if server and database:
        raise UsageError("name one place: --database WHERE or --server URL")
    if not server and not database:
        raise UsageError("name where the builds are: --database WHERE or --server URL")
    if server:
        with connected(server, arguments.key) as client:
            yield on_server(client, client_library())
        return
    with opened(arguments, make=make) as store:
        try:
            yield in_database(store, replace(LOCAL_CALLER, workspace=arguments.workspace))
        except TrashedError as error:
            kind = str(error).partition(" is in")[0].lower()
            raise UsageError(f"{kind} is in the trash; recover it first") from None
        except QuoteStageError as error:
            raise UsageError(str(error)) from None


class InDatabase:
    """The kept builds of a workspace, in a database that this process has opened."""

    def __init__(self, store: Store, caller: Caller) -> None:
        self._store = store
        self._caller = caller

    def list(self, which: BuildFilter) -> Iterator[BuildEntry]:
        return items_of(lambda page: builds.list_builds(self._store, self._caller, which, page))

    def get(self, build: str, revision: int | None = None) -> KeptBuild:
        if revision is None:
            return builds.get_build(self._store, self._caller, build)
        return revisions.get_revision(self._store, self._caller, build, revision)

    def create(self, document: Document, message: str | None) -> KeptBuild:
        return builds.create_build(self._store, self._caller, canonical(document), Creation(message=message))

    def replace(self, seen: KeptBuild, document: Document, message: str | None) -> KeptBuild:
        how = alteration(seen, message)
        return builds.replace_build(self._store, self._caller, seen.id, canonical(document), how)

    def history(self, build: str) -> Iterator[Revision]:
        return items_of(lambda page: revisions.list_revisions(self._store, self._caller, build, page))

    def restore(self, seen: KeptBuild, revision: int, message: str | None) -> Revision:
        how = alteration(seen, message)
        return revisions.restore_revision(self._store, self._caller, seen.id, revision, how)

    def trash(self, seen: KeptBuild, message: str | None) -> Revision:
        return builds.trash_build(self._store, self._caller, seen.id, alteration(seen, message))

    def recover(self, seen: KeptBuild, message: str | None) -> Revision:
        return builds.recover_build(self._store, self._caller, seen.id, alteration(seen, message))

    def verify(self, build: str, digest: str | None, as_of: date | None) -> Verification:
        return revisions.verify_build(self._store, self._caller, build, digest, as_of)

    def compare(self, build: str, sides: kept_appraisals.Sides) -> DocumentComparison:
        return kept_appraisals.get_comparison(self._store, self._caller, build, sides)

    def find_number(self, number: str, locale: str) -> NumberSearch:
        return serial_numbers.find_serial_number(self._store, self._caller, NumberQuery(number=number, locale=locale))

    def read_plate(self, build: str, entry: str, locale: str) -> PlateReading:
        return plate_readings.get_plate_reading(self._store, self._caller, build, entry, locale)

    def add_evidence(
        self,
        build: str,
        path: Path,
        name: str,
        *,
        subjects: tuple[str, ...],
        kind: EvidenceKind | None,
        limits: tuple[int, int],
    ) -> bool:
        """Add a file. Return whether it is new. limits: of bytes and of pixels."""
        max_bytes, max_pixels = limits
        with path.open("rb") as file, self._store.evidence.receive(max_bytes) as incoming:
            while chunk := file.read(_CHUNK_BYTES):
                incoming.write(chunk)
            if incoming.size > max_bytes:
                fault = Fault(pointer="/file", detail="The file is too large", expected=f"at most {max_bytes:,} bytes")
                raise InvalidInputError([fault])
            added = evidence.add_evidence(
                self._store,
                self._caller,
                build,
                upload=Upload(incoming=incoming, max_pixels=max_pixels),
                what=NewEvidence(subject=subjects, kind=kind, file_name=name),
                how=Addition(),
            )
        return added.duplicate_of is None

    def write_claim_pack(
        self, path: Path, build: str, *, version: Version, claim: ClaimChoice, handover: Handover
    ) -> None:
        with store_errors(), path.open("wb") as file:
            write_kept_claim_pack(
                file, self._store, self._caller, build, version=version, claim=claim, handover=handover
            )


def alteration(seen: KeptBuild | KeptQuote, message: str | None) -> Alteration:
    return Alteration(if_match=f'"{seen.digest}"', message=message)


def items_of(page_at: Callable[[Page], Any]) -> Iterator[Any]:
    """Yield the items of page after page."""
    cursor: str | None = None
    while True:
        page = page_at(Page(limit=PAGE, cursor=cursor))
        yield from page.items
        if page.next is None:
            return
        cursor = parse_qs(urlsplit(page.next).query)["cursor"][0]


class OnServer:
    """The kept builds of a server. The client's records have the fields of the model."""

    def __init__(self, client: Any, sdk: Any) -> None:
        self._client = client
        self._sdk = sdk

    def list(self, which: BuildFilter) -> Iterator[BuildEntry]:
        return (as_record(BuildEntry, each) for each in self._client.list_builds(**asdict(which), limit=PAGE))

    def get(self, build: str, revision: int | None = None) -> KeptBuild:
        if revision is None:
            return as_record(KeptBuild, self._client.get_build(build))
        return as_record(KeptBuild, self._client.get_revision(build, revision))

    def create(self, document: Document, message: str | None) -> KeptBuild:
        return as_record(KeptBuild, self._client.create_build(self._sent(document), message=message))

    def replace(self, seen: KeptBuild, document: Document, message: str | None) -> KeptBuild:
        sent = self._sent(document)
        return as_record(KeptBuild, self._client.replace_build(self._seen(seen), sent, message=message))

    def history(self, build: str) -> Iterator[Revision]:
        return (as_record(Revision, each) for each in self._client.list_revisions(build, limit=PAGE))

    def restore(self, seen: KeptBuild, revision: int, message: str | None) -> Revision:
        return as_record(Revision, self._client.restore_revision(self._seen(seen), revision, message=message))

    def trash(self, seen: KeptBuild, message: str | None) -> Revision:
        return as_record(Revision, self._client.trash_build(self._seen(seen), message=message))

    def recover(self, seen: KeptBuild, message: str | None) -> Revision:
        return as_record(Revision, self._client.recover_build(self._seen(seen), message=message))

    def verify(self, build: str, digest: str | None, as_of: date | None) -> Verification:
        return as_record(Verification, self._client.verify_build(build, digest=digest, as_of=as_of))

    def compare(self, build: str, sides: kept_appraisals.Sides) -> DocumentComparison:
        found = self._client.get_comparison(build, sides.from_, sides.to, as_of=sides.as_of)
        return as_record(DocumentComparison, found)

    def find_number(self, number: str, locale: str) -> NumberSearch:
        return as_record(NumberSearch, self._client.find_serial_number(number, locale=locale))

    def read_plate(self, build: str, entry: str, locale: str) -> PlateReading:
        return as_record(PlateReading, self._client.get_plate_reading(build, entry, locale=locale))

    def add_evidence(
        self,
        build: str,
        path: Path,
        name: str,
        *,
        subjects: tuple[str, ...],
        kind: EvidenceKind | None,
        limits: tuple[int, int],
    ) -> bool:
        """Add a file. Return whether it is new."""
        try:
            added = self._client.add_evidence(build, path, subject=subjects, kind=kind, file_name=name)
        except self._sdk.InvalidInput as error:
            faults = [as_record(Fault, fault) for fault in error.faults]
            raise InvalidInputError(faults) from None
        except self._sdk.PayloadTooLarge as error:
            raise InvalidInputError([Fault(pointer="/file", detail=str(error), expected="a smaller file")]) from None
        return added.duplicate_of is None

    def write_claim_pack(
        self, path: Path, build: str, *, version: Version, claim: ClaimChoice, handover: Handover
    ) -> None:
        how = asdict(version) | asdict(claim) | asdict(handover)
        self._client.get_claim_pack(build, **how, into=path)

    def _seen(self, kept: KeptBuild) -> Any:
        return msgspec.convert(msgspec.to_builtins(kept), self._sdk.KeptBuild)

    def _sent(self, document: Document) -> Any:
        return msgspec.json.decode(canonical(document), type=self._sdk.Document)


def as_record(kind: type[T], record: object) -> T:
    return msgspec.convert(msgspec.to_builtins(record), kind)
