"""Where `hitchworth quotes` finds the kept quotes: in a database that it opens itself, or on a server."""

from argparse import Namespace
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, Protocol

import msgspec
from msgspec.structs import asdict

from hitchworth.cli.build_sources import PAGE, ByClient, alteration, as_record, items_of, kept_source
from hitchworth.cli.server_client import for_client
from hitchworth.cli.settings import workshop_of_settings
from hitchworth.model.caller import Caller
from hitchworth.model.change_order import ChangeOrder, Contract
from hitchworth.model.kept import KeptBuild
from hitchworth.model.kept_quote import KeptQuote, QuoteAcceptance, QuoteEntry, QuoteRevision
from hitchworth.model.pricing import Workshop
from hitchworth.model.quote_document import QuoteDocument
from hitchworth.model.quote_variance import QuoteVariance
from hitchworth.operations import accepted_quotes, kept_quotes
from hitchworth.operations.accepted_quotes import QuoteVersion
from hitchworth.operations.builds import QuoteFilter
from hitchworth.operations.changes import Addition, Creation
from hitchworth.operations.documents import canonical
from hitchworth.store import Store


class QuoteSource(Protocol):
    """Kept quotes, wherever they are."""

    def list(self, which: QuoteFilter) -> Iterator[QuoteEntry]: ...
    def get(self, quote: str, revision: int | None = None) -> KeptQuote: ...
    def create(self, document: QuoteDocument, message: str | None) -> KeptQuote: ...
    def replace(self, seen: KeptQuote, document: QuoteDocument, message: str | None) -> KeptQuote: ...
    def history(self, quote: str) -> Iterator[QuoteRevision]: ...
    def accept(self, quote: str, acceptance: QuoteAcceptance, message: str | None) -> KeptBuild: ...
    def change(self, quote: str, order: ChangeOrder, message: str | None) -> QuoteRevision: ...
    def accept_change(self, quote: str, number: str, acceptance: QuoteAcceptance, message: str | None) -> KeptQuote: ...
    def contract(self, quote: str) -> Contract: ...
    def variance(self, quote: str) -> QuoteVariance: ...


@contextmanager
def quote_source(arguments: Namespace, *, make: bool = False) -> Iterator[QuoteSource]:
    """Open where quotes are kept. `make` makes a missing SQLite file. Raises UsageError."""

    def in_database(store: Store, caller: Caller) -> QuoteSource:
        return InDatabase(store, caller, workshop_of_settings(arguments))

    on_server: ByClient[QuoteSource] = OnServer
    with kept_source(arguments, in_database, on_server, make=make) as source:
        yield source


class InDatabase:
    """The kept quotes of a workspace, in a database that this process has opened."""

    def __init__(self, store: Store, caller: Caller, workshop: Workshop | None) -> None:
        self._at = (store, caller)
        self._workshop = workshop

    def list(self, which: QuoteFilter) -> Iterator[QuoteEntry]:
        return items_of(lambda page: kept_quotes.list_kept_quotes(*self._at, which, page))

    def get(self, quote: str, revision: int | None = None) -> KeptQuote:
        if revision is None:
            return kept_quotes.get_kept_quote(*self._at, quote)
        return kept_quotes.get_quote_revision(*self._at, quote, revision)

    def create(self, document: QuoteDocument, message: str | None) -> KeptQuote:
        return kept_quotes.create_kept_quote(*self._at, canonical(document), Creation(message=message))

    def replace(self, seen: KeptQuote, document: QuoteDocument, message: str | None) -> KeptQuote:
        how = alteration(seen, message)
        return kept_quotes.replace_kept_quote(*self._at, seen.id, canonical(document), how)

    def history(self, quote: str) -> Iterator[QuoteRevision]:
        return items_of(lambda page: kept_quotes.list_quote_revisions(*self._at, quote, page))

    def accept(self, quote: str, acceptance: QuoteAcceptance, message: str | None) -> KeptBuild:
        sent = msgspec.json.encode(acceptance)
        how = Addition(message=message)
        return accepted_quotes.accept_kept_quote(*self._at, quote, sent, how, workshop=self._workshop)

    def change(self, quote: str, order: ChangeOrder, message: str | None) -> QuoteRevision:
        sent = msgspec.json.encode(order)
        return accepted_quotes.add_change_order(*self._at, quote, sent, Addition(message=message))

    def accept_change(self, quote: str, number: str, acceptance: QuoteAcceptance, message: str | None) -> KeptQuote:
        sent, how = msgspec.json.encode(acceptance), Addition(message=message)
        return accepted_quotes.accept_change_order(
            *self._at, quote, number=number, request=sent, how=how, workshop=self._workshop
        )

    def contract(self, quote: str) -> Contract:
        return accepted_quotes.get_contract(*self._at, quote, QuoteVersion())

    def variance(self, quote: str) -> QuoteVariance:
        return accepted_quotes.get_kept_quote_variance(*self._at, quote, QuoteVersion())


class OnServer:
    """The kept quotes of a server. The client's records have the fields of the model."""

    def __init__(self, client: Any, _sdk: Any) -> None:
        self._client = client

    def list(self, which: QuoteFilter) -> Iterator[QuoteEntry]:
        return (as_record(QuoteEntry, each) for each in self._client.list_kept_quotes(**asdict(which), limit=PAGE))

    def get(self, quote: str, revision: int | None = None) -> KeptQuote:
        if revision is None:
            return as_record(KeptQuote, self._client.get_kept_quote(quote))
        return as_record(KeptQuote, self._client.get_quote_revision(quote, revision))

    def create(self, document: QuoteDocument, message: str | None) -> KeptQuote:
        return as_record(KeptQuote, self._client.create_kept_quote(for_client(document), message=message))

    def replace(self, seen: KeptQuote, document: QuoteDocument, message: str | None) -> KeptQuote:
        sent = for_client(document)
        return as_record(KeptQuote, self._client.replace_kept_quote(for_client(seen), sent, message=message))

    def history(self, quote: str) -> Iterator[QuoteRevision]:
        return (as_record(QuoteRevision, each) for each in self._client.list_quote_revisions(quote, limit=PAGE))

    def accept(self, quote: str, acceptance: QuoteAcceptance, message: str | None) -> KeptBuild:
        sent = for_client(acceptance)
        return as_record(KeptBuild, self._client.accept_kept_quote(quote, sent, message=message))

    def change(self, quote: str, order: ChangeOrder, message: str | None) -> QuoteRevision:
        return as_record(QuoteRevision, self._client.add_change_order(quote, for_client(order), message=message))

    def accept_change(self, quote: str, number: str, acceptance: QuoteAcceptance, message: str | None) -> KeptQuote:
        sent = for_client(acceptance)
        return as_record(KeptQuote, self._client.accept_change_order(quote, number, sent, message=message))

    def contract(self, quote: str) -> Contract:
        return as_record(Contract, self._client.get_contract(quote))

    def variance(self, quote: str) -> QuoteVariance:
        return as_record(QuoteVariance, self._client.get_kept_quote_variance(quote))
