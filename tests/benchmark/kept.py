"""Kept builds on a database: written, read, and listed from the beginning and from far back, by how many are kept.

The time is that of this process: what a PostgreSQL server does in its own is not in it.
"""

from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from functools import partial
from itertools import count
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

from benchmark import bodies
from benchmark.timing import Effort, Job, Result, measured
from hitchworth.model.caller import LOCAL_CALLER
from hitchworth.model.document import Document
from hitchworth.model.kept import BuildPage
from hitchworth.operations.builds import BuildFilter, create_build, get_build, list_builds, replace_build
from hitchworth.operations.changes import Alteration, Creation
from hitchworth.operations.documents import read_document
from hitchworth.operations.paging import Page
from hitchworth.store import Store, open_store
from hitchworth.store.schema import migrate
from postgresql_server import is_installed, postgresql

LINES = 60
PAGE = 20


def kept_builds(sizes: Sequence[int], folder: Path, effort: Effort) -> Iterator[Result]:
    """Return what each operation costs on SQLite, and on PostgreSQL where its server is installed."""
    with ExitStack() as opened:
        places = {"SQLite": str(folder / "builds.db")}
        if is_installed():
            places["PostgreSQL"] = opened.enter_context(postgresql())
        for name, place in places.items():
            with _store(place) as store:
                yield from measured(f"Kept builds, {name}", list(_jobs(store, sizes)), effort)


@contextmanager
def _store(place: str) -> Iterator[Store]:
    migrate(place)
    store = open_store(place)
    try:
        yield store
    finally:
        store.close()


def _jobs(store: Store, sizes: Sequence[int]) -> Iterator[Job]:
    """The jobs at each size: the store is filled up when the first of a size is prepared."""
    body = bodies.request(bodies.build(LINES))
    document = body.replace(b'"as_of":"%s",' % bodies.AS_OF.isoformat().encode(), b"")
    new = bodies.renewed(document)
    numbers = count()

    def filled(size: int) -> str:
        """Fill the store, and return the id of the build that came last."""
        kept = _all(store)
        while len(kept) < size:
            kept.append(create_build(store, LOCAL_CALLER, new(), Creation()).id)
        return kept[-1]

    def renamed(size: int) -> tuple[str, bytes, Alteration]:
        """Return a kept build, other contents for it, and what says that they are meant for its present revision."""
        name = filled(size)
        revision = store.builds.present(LOCAL_CALLER.workspace, name)
        content = document.replace(b'"Benchmark"', b'"Benchmark %d"' % next(numbers))
        return name, content, Alteration(if_match=f'"{revision.digest}"')

    def last_page(size: int) -> str | None:
        """Return where the last page begins."""
        filled(size)
        cursor, page = None, _page(store, None)
        while page.next is not None:
            cursor = _cursor(page)
            page = _page(store, cursor)
        return cursor

    for size in sizes:
        yield Job(name="floor: read the document, no store", size=size, prepare=new, run=_read)
        yield Job(
            name="read",
            size=size,
            prepare=partial(filled, size),
            run=lambda name: get_build(store, LOCAL_CALLER, name),
        )
        yield Job(
            name=f"list, the first {PAGE}",
            size=size,
            prepare=partial(filled, size),
            run=lambda _: _page(store, None),
        )
        yield Job(
            name=f"list, the last {PAGE}",
            size=size,
            prepare=partial(last_page, size),
            run=lambda cursor: _page(store, cursor),
        )
        yield Job(
            name="write the next revision",
            size=size,
            prepare=partial(renamed, size),
            run=lambda given: replace_build(store, LOCAL_CALLER, *given),
        )


def _read(body: bytes) -> Document:
    return read_document(body)


def _page(store: Store, cursor: str | None) -> BuildPage:
    return list_builds(store, LOCAL_CALLER, BuildFilter(sort="name"), Page(limit=PAGE, cursor=cursor))


def _all(store: Store) -> list[str]:
    found: list[str] = []
    page: BuildPage | None = None
    while page is None or page.next is not None:
        page = _page(store, _cursor(page))
        found += [item.id for item in page.items]
    return found


def _cursor(page: BuildPage | None) -> str | None:
    return None if page is None or page.next is None else parse_qs(urlsplit(page.next).query)["cursor"][0]
