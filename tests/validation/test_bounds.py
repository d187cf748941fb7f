"""Numbers that a field allows, and those that it does not."""

from decimal import Decimal
from importlib import import_module
from pkgutil import iter_modules
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import Struct

from hitchworth import model
from hitchworth.model.indirect_costs import IndirectCosts
from hitchworth.model.numbers import Amount, Quantity
from hitchworth.validation.bounds import bound_faults
from hitchworth.validation.type_inspection import bounds_of, is_record, record_fields, union_members


class Price(Struct, frozen=True):
    """A record with one number."""

    amount: Amount


class Order(Struct, frozen=True):
    """A record with numbers in every kind of field."""

    quantity: Quantity | None
    prices: tuple[Price, ...]
    by_name: dict[str, Price]
    first: Price | str | None


@pytest.mark.parametrize(
    "text",
    [
        "0",
        "-0",
        "0.00",
        "1000000000",
        "1000000000.00000000000",
        "0.000000000001",
        "0E14",
        "0E-32",
        "0.123456789012345678901",
        "0.30000000000000004",
        "999999999.999999999999",
        "1e3",
    ],
)
def test_valid_price(text: str) -> None:
    assert list(bound_faults(Price(Decimal(text)))) == []


@pytest.mark.parametrize(
    "text",
    [
        "-0.01",
        "1000000000.01",
        "1e10",
        "NaN",
        "sNaN",
        "Infinity",
        "-Infinity",
        "1E999999",
        "-1E-999999",
        "1000000000.000000000001",
        "9" * 60,
        "9" * 61,
    ],
)
def test_price_out_of_range(text: str) -> None:
    (fault,) = bound_faults(Price(Decimal(text)))
    assert (fault.pointer, fault.detail) == ("/amount", "Number is out of range")
    assert fault.expected == "a number from 0 to 1,000,000,000"
    assert fault.found == (str(Decimal(text)) if len(text) <= 60 else "9" * 57 + "...")


@pytest.mark.parametrize(
    "text",
    [
        "1E-999999",
        "0E-999999",
        "0E-33",
        "0E15",
        "0E999999",
        "0.000000000000999999",
        "0.1234567890123456789012",
        "1." + "0" * 5000,
    ],
)
def test_price_that_is_too_precise(text: str) -> None:
    (fault,) = bound_faults(Price(Decimal(text)))
    assert (fault.pointer, fault.detail) == ("/amount", "Number is too precise")
    assert fault.expected == "at most 21 digits, and 0 or at least 0.000000000001"
    assert len(fault.found) <= 60


def test_numbers_in_nested_records() -> None:
    bad = Price(Decimal(-1))
    order = Order(quantity=Decimal("1e7"), prices=(Price(Decimal(1)), bad), by_name={"a/b": bad}, first=bad)
    assert [fault.pointer for fault in bound_faults(order)] == [
        "/quantity",
        "/prices/1/amount",
        "/by_name/a~1b/amount",
        "/first/amount",
    ]


@given(st.decimals(allow_nan=True, allow_infinity=True))
def test_valid_numbers_are_short(number: Decimal) -> None:
    if not list(bound_faults(Price(number))):
        assert 0 <= number <= 10**9
        assert number == 0 or number >= Decimal("1e-12")
        assert len(number.as_tuple().digits) <= 21


def test_every_decimal_of_a_request_states_its_bounds() -> None:
    records = [
        record
        for found in iter_modules(model.__path__, f"{model.__name__}.")
        for record in vars(import_module(found.name)).values()
        if is_record(record) and record.__module__ == found.name and record.__struct_config__.forbid_unknown_fields
    ]
    decimals = [(record, field) for record in records for field in record_fields(record) if holds_decimal(field.type)]
    assert IndirectCosts in {record for record, _ in decimals}
    assert [(record, field.name) for record, field in decimals if bounds_of(field.type) is None] == []


def holds_decimal(kind: Any) -> bool:
    return any(member is Decimal or getattr(member, "__origin__", None) is Decimal for member in union_members(kind))
