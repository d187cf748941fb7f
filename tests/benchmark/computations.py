"""The computations: a body in, an answer in words as a body out, as the API and the batch go from one to the other."""

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from itertools import repeat
from typing import Any

import msgspec
from msgspec import Struct

from benchmark import bodies
from benchmark.timing import Job
from hitchworth import appraisal
from hitchworth.localization.localize import localize
from hitchworth.model.estimate import Estimate
from hitchworth.model.request import EstimateRequest, GapRequest, ValueCurveRequest
from hitchworth.operations.appraisals import create_estimate, create_gap_statement, create_value_curve
from hitchworth.operations.batches import Lines, create_estimate_batch
from hitchworth.operations.requests import read_request

MAX_LINE = 10_000_000
FLOOR = "floor: decode and encode the body"
encode = msgspec.json.Encoder().encode


def floor(kind: type[Struct]) -> Callable[[bytes], bytes]:
    """Return what decodes a body into its type and encodes it again."""
    decode = msgspec.json.Decoder(kind).decode
    return lambda body: encode(decode(body))


def answer(kind: type[Any], operation: Callable[[Any], object]) -> Callable[[bytes], bytes]:
    """Return the way from a body to its answer: decode, check, compute, put into words, encode."""
    return lambda body: encode(operation(read_request(body, kind)))


def estimates(sizes: Sequence[int], shape: bodies.Shape) -> Iterator[Job]:
    """An estimate by the number of lines: of a new build, of the one before again, its parts, and a line of a batch."""
    for size in sizes:
        body = bodies.request(bodies.build(size, shape))
        new = bodies.renewed(body)
        request = read_request(body, EstimateRequest)
        found = appraisal.estimate(request.build, bodies.AS_OF, request.options)
        whole = answer(EstimateRequest, create_estimate)
        yield Job(name=FLOOR, size=size, prepare=new, run=floor(EstimateRequest))
        yield Job(name="estimate of a new build", size=size, prepare=new, run=whole)
        yield Job(name="estimate of the same build again", size=size, prepare=repeat(body).__next__, run=whole)
        yield Job(name="a line of a batch", size=size, prepare=partial(_after, _line, new), run=_batch)
        yield Job(name="part: decode and check", size=size, prepare=new, run=_read)
        yield Job(
            name="part: compute, a new build",
            size=size,
            prepare=partial(_after, _read, new),
            run=lambda request: appraisal.estimate(request.build, bodies.AS_OF, request.options),
        )
        yield Job(name="part: words", size=size, prepare=repeat(found).__next__, run=_worded)
        yield Job(name="part: encode", size=size, prepare=repeat(found).__next__, run=encode)


def gap_statements(cases: Sequence[tuple[int, int, int]], lines: int) -> Iterator[Job]:
    """A gap statement by policies, losses and open terms; the size is policies x losses."""
    of = bodies.build(lines)
    for policies, losses, open_terms in cases:
        new = bodies.renewed(bodies.gap_request(of, policies, losses, open_terms))
        size = policies * losses
        named = f"{open_terms} open terms"
        yield Job(name=f"floor, {named}", size=size, prepare=new, run=floor(GapRequest))
        yield Job(name=f"gap statement, {named}", size=size, prepare=new, run=answer(GapRequest, create_gap_statement))


def value_curves(dates: Sequence[int], lines: int) -> Iterator[Job]:
    """A value curve by the number of dates."""
    of = bodies.build(lines)
    for number in dates:
        new = bodies.renewed(bodies.curve_request(of, number))
        yield Job(name=FLOOR, size=number, prepare=new, run=floor(ValueCurveRequest))
        yield Job(name="value curve", size=number, prepare=new, run=answer(ValueCurveRequest, create_value_curve))


def _after(step: Callable[[bytes], object], new: Callable[[], bytes]) -> object:
    return step(new())


def _worded(found: Estimate) -> Estimate:
    return localize(found, "en-US", found.currency)


def _read(body: bytes) -> EstimateRequest:
    return read_request(body, EstimateRequest)


def _line(body: bytes) -> bytes:
    return b'{"id":"1",' + body.removeprefix(b"{") + b"\n"


def _batch(line: bytes) -> bytes:
    return b"".join(create_estimate_batch(Lines(MAX_LINE).feed(line), "/", MAX_LINE))
