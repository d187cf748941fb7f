"""Ten writers on one build: nothing is lost, however often they collide."""

from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from multiprocessing import get_context

from hitchworth.store import Store
from hitchworth.store.chain import fitting
from line_writer import add_lines
from store_changes import change

WRITERS, CHANGES = 10, 5


def test_ten_threads_lose_nothing(where: str, store: Store) -> None:
    build = store.builds.create("default", change(b"")).build
    with ThreadPoolExecutor(WRITERS) as threads:
        list(threads.map(lambda writer: add_lines(where, build, writer, CHANGES), range(WRITERS)))
    assert_nothing_lost(store, build)


def test_ten_processes_lose_nothing(where: str, store: Store) -> None:
    build = store.builds.create("default", change(b"")).build
    with ProcessPoolExecutor(WRITERS, mp_context=get_context("spawn")) as processes:
        started = [processes.submit(add_lines, where, build, writer, CHANGES) for writer in range(WRITERS)]
        for each in started:
            each.result(timeout=120)
    assert_nothing_lost(store, build)


def assert_nothing_lost(store: Store, build: str) -> None:
    lines = store.builds.read("default", build)[1].body.split()
    assert sorted(lines) == sorted(b"%d-%d" % (writer, n) for writer in range(WRITERS) for n in range(CHANGES))
    assert len(list(fitting(store.builds.history("default", build)))) == 1 + len(lines)
