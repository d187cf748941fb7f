"""The lines of a stream, however it is cut into pieces, and no more than one of them at a time."""

from collections.abc import Iterator
from itertools import count, islice, pairwise

from hypothesis import given
from hypothesis import strategies as st

from hitchworth.operations.batches import Line, Lines, create_estimate_batch

TEXT = b'{"a": 1}\n\n  \r\n{"b": "\xc3\xa4"}\r\nx' + b"y" * 20 + b"\nlast"
LINES = [(1, b'{"a": 1}'), (4, b'{"b": "\xc3\xa4"}'), (5, None), (6, b"last")]


def split(pieces: list[bytes], max_bytes: int) -> list[tuple[int, bytes | None]]:
    lines = Lines(max_bytes)
    found = [line for piece in pieces for line in lines.feed(piece)]
    return [(line.number, line.content) for line in (*found, *lines.end())]


@given(cuts=st.lists(st.integers(min_value=0, max_value=len(TEXT)), max_size=8).map(sorted))
def test_lines_do_not_depend_on_how_the_stream_is_cut(cuts: list[int]) -> None:
    places = [0, *cuts, len(TEXT)]
    assert split([TEXT[start:end] for start, end in pairwise(places)], 20) == LINES


def test_a_line_may_be_as_long_as_the_limit() -> None:
    assert split([b"12345\n123456\n12345"], 5) == [(1, b"12345"), (2, None), (3, b"12345")]


def test_an_endless_line_is_not_kept() -> None:
    lines = Lines(1000)
    for _ in range(100):
        assert list(lines.feed(b"x" * 100_000)) == []
        assert len(lines._begun) <= 1000
    assert [line.content for line in lines.feed(b"\nnext\n")] == [None, b"next"]


def test_answers_come_one_by_one_from_lines_without_end() -> None:
    taken = []

    def endless() -> Iterator[Line]:
        for number in count(1):
            taken.append(number)
            yield Line(number=number, content=b'{"build": {"name": "x", "currency": "USD"}, "as_of": "2026-06-01"}')

    found = list(islice(create_estimate_batch(endless(), "/requests/x", 1000), 3))
    assert [answer[:10] for answer in found] == [b'{"line":1,', b'{"line":2,', b'{"line":3,']
    assert taken == [1, 2, 3]
