"""Tax on a quote: as stated, as a rule of the place says, or asked; by line or on the total."""

from decimal import Decimal

import pytest

from hitchworth.model.pricing import Contingency, Discount, LaborKind, QuoteTax, TaxTreatment
from hitchworth.model.quote import Quote
from quotes import D, camper, part, quoted, work


def taxed(*kinds: str, rate: str | None = "0.1", **more: object) -> QuoteTax:
    """Tax at the rate on these kinds and on no other."""
    every = ("materials", "fabrication", "repair", "installation", "contingency")
    treatments = tuple(TaxTreatment(kind=kind, taxed=kind in kinds) for kind in every)  # type: ignore[arg-type]
    return QuoteTax(rate=None if rate is None else D(rate), treatments=treatments, **more)  # type: ignore[arg-type]


def asked(found: Quote) -> list[tuple[str, str, str, str]]:
    return [(each.code, each.about, str(each.base), str(each.at_stake)) for each in found.questions]


def by_kind(found: Quote) -> dict[str | None, tuple[bool | None, str, str, str]]:
    return {each.kind: (each.taxed, each.basis, str(each.base), str(each.tax)) for each in found.taxes}


def test_what_is_stated_is_taxed_and_nothing_is_asked() -> None:
    found = quoted(
        part("sheet", 100),
        work("cut", 1, 50),
        tax=taxed("materials"),
        labor_kinds=(LaborKind(id="cut", kind="fabrication"),),
    )
    assert by_kind(found) == {
        "materials": (True, "stated", "100.00", "10.00"),
        "fabrication": (False, "stated", "50.00", "0.00"),
    }
    assert (str(found.totals.total), found.totals.total_at_most, asked(found)) == ("160.00", D("160.00"), [])


def test_a_kind_can_have_a_rate_of_its_own() -> None:
    tax = QuoteTax(rate=D("0.1"), treatments=(TaxTreatment(kind="materials", taxed=True, rate=D("0.02")),))
    assert str(quoted(part("sheet", 100), tax=tax).totals.tax) == "2.00"


def test_a_rate_of_nothing_is_no_tax_and_no_question() -> None:
    found = quoted(part("sheet", 100), work("cut", 1, 50), build=None, tax=QuoteTax(rate=D(0)))
    assert by_kind(found) == {
        "materials": (False, "no_tax", "100.00", "0.00"),
        None: (False, "no_tax", "50.00", "0.00"),
    }
    assert found.questions == ()


def test_what_is_not_known_is_asked_with_what_hangs_on_it() -> None:
    found = quoted(
        part("sheet", 100), contingency=Contingency(amount=D(20), unused_returned=True), tax=QuoteTax(rate=D("0.1"))
    )
    assert asked(found) == [
        ("taxed_kind", "materials", "100.00", "10.00"),
        ("taxed_kind", "contingency", "20.00", "2.00"),
    ]
    assert (str(found.totals.total), str(found.totals.total_at_most)) == ("120.00", "132.00")
    assert [line.taxed for line in found.lines] == [None]


def test_without_a_rate_it_is_asked_for_and_no_greatest_total_is_known() -> None:
    found = quoted(part("sheet", 100), tax=taxed("materials", rate=None))
    assert asked(found) == [("tax_rate", "", "100.00", "None")]
    assert (str(found.totals.total), found.totals.total_at_most) == ("100.00", None)
    assert found.lines[0].taxed is True
    unknown = quoted(part("sheet", 100), tax=QuoteTax())
    assert asked(unknown) == [("tax_rate", "", "100.00", "None"), ("taxed_kind", "materials", "100.00", "None")]


def test_nothing_is_asked_about_what_costs_nothing() -> None:
    assert quoted(part("gift", 0), tax=QuoteTax()).questions == ()
    assert quoted(part("gift", 0), tax=QuoteTax()).taxes == ()


# Idaho: repair labor is not taxed where the invoice shows it apart; fabrication always is; installation was not read.
@pytest.mark.parametrize(
    ("kind", "apart", "tax", "basis"),
    [
        ("repair", True, "1.50", "rule"),
        ("repair", False, "3.90", "rule"),
        ("fabrication", True, "3.90", "rule"),
        ("installation", True, "1.50", "open"),
    ],
)
def test_a_rule_of_the_place_says_what_is_taxed(kind: str, apart: bool, tax: str, basis: str) -> None:
    found = quoted(
        build=camper(part("hitch", 25), work("weld", 1, 40), jurisdiction="US-ID"),
        tax=QuoteTax(rate=D("0.06"), labor_stated_apart=apart),
        labor_kinds=(LaborKind(id="weld", kind=kind),),  # type: ignore[arg-type]
    )
    assert str(found.totals.tax) == tax
    assert by_kind(found)[kind][1] == basis
    source: dict[str | None, str] = {each.kind: each.source for each in found.taxes}
    assert ("Idaho" in source[kind]) == (basis == "rule")


def test_the_place_of_the_sale_goes_before_that_of_the_registration() -> None:
    build = camper(part("sheet", 100), jurisdiction="US-ID")
    assert str(quoted(build=build, tax=QuoteTax(rate=D("0.1"), place="US-TX")).totals.tax) == "10.00"
    assert quoted(build=build, tax=QuoteTax(rate=D("0.1"), place="US-OR")).questions[0].about == "materials"


def test_what_is_stated_goes_before_the_rule_of_the_place() -> None:
    exempt = QuoteTax(rate=D("0.06"), treatments=(TaxTreatment(kind="materials", taxed=False),))
    assert str(quoted(build=camper(part("hitch", 25), jurisdiction="US-ID"), tax=exempt).totals.tax) == "0.00"


def test_work_of_an_unknown_kind_is_asked_about_only_where_the_kinds_differ() -> None:
    differ = quoted(work("cut", 1, 50), tax=taxed("fabrication", "repair"))
    assert asked(differ) == [("kind_of_work", "cut", "50.00", "5.00")]
    assert by_kind(differ) == {None: (None, "open", "50.00", "0.00")}
    alike = quoted(work("cut", 1, 50), tax=taxed("fabrication", "repair", "installation"))
    assert (asked(alike), by_kind(alike)) == ([], {None: (True, "stated", "50.00", "5.00")})


def test_the_most_that_work_of_an_unknown_kind_may_bear_is_the_highest_rate() -> None:
    treatments = (
        TaxTreatment(kind="fabrication", taxed=True, rate=D("0.2")),
        TaxTreatment(kind="repair", taxed=True, rate=D("0.05")),
        TaxTreatment(kind="installation", taxed=False),
    )
    found = quoted(work("cut", 1, 50), tax=QuoteTax(rate=D("0.1"), treatments=treatments))
    assert asked(found) == [("kind_of_work", "cut", "50.00", "10.00")]
    nowhere = quoted(work("cut", 1, 50), tax=QuoteTax(treatments=treatments[:2]))
    assert asked(nowhere) == [("tax_rate", "", "50.00", "None"), ("kind_of_work", "cut", "50.00", "None")]


def test_a_price_that_includes_tax_is_not_taxed_again() -> None:
    found = quoted(part("kit", 100, price_includes="all"), tax=taxed("materials"))
    assert by_kind(found) == {"materials": (False, "included", "100.00", "0.00")}


def test_tax_is_on_the_price_less_discount() -> None:
    found = quoted(part("sheet", 100), discount=Discount(reason="friend", amount=D(20)), tax=taxed("materials"))
    assert (str(found.totals.discount), str(found.totals.tax)) == ("20.00", "8.00")


# Three lines of 0.15 at 10 %: 0.015 each. By line each is 0.02, 0.06 together; on the total 0.045 is 0.05, and of the
# equal remainders those of a and b get a cent more.
@pytest.mark.parametrize(("basis", "lines"), [("line", ["0.02", "0.02", "0.02"]), ("total", ["0.02", "0.02", "0.01"])])
def test_tax_is_rounded_by_line_or_once_on_the_total(basis: str, lines: list[str]) -> None:
    found = quoted(*(part(name, "0.15") for name in "abc"), tax=taxed("materials", basis=basis))
    assert [str(line.tax) for line in found.lines] == lines
    assert found.totals.tax == sum(map(D, lines), Decimal(0))


def test_the_contingency_is_taxed_as_stated() -> None:
    found = quoted(part("sheet", 100), contingency=Contingency(rate=D("0.1")), tax=taxed("contingency"))
    assert by_kind(found)["contingency"] == (True, "stated", "10.00", "1.00")
    assert str(found.totals.tax) == "1.00"
    assert str(found.lines[0].tax) == "0.00"


def test_a_kind_taxed_at_a_rate_of_nothing_has_no_tax() -> None:
    treatments = (TaxTreatment(kind="materials", taxed=True, rate=D(0)),)
    found = quoted(part("sheet", 100), tax=QuoteTax(rate=D("0.1"), treatments=treatments))
    assert (str(found.totals.tax), found.questions, found.totals.total_at_most) == ("0.00", (), D(100))
