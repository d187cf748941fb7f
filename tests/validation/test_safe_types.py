"""No record has a type that msgspec 0.22 decodes into freed memory: a text with a pattern beside a list.

Found by trying it: decoding a list into such a union ends the process with "double free or corruption".
"""

import msgspec
import pytest
from msgspec.inspect import ListType, SetType, StrType, Type, UnionType, VarTupleType, type_info

from hitchworth.model.answer import Answer
from hitchworth.model.document import Document
from hitchworth.model.request import GapRequest, ProgressBillRequest, QuoteVarianceRequest

LISTS = (ListType, SetType, VarTupleType)


def unions(found: object, seen: set[int]) -> list[UnionType]:
    """All unions in a type, however deep."""
    if id(found) in seen:
        return []
    seen.add(id(found))
    inner: list[object] = []
    if isinstance(found, Type | msgspec.inspect.Field):
        inner = [getattr(found, name) for name in found.__struct_fields__]
    elif isinstance(found, tuple | list):
        inner = list(found)
    own = [found] if isinstance(found, UnionType) else []
    return own + [union for part in inner for union in unions(part, seen)]


def is_unsafe(union: UnionType) -> bool:
    patterned = any(isinstance(each, StrType) and each.pattern for each in union.types)
    return patterned and any(isinstance(each, LISTS) for each in union.types)


@pytest.mark.parametrize("record", [Document, GapRequest, Answer, QuoteVarianceRequest, ProgressBillRequest])
def test_no_union_of_a_pattern_and_a_list(record: type) -> None:
    found = unions(type_info(record), set())
    assert any(isinstance(each, StrType) for union in found for each in union.types)
    assert [union for union in found if is_unsafe(union)] == []


def test_it_would_find_one() -> None:
    assert is_unsafe(UnionType((StrType(pattern="^x$"), VarTupleType(StrType()))))
    assert not is_unsafe(UnionType((StrType(), VarTupleType(StrType(pattern="^x$")))))
