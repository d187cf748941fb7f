"""Records that are written a moment later: by one thread, in batches, so that nobody waits for the database."""

from collections import deque
from collections.abc import Callable, Sequence
from itertools import islice
from logging import getLogger
from threading import Condition, Thread
from typing import Generic, TypeVar

from hitchworth.store.errors import BusyError

T = TypeVar("T")

MAX_WAITING = 10_000
_MAX_BATCH = 500

_log = getLogger("hitchworth.store")


class BatchWriter(Generic[T]):
    """Writes what is added to it, in order. Threads may share it. Its own thread lives while something waits.

    While others hold the database it tries again; what cannot be written otherwise, or comes when too many wait, is
    lost, and the log of the process says so.
    """

    def __init__(self, write: Callable[[Sequence[T]], None], what: str) -> None:
        """write: writes a batch, all of it or nothing. what: the words for what would be lost."""
        self._write = write
        self._what = what
        self._waiting: deque[T] = deque()
        self._changed = Condition()
        self._added = self._done = 0
        self._thread: Thread | None = None

    def add(self, record: T) -> None:
        """Have a record written soon."""
        with self._changed:
            if len(self._waiting) >= MAX_WAITING:
                _log.error("%s: one is lost, for %d wait already", self._what, MAX_WAITING)
                return
            self._waiting.append(record)
            self._added += 1
            if self._thread is None:
                self._thread = Thread(target=self._run, name="hitchworth-batch-writer", daemon=True)
                self._thread.start()

    def flush(self, seconds: float) -> bool:
        """Wait until what has been added so far is written, for a limited time. Return whether it is."""
        with self._changed:
            added = self._added
            return self._changed.wait_for(lambda: self._done >= added, seconds)

    def _run(self) -> None:
        while batch := self._next_batch():
            if self._is_settled(batch):
                with self._changed:
                    for _ in batch:
                        self._waiting.popleft()
                    self._done += len(batch)
                    self._changed.notify_all()

    def _next_batch(self) -> tuple[T, ...]:
        """Return what to write next; nothing when the thread is to end."""
        with self._changed:
            if not self._waiting:
                self._thread = None
            return tuple(islice(self._waiting, _MAX_BATCH))

    def _is_settled(self, batch: Sequence[T]) -> bool:
        """Write a batch. Return whether that is done with, one way or the other."""
        try:
            self._write(batch)
        except BusyError:
            return False
        except Exception as error:  # the thread has to go on, or nothing more is written
            _log.error("%s: %d are lost: %s", self._what, len(batch), type(error).__name__)
        return True
