"""The list of currencies, every row."""

from hitchworth.reference.currencies import currencies, exponent_of


def test_every_row_is_a_code_with_its_decimals() -> None:
    assert all(len(code) == 3 and code.isalpha() and code.isupper() for code in currencies().exponents)
    assert set(currencies().exponents.values()) == {0, 2, 3, 4}
    assert len(currencies().exponents) == 165
    assert "ISO 4217" in currencies().source


def test_what_is_no_currency_has_no_decimals() -> None:
    assert exponent_of("usd") is None
    assert exponent_of("XXX") is None
