"""What runs the pieces of a portfolio: this process, several of this machine, or a cluster of Dask.

Each takes a function and its arguments, and yields the results as they come. Whoever stops listening cancels what has
not begun; what has is finished, so that its piece is there.
"""

from collections.abc import Callable, Generator, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from importlib import import_module
from multiprocessing import get_context
from typing import Any, TypeAlias, TypeVar

Task = TypeVar("Task")
Result = TypeVar("Result")

Runner: TypeAlias = Callable[[Callable[[Any], Any], Sequence[Any]], Generator[Any]]


def in_process(work: Callable[[Task], Result], tasks: Sequence[Task]) -> Generator[Result]:
    """Run one after another."""
    yield from map(work, tasks)


def in_pool(processes: int) -> Runner:
    """Run in so many processes of this machine."""

    def run(work: Callable[[Task], Result], tasks: Sequence[Task]) -> Generator[Result]:
        with ProcessPoolExecutor(processes, mp_context=get_context("spawn")) as pool:
            try:
                for done in as_completed([pool.submit(work, task) for task in tasks]):
                    yield done.result()
            finally:
                pool.shutdown(cancel_futures=True)

    return run


def on_dask(address: str | None = None, workers: int | None = None) -> Runner:
    """Run on a cluster of Dask: the one whose scheduler has an address, or one of this machine, made for it.

    Its workers need this package, and reach the source and the place of the run by the same names. Running raises
    ModuleNotFoundError where Dask is not installed.
    """

    def run(work: Callable[[Task], Result], tasks: Sequence[Task]) -> Generator[Result]:
        distributed: Any = import_module("distributed")  # an extra
        where: dict[str, Any] = {"address": address} if address else _local_cluster(workers)
        with distributed.Client(**where) as client:
            futures = client.map(work, tasks, pure=False, retries=2)
            try:
                for future in distributed.as_completed(futures):
                    yield future.result()
            finally:
                client.cancel(futures)

    return run


def _local_cluster(workers: int | None) -> dict[str, Any]:
    return {"n_workers": workers, "threads_per_worker": 1, "dashboard_address": None, "host": "127.0.0.1"}
