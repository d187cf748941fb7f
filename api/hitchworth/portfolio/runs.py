"""A run: what is revalued, piece by piece, into a folder or an object store, where it can be taken up again.

The place has `plan.json`, which says what the pieces are, and a file of revalued builds for each piece that is done:
`pieces/000000.ndjson`. A piece is there whole or not at all. The same plan makes the same bytes, whatever ran it.
"""

from collections.abc import Iterator, Sequence
from typing import TypeAlias

import msgspec
import obstore
from msgspec import Struct
from obstore.exceptions import AlreadyExistsError
from obstore.store import ObjectStore

from hitchworth.model.portfolio import RevaluationTerms, RevaluedBuild
from hitchworth.portfolio.files import FilePiece
from hitchworth.portfolio.places import PlaceError, open_place, place_errors

PLAN = "plan.json"
_PIECES = "pieces"

_encoder = msgspec.json.Encoder()
_decoder = msgspec.json.Decoder(RevaluedBuild)


class KeptPiece(Struct, frozen=True, kw_only=True, tag="kept"):
    """A part of the kept builds of a workspace: those whose ids begin with these characters."""

    prefix: str


Piece: TypeAlias = FilePiece | KeptPiece


class Plan(Struct, frozen=True, kw_only=True):
    """What is revalued."""

    source: str
    terms: RevaluationTerms
    pieces: tuple[Piece, ...]


class OtherPlanError(Exception):
    """The place has another run: another source, another date, or files that were changed meanwhile."""


class Run:
    """A run in its place. Raises PlaceError wherever the place cannot be read or written."""

    def __init__(self, place: ObjectStore, plan: Plan) -> None:
        self._place = place
        self.plan = plan

    def missing(self) -> tuple[int, ...]:
        """Return the numbers of the pieces that are still to be done."""
        with place_errors():
            there = {each["path"] for batch in obstore.list(self._place, _PIECES) for each in batch}
        return tuple(number for number in range(len(self.plan.pieces)) if _path(number) not in there)

    def builds(self) -> Iterator[RevaluedBuild]:
        """Yield every revalued build, piece by piece."""
        for number in range(len(self.plan.pieces)):
            with place_errors():
                content = bytes(obstore.get(self._place, _path(number)).bytes())
            yield from map(_decoder.decode, content.splitlines())

    def write(self, name: str, content: bytes) -> None:
        """Write a file beside the pieces: the sums, the changes."""
        with place_errors():
            obstore.put(self._place, name, content)


def begin(where: str, plan: Plan) -> Run:
    """Begin a run in a place, or take up the one that is there. Raises OtherPlanError where that is another one."""
    place = open_place(where, make=True)
    try:
        with place_errors():
            obstore.put(place, PLAN, msgspec.json.format(_encoder.encode(plan)), mode="create")
    except PlaceError as error:
        if not isinstance(error.__cause__, AlreadyExistsError):
            raise
        found = _plan(place)
        if (found.source, found.terms) != (plan.source, plan.terms) or _files(found) != _files(plan):
            raise OtherPlanError(f"{where} has the run of another source or date, or a file has been changed") from None
        return Run(place, found)
    return Run(place, plan)


def opened(where: str) -> Run:
    """Return the run of a place. Raises PlaceError where there is none, or it is not finished."""
    place = open_place(where)
    run = Run(place, _plan(place))
    if missing := run.missing():
        raise PlaceError(f"the run in {where} is not finished: {len(missing):,} pieces are missing")
    return run


def terms_of(where: str) -> RevaluationTerms | None:
    """Return the terms of the run that a place has. None: it has none."""
    try:
        return _plan(open_place(where)).terms
    except PlaceError:
        return None


def keep_piece(where: str, number: int, builds: Sequence[RevaluedBuild]) -> None:
    """Write the revalued builds of a piece, whole or not at all."""
    with place_errors():
        obstore.put(open_place(where), _path(number), _encoder.encode_lines(builds))


def _plan(place: ObjectStore) -> Plan:
    try:
        with place_errors():
            return msgspec.json.decode(obstore.get(place, PLAN).bytes(), type=Plan)
    except (PlaceError, msgspec.MsgspecError) as error:
        raise PlaceError(f"there is no run: {error}") from None


def _files(plan: Plan) -> list[Piece]:
    """Return the pieces that are of files. Those of kept builds are as the plan has them: any beginnings do."""
    return [piece for piece in plan.pieces if isinstance(piece, FilePiece)]


def _path(number: int) -> str:
    return f"{_PIECES}/{number:06}.ndjson"
