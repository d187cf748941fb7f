"""The digest of a request: equal for equal data, another one for any change."""

import re
from decimal import Decimal

from msgspec.structs import replace

from demo_sheet import demo_statement
from hitchworth.canonical import digest
from hitchworth.demo import demo_request
from hitchworth.model.answer import Answer
from hitchworth.model.build import Build
from hitchworth.model.request import GapRequest

REQUEST = demo_request()


def of(request: GapRequest) -> str:
    assert request.as_of is not None
    return digest(request, request.as_of)


def with_build(**changes: object) -> GapRequest:
    build: Build = replace(REQUEST.build, **changes)
    return replace(REQUEST, build=build)


def test_it_is_short_and_hexadecimal() -> None:
    assert re.fullmatch("[0-9a-f]{12}", of(REQUEST))


def test_language_order_of_names_and_writing_of_numbers_do_not_matter() -> None:
    part = REQUEST.build.components[0]
    same = replace(part, unit_cost=part.unit_cost + Decimal("0.0000"))
    assert str(same.unit_cost) != str(part.unit_cost)
    assert of(replace(REQUEST, locale="de-DE")) == of(REQUEST)
    assert of(with_build(facts=dict(reversed(REQUEST.build.facts.items())))) == of(REQUEST)
    assert of(with_build(components=(same, *REQUEST.build.components[1:]))) == of(REQUEST)


def test_any_change_of_the_data_shows() -> None:
    part = REQUEST.build.components[0]
    dearer = replace(part, unit_cost=part.unit_cost + Decimal("0.01"))
    assert REQUEST.as_of is not None
    changed = (
        with_build(name="another"),
        with_build(components=(dearer, *REQUEST.build.components[1:])),
        replace(REQUEST, answers=(Answer(value=True, fact="has_toilet"),)),
        replace(REQUEST, as_of=REQUEST.as_of.replace(day=2)),
        replace(REQUEST, losses=REQUEST.losses[1:]),
    )
    assert len({of(REQUEST), *map(of, changed)}) == 1 + len(changed)


def test_the_statement_carries_it() -> None:
    assert demo_statement().digest == of(REQUEST)
