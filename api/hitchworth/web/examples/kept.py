"""The store of the examples, the same each time: a build with two revisions, and one in the trash."""

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from functools import cache
from importlib.resources import files
from itertools import chain, count
from tempfile import TemporaryFile

from hitchworth.model.caller import LOCAL_CALLER
from hitchworth.model.kept import KeptBuild
from hitchworth.operations.builds import create_build, patch_build, trash_build
from hitchworth.operations.changes import Addition, Alteration, Creation, SecretCreation
from hitchworth.operations.evidence import NewEvidence, Upload, add_evidence
from hitchworth.operations.keys import create_key
from hitchworth.operations.shares import create_share
from hitchworth.store import Store, open_store
from hitchworth.store.credentials import Credential, Prefix
from hitchworth.store.database import IN_MEMORY
from hitchworth.store.evidence import Incoming

_START = datetime(2026, 11, 1, 9, 30, tzinfo=UTC)
_IDS = ("5f0c9f2e4a1d4e7b", "b2d85a1790c34f6e")

_PUBLIC_PARTS = ("Ex4mpLe1", "Ex4mpLe2")
_SECRET = "an-example-of-43-characters-opening-nothing"
EXAMPLE_LINK = f"hs_{_PUBLIC_PARTS[1]}_{_SECRET}"


def example_store() -> Store:
    """Return a new store in memory with the example builds."""
    minutes, ids = count(), _ids()
    store = open_store(
        IN_MEMORY,
        clock=lambda: _START + timedelta(minutes=next(minutes)),
        new_id=lambda: next(ids),
        new_credential=_credentials(),
    )
    store.workspaces.delete(LOCAL_CALLER.workspace, LOCAL_CALLER.workspace)  # made again at the time of the examples
    document = files("hitchworth.web.examples").joinpath("kept-build.json").read_bytes()
    kept = create_build(store, LOCAL_CALLER, document, Creation(message="What is built so far"))
    patch = b'{"build": {"vin": "1HTCH0000AB000017"}}'
    patch_build(store, LOCAL_CALLER, kept.id, patch, _change_of(kept, "The number on the new plate"))
    _add_photo(store, kept.id)
    second = create_build(store, LOCAL_CALLER, b'{"name": "Boat trailer", "currency": "USD"}', Creation())
    trash_build(store, LOCAL_CALLER, second.id, _change_of(second, "Sold"))
    create_key(store, LOCAL_CALLER, b'{"name": "Quoting script", "scope": "write"}', SecretCreation())
    link = b'{"name": "Adjuster", "expires_at": "2027-01-31T00:00:00Z", "for_policy": "agreed value"}'
    create_share(store, LOCAL_CALLER, kept.id, link, SecretCreation())
    store.access_log.add(
        LOCAL_CALLER.workspace,
        actor="Quoting script",
        key=_PUBLIC_PARTS[0],
        operation="get_build",
        build=kept.id,
        status=200,
        request_id="quote-17",
    )
    return store


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
def example_tag(build: str) -> str:
    """Return the ETag of the present revision of an example build."""
    return f'"{example_store().builds.present(LOCAL_CALLER.workspace, build).digest}"'


def _change_of(kept: KeptBuild, message: str) -> Alteration:
    return Alteration(if_match=f'"{kept.digest}"', message=message)


def _credentials() -> Callable[[Prefix], Credential]:
    """Return what makes the credentials of the examples: they open nothing elsewhere."""
    parts = chain(_PUBLIC_PARTS, (f"Ex4m{number:04}" for number in count(1)))
    return lambda prefix: Credential(prefix=prefix, public=next(parts), secret=_SECRET)


def _ids() -> Iterator[str]:
    yield from _IDS
    yield from (f"{number:016x}" for number in count(1))
