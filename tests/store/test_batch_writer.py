"""What is written later: in order, in batches, again while the database is busy, and never without a bound."""

from collections.abc import Sequence
from threading import Event

import pytest

from hitchworth.store import batch_writer
from hitchworth.store.batch_writer import BatchWriter
from hitchworth.store.errors import BusyError, FullError


class Sink:
    """Where batches go: it can be closed for a while, and fail."""

    def __init__(self) -> None:
        self.open = Event()
        self.failures: list[Exception] = []
        self.batches: list[list[int]] = []
        self.writer = BatchWriter(self.write, "Numbers")

    def write(self, numbers: Sequence[int]) -> None:
        assert self.open.wait(10)
        if self.failures:
            raise self.failures.pop(0)
        self.batches.append(list(numbers))

    @property
    def written(self) -> list[int]:
        return [number for batch in self.batches for number in batch]


def test_nobody_waits_and_everything_is_written_in_order() -> None:
    sink = Sink()
    for number in range(1234):
        sink.writer.add(number)
    assert not sink.writer.flush(0.01)
    sink.open.set()
    assert sink.writer.flush(10)
    assert sink.written == list(range(1234))
    assert max(map(len, sink.batches)) == 500


def test_it_goes_on_after_a_rest() -> None:
    sink = Sink()
    sink.open.set()
    for number in range(3):
        sink.writer.add(number)
        assert sink.writer.flush(10)
    assert sink.written == [0, 1, 2]


def test_what_a_busy_database_refuses_is_written_again() -> None:
    sink = Sink()
    sink.failures = [BusyError("busy"), BusyError("busy")]
    sink.open.set()
    sink.writer.add(1)
    assert sink.writer.flush(10)
    assert sink.written == [1]


def test_what_cannot_be_written_is_lost_and_said(caplog: pytest.LogCaptureFixture) -> None:
    sink = Sink()
    sink.failures = [FullError("full")]
    sink.open.set()
    sink.writer.add(1)
    assert sink.writer.flush(10)
    sink.writer.add(2)
    assert sink.writer.flush(10)
    assert sink.written == [2]
    assert "Numbers: 1 are lost: FullError" in caplog.text


def test_no_more_wait_than_there_is_room_for(monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture) -> None:
    monkeypatch.setattr(batch_writer, "MAX_WAITING", 3)
    sink = Sink()
    for number in range(5):
        sink.writer.add(number)
    sink.open.set()
    assert sink.writer.flush(10)
    assert sink.written == [0, 1, 2]
    assert caplog.text.count("Numbers: one is lost, for 3 wait already") == 2
