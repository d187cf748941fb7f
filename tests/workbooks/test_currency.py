"""The currency of a table that names none: said, or asked where something hints at another one than the build's."""

from datetime import date
from decimal import Decimal

import pytest

from hitchworth.model.build import Build
from hitchworth.model.entry import Component
from imported_tables import asked, faults, imported, notes

GERMAN = "Datum;Händler;Bezeichnung;Gesamtpreis;MwSt.\n03.04.2025;Öhm;Kühlbox;549,00;87,66\n"
PLAIN = "Date,Item,Amount\n2025-03-04,Stove,12.50\n"
STOVE = Component(
    id="stove",
    description="Stove",
    category="stove",
    quantity=Decimal(1),
    unit_cost=Decimal(9),
    acquired_on=date(2025, 1, 2),
)
IN_USD = Build(name="n", currency="USD", components=(STOVE,))


def test_words_that_hint_at_another_currency_are_a_question() -> None:
    for build in (None, IN_USD):
        assert ("currency_of_words", ["CHF", "EUR", "USD"]) in asked(GERMAN, build=build)
    question = next(each for each in imported(GERMAN).questions if each.code == "currency_of_words")
    assert question.parameters["word"] == "MwSt."
    said = imported(GERMAN, build=IN_USD, currency="USD", tax_in_amount="included")
    assert said.questions == ()
    assert faults(GERMAN, build=IN_USD, currency="EUR", tax_in_amount="included") == [
        ("D2", "Exchange rate from EUR to USD is needed")
    ]


def test_a_sign_of_another_currency_is_a_fault_of_the_first_cell_that_has_it() -> None:
    table = "Date,Item,Amount\n2025-03-04,Stove,£9\n2025-03-05,Pump,€8\n2025-03-06,Hose,€7\n2025-03-07,Tap,£6\n"
    assert faults(table) == [("C3", "Another currency than in other cells")]


def test_words_of_the_currency_itself_are_no_question() -> None:
    result = imported(GERMAN, "de-DE", tax_in_amount="included")
    assert result.questions == ()
    assert "currency_assumed" in notes(result)


def test_a_decimal_comma_hints_too() -> None:
    table = "Datum;Artikel;Betrag\n03.04.2025;Kühlbox;549,50\n"
    assert asked(table, build=IN_USD) == [("currency_of_decimals", ["EUR", "USD"])]
    assert imported(table, "fr-CA").questions == ()  # dollars are written so there


@pytest.mark.parametrize("build", [None, IN_USD])
def test_a_table_that_hints_at_nothing_is_told_to_be_in_the_currency_of_the_build(build: Build | None) -> None:
    assert "currency_assumed" in notes(imported(PLAIN, build=build))
    assert "currency_assumed" not in notes(imported(PLAIN, build=build, currency="USD"))
    assert "currency_assumed" not in notes(imported(PLAIN.replace("12.50", "USD 12.50"), build=build))


TWO = "Date,Item,Price,EUR\n2026-03-14,Stove,268.00,246.10\n2026-03-20,Sink,120.00,110.20\n"


def test_the_same_amounts_in_two_currencies_are_a_question() -> None:
    """What counts is asked; the other column is not read, and the header names the currency."""
    assert asked(TWO) == [("amounts_in_two_currencies", ["Price=price", "EUR=price"])]
    (question,) = imported(TWO).questions
    assert [choice.reading for choice in question.choices] == ["268.00", "246.10"]
    dollars, euros = (imported(TWO, columns={header: "price"}) for header in ("Price", "EUR"))
    assert [(part.description, part.unit_cost) for part in euros.components] == [
        ("Stove", Decimal("246.10")),
        ("Sink", Decimal("110.20")),
    ]
    assert [part.unit_cost for part in dollars.components] == [Decimal(268), Decimal(120)]
    assert (dollars.settings.currency, euros.settings.currency) == ("USD", "EUR")


@pytest.mark.parametrize("headers", ["Amount USD,Amount EUR", "Amount,Amount (EUR)", "Amount,€"])
def test_the_words_beside_the_currency_are_the_same_or_there_are_none(headers: str) -> None:
    one, other = headers.split(",")
    assert asked(TWO.replace("Price,EUR", headers)) == [
        ("amounts_in_two_currencies", [f"{one}=amount", f"{other}=amount"])
    ]


def test_other_words_are_another_thing_and_texts_are_no_amounts() -> None:
    assert imported(TWO.replace("Price,EUR", "Price,Deposit EUR")).questions == ()
    assert imported("Date,Item,Price,EUR\n2026-03-14,Stove,268.00,no\n").questions == ()
    assert imported("Date,Item,Price,Tax EUR\n2026-03-14,Stove,268.00,21\n", tax_in_amount="added").questions == ()


def test_a_sign_of_two_currencies_that_are_not_those_of_the_locale_is_asked() -> None:
    assert asked("Date,Item,Amount\n2026-02-14,Lamp,¥500\n") == [("currency", ["CNY", "JPY"])]


def test_codes_of_currencies_are_known_by_their_heading_and_by_themselves() -> None:
    for header in ("Cur", "Curr", "Ccy", "Zone"):
        table = f"Date,Item,Cost,{header}\n2025-03-20,plywood,100.00,USD\n2025-03-21,fan,289.00,CAD\n"
        plywood, fan = imported(table, constants={"exchange_rate": "0.72"}).components
        assert (plywood.currency, fan.currency, fan.exchange_rate) == (None, "CAD", Decimal("0.72"))


@pytest.mark.parametrize(
    ("codes", "currency"), [(("CAD", "USD"), "USD"), (("EUR", "GBP", "GBP"), "GBP"), (("EUR", "EUR"), "EUR")]
)
def test_of_several_codes_that_of_the_place_is_the_currency_else_the_one_of_most_rows(
    codes: tuple[str, ...], currency: str
) -> None:
    rows = "".join(f"2025-03-0{day},thing {day},10,{code}\n" for day, code in enumerate(codes, 1))
    result = imported(f"Date,Item,Cost,Cur\n{rows}", constants={"exchange_rate": "0.7"})
    assert result.settings.currency == currency


def test_a_sign_beside_a_code_holds_for_its_row_only_and_has_to_fit() -> None:
    table = "Date,Item,Cost,Currency\n2025-03-20,plywood,$100.00,USD\n2025-03-21,fan,CA$289.00,CAD\n"
    result = imported(table, constants={"exchange_rate": "0.72"})
    assert (result.settings.currency, [part.currency for part in result.components]) == ("USD", [None, "CAD"])
    assert faults(table.replace("CA$", "€"))[0] == ("C3", "Another currency than its row states")


@pytest.mark.parametrize("others", ["", "$"])
def test_a_sign_beside_few_amounts_does_not_set_the_currency_of_all(others: str) -> None:
    rows = "".join(f"2025-03-0{day},Screws,{others}12.50\n" for day in range(1, 6))
    table = f"Date,Item,Amount\n{rows}2025-03-09,Fan,CA$289.00\n"
    assert asked(table) == [("currency_of_few", ["CAD", "USD"])]
    assert ("currency_of_few", ["CAD", "USD"]) in asked(table, build=IN_USD)
    assert faults(table, currency="USD") == [("C7", "Another currency than declared")]
    assert imported(table, currency="CAD").settings.currency == "CAD"
    assert imported(table.replace(f",{others}12.50", ",CA$12.50")).settings.currency == "CAD"


def test_an_exchange_rate_that_no_row_needs_is_told() -> None:
    rate = {"exchange_rate": "0.72"}
    assert "exchange_rate_unused" in notes(imported(PLAIN, constants=rate))
    table = "Date,Item,Amount,Currency\n2025-03-04,Stove,12.50,USD\n2025-03-05,Fan,9.00,CAD\n"
    assert "exchange_rate_unused" not in notes(imported(table, constants=rate))
