"""The store of the examples, the same each time: a build with two revisions, and one in the trash; quotes too.

One quote has two revisions, one is in the trash, and one is accepted, with a change order that is and one that is not.
"""

from base64 import b64encode
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from functools import cache
from importlib.resources import files
from tempfile import TemporaryFile

import msgspec

from hitchworth.model.caller import LOCAL_CALLER
from hitchworth.model.kept import KeptBuild
from hitchworth.model.kept_quote import KeptQuote
from hitchworth.model.webhook import TEST_EVENT, MessageBody, WebhookRequest
from hitchworth.operations.accepted_quotes import accept_change_order, accept_kept_quote, add_change_order
from hitchworth.operations.builds import create_build, patch_build, trash_build
from hitchworth.operations.changes import Addition, Alteration, Creation, SecretCreation
from hitchworth.operations.evidence import NewEvidence, Upload, add_evidence
from hitchworth.operations.kept_quotes import create_kept_quote, patch_kept_quote, trash_kept_quote
from hitchworth.operations.keys import create_key
from hitchworth.operations.shares import create_share
from hitchworth.store import Store, open_store
from hitchworth.store.credentials import Credential, Prefix
from hitchworth.store.database import IN_MEMORY
from hitchworth.store.evidence import Incoming

_START = datetime(2026, 11, 1, 9, 30, tzinfo=UTC)
_IDS = (
    "5f0c9f2e4a1d4e7b",
    "b2d85a1790c34f6e",
    "7c1e5a90b3d84f26",
    "e40d92c86b1f7a35",
    "2a9f6c03d7e518b4",
    "9b37c1f05e2d4a68",
)

_PUBLIC_PARTS = ("Ex4mpLe1", "Ex4mpLe2")
_SECRET = "an-example-of-43-characters-opening-nothing"
EXAMPLE_LINK = f"hs_{_PUBLIC_PARTS[1]}_{_SECRET}"
EXAMPLE_WEBHOOK_SECRET = f"whsec_{b64encode(b'an example secret of 32 bytes ..').decode()}"


@dataclass
class _Sequence:
    """The times, ids and credentials of an example store, one after the other."""

    minute: int = -1
    id: int = -1
    credential: int = -1

    def clock(self) -> datetime:
        self.minute += 1
        return _START + timedelta(minutes=self.minute)

    def new_id(self) -> str:
        self.id += 1
        return _IDS[self.id] if self.id < len(_IDS) else f"{self.id - len(_IDS) + 1:016x}"

    def new_credential(self, prefix: Prefix) -> Credential:
        """Return a credential that opens nothing elsewhere."""
        self.credential += 1
        further = self.credential - len(_PUBLIC_PARTS) + 1
        public = f"Ex4m{further:04}" if further > 0 else _PUBLIC_PARTS[self.credential]
        return Credential(prefix=prefix, public=public, secret=_SECRET)


def example_store() -> Store:
    """Return a new store in memory with the example builds."""
    store, sequence = _first_store()
    own = replace(sequence)
    return store.copy(own.clock, own.new_id, own.new_credential)


@cache
def _first_store() -> tuple[Store, _Sequence]:
    """Return the store that the others are copies of, and how far its sequence has come."""
    sequence = _Sequence()
    store = open_store(
        IN_MEMORY,
        clock=sequence.clock,
        new_id=sequence.new_id,
        new_credential=sequence.new_credential,
        new_webhook_secret=lambda: EXAMPLE_WEBHOOK_SECRET,
    )
    store.workspaces.delete(LOCAL_CALLER.workspace, LOCAL_CALLER.workspace)  # made again at the time of the examples
    kept = create_build(store, LOCAL_CALLER, _example("kept-build"), Creation(message="What is built so far"))
    patch = b'{"build": {"vin": "1HTCH0000AB000017"}}'
    patch_build(store, LOCAL_CALLER, kept.id, patch, _change_of(kept, "The number on the new plate"))
    _add_photo(store, kept.id)
    second = create_build(store, LOCAL_CALLER, b'{"name": "Boat trailer", "currency": "USD"}', Creation())
    trash_build(store, LOCAL_CALLER, second.id, _change_of(second, "Sold"))
    create_key(store, LOCAL_CALLER, b'{"name": "Quoting script", "scope": "write"}', SecretCreation())
    link = b'{"name": "Adjuster", "expires_at": "2027-01-31T00:00:00Z", "for_policy": "agreed value"}'
    create_share(store, LOCAL_CALLER, kept.id, link, SecretCreation())
    _keep_quotes(store)
    _add_webhook(store)
    store.access_log.add(
        LOCAL_CALLER.workspace,
        actor="Quoting script",
        key=_PUBLIC_PARTS[0],
        operation="get_build",
        build=kept.id,
        status=200,
        request_id="quote-17",
    )
    return store, sequence


def _add_webhook(store: Store) -> None:
    """A webhook with a message that waits to be sent, and one that was given up."""
    wanted = WebhookRequest(url="https://shop.example/hitchworth", events=("build.changed", "attention.gap"))
    webhook = store.webhooks.create(
        LOCAL_CALLER.workspace, wanted, secret=store.new_webhook_secret(), actor=LOCAL_CALLER.actor
    )
    for _ in range(2):
        body = MessageBody(type=TEST_EVENT, timestamp=store.clock(), data={})
        given_up = store.webhooks.put(LOCAL_CALLER.workspace, webhook.id, body)
    for message in store.webhooks.claim(1, timedelta(minutes=10), only=given_up):
        store.webhooks.finish(message, "dead", status=500, error="the receiver answered 500", wait=None)


def _keep_quotes(store: Store) -> None:
    first, second, third = (
        create_kept_quote(store, LOCAL_CALLER, _example("kept-quote"), Creation(message="First quote"))
        for _ in range(3)
    )
    patch_kept_quote(store, LOCAL_CALLER, first.id, _example("quote-patch"), _change_of(first, "A week later"))
    trash_kept_quote(store, LOCAL_CALLER, second.id, _change_of(second, "Not wanted"))
    accept_kept_quote(store, LOCAL_CALLER, third.id, _example("quote-acceptance"), Addition())
    orders = msgspec.json.decode(_example("quote"))["changes"]
    for order in orders:
        written = {name: value for name, value in order.items() if not name.startswith("accepted")}
        add_change_order(store, LOCAL_CALLER, third.id, msgspec.json.encode(written), Addition())
    accepted = b'{"accepted_by": "A. Customer", "accepted_on": "2026-07-21"}'
    accept_change_order(store, LOCAL_CALLER, third.id, number="1", request=accepted, how=Addition())


def _example(name: str) -> bytes:
    return files("hitchworth.web.examples").joinpath(f"{name}.json").read_bytes()


def received(content: bytes) -> Upload:
    """Return a file as a request has it that was received; it ends with whoever holds it."""
    incoming = Incoming(TemporaryFile(), len(content))  # noqa: SIM115
    incoming.write(content)
    return Upload(incoming=incoming, max_pixels=1_000_000)


def _add_photo(store: Store, build: str) -> None:
    photo = files("hitchworth.web.examples").joinpath("stove.jpg").read_bytes()
    what = NewEvidence(
        subject=("stove",), kind="photo", caption="The label below the left burner", file_name="stove.jpg"
    )
    how = Addition(message="The serial number of the stove")
    add_evidence(store, LOCAL_CALLER, build, upload=received(photo), what=what, how=how)


@cache
def example_tag(kind: str, kept: str) -> str:
    """Return the ETag of the present revision of an example build or quote."""
    store = example_store()
    records = store.quotes if kind == "quote" else store.builds
    return f'"{records.present(LOCAL_CALLER.workspace, kept).digest}"'


def _change_of(kept: KeptBuild | KeptQuote, message: str) -> Alteration:
    return Alteration(if_match=f'"{kept.digest}"', message=message)
