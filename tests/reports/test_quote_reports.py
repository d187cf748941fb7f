"""The reports of a quote: each for one reader, and nothing of the workshop's costs for the customer."""

import re
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from io import BytesIO
from typing import Any, TypeVar, get_args

import msgspec
import pytest
from docx import Document
from msgspec.structs import replace
from PIL import Image
from pypdf import PdfReader

from hitchworth.localization.locales import available
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.policy import Policy
from hitchworth.model.pricing import (
    Alternative,
    Certification,
    ContingencyDraw,
    OptionGroup,
    Retainage,
    TaxTreatment,
)
from hitchworth.model.request import QuoteRequest
from hitchworth.operations.quotes import accepted_document, create_quote, create_quote_report, handover_statement
from hitchworth.reports import docx, html, markdown, pdf
from hitchworth.reports.content import (
    Blanks,
    Block,
    Caution,
    Content,
    Facts,
    GroupedTable,
    Heading,
    Listing,
    Logo,
    Paragraph,
    QuestionBox,
    Table,
)
from hitchworth.reports.photo import printable
from hitchworth.reports.quote_catalog import QuoteReportName, make_quote_report
from hitchworth.reports.quote_context import QuoteContext
from quote_reports import HANDED_OVER, example, logo, made, report, with_logo, with_pricing

B = TypeVar("B", bound=Block)
NAMES: tuple[QuoteReportName, ...] = get_args(QuoteReportName)
DISCOUNTED = "What it changes, at prices less the discount"
KNOWN_TAX = tuple(TaxTreatment(kind=kind, taxed=False) for kind in ("installation", "contingency"))
FOR_THE_CUSTOMER: tuple[QuoteReportName, ...] = ("customer-quote", "change-orders", "handover")


def of_kind(content: Content, kind: type[B]) -> list[B]:
    return [block for block in content.blocks if isinstance(block, kind)]


def table(content: Content, caption: str) -> Any:
    found = [block for block in content.blocks if isinstance(block, Table | GroupedTable) and block.caption == caption]
    assert len(found) == 1, [block.caption for block in content.blocks if isinstance(block, Table | GroupedTable)]
    return found[0]


def texts(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for part in value.values():
            yield from texts(part)
    elif isinstance(value, list | tuple):
        for part in value:
            yield from texts(part)


def printed(content: Content) -> str:
    return "\n".join(texts(msgspec.to_builtins(content, builtin_types=(bytes,))))


def money(amount: Decimal, locale: str = "en-US") -> str:
    return localizer_for(locale, "USD").money(amount)


def costs(request: QuoteRequest) -> set[Decimal]:
    """Every amount that only the workshop may see: costs, overhead and profit, of lines and in all."""
    found = create_quote(request)
    own = [amount for line in found.lines for amount in (line.cost, line.overhead, line.profit)]
    bearing = [line.direct_cost for line in found.lines if line.overhead or line.profit]
    known = found.known_cost
    totals = [found.totals.direct_cost, found.totals.overhead, found.totals.profit, known.cost, known.gross_profit]
    rates = [amount for rate in request.pricing.shop_rates for amount in (rate.cost, rate.rate)]
    units = [part.unit_cost for part in request.build.components if part.id != "stove"]  # the customer's own
    return {amount for amount in (*own, *bearing, *totals, *rates, *units) if amount}


@pytest.mark.parametrize("name", FOR_THE_CUSTOMER)
@pytest.mark.parametrize("locale", available())
def test_no_cost_of_the_workshop_is_in_a_report_for_the_customer(name: QuoteReportName, locale: str) -> None:
    shown = printed(report(name, locale))
    found = {
        amount for amount in costs(example()) if re.search(rf"(?<![\d.,]){re.escape(money(amount, locale))}", shown)
    }
    assert found == set()
    for word in ("Overhead", "Profit", "Markup", "Margin"):
        assert localizer_for(locale).translate(word).lower() not in shown.lower().replace("overhead and profit", "")


def test_the_same_search_finds_the_costs_in_the_report_for_the_workshop() -> None:
    shown = printed(report("workshop-quote"))
    lines = create_quote(example()).lines
    assert all(money(line.cost) in shown for line in lines if line.cost)
    assert all(money(line.overhead) in shown for line in lines if line.overhead)
    caution, _ = of_kind(report("workshop-quote"), Caution)
    assert "not for the customer" in caution.items[0]


def test_the_quote_for_the_customer_adds_up_on_paper() -> None:
    content, totals = report("customer-quote"), create_quote(example()).totals
    lines = table(content, "What is quoted")
    shown = [row[-1] for group in lines.groups for row in group.rows]
    assert shown == [money(line.price) for line in sorted_lines()]
    assert lines.foot[-1] == money(totals.price)
    price = table(content, "The price")
    amounts = [Decimal(re.sub(r"[^\d.−]", "", row[1]).replace("−", "-")) for row in price.rows]
    start, discount, contingency, before, *taxes = amounts
    assert start + discount + contingency == before == totals.before_tax
    assert before + sum(taxes) == totals.total
    assert price.foot == ("Total, without the tax still to be settled", money(totals.total))
    assert f"Total with that tax, at most: {money(totals.total_at_most or Decimal(0))}" in printed(content)
    payments = table(content, "Payments")
    assert [row[0] for row in payments.rows] == [payment.milestone for payment in example().pricing.payments]
    assert payments.foot[2] == money(totals.total)


def sorted_lines() -> list[Any]:
    """The lines by category, in the order in which each category first comes."""
    lines = create_quote(example()).lines
    order = list(dict.fromkeys(line.category for line in lines))
    return sorted(lines, key=lambda line: order.index(line.category))


def test_the_customer_reads_quantities_without_waste_and_what_the_lines_are() -> None:
    rows = {row[0]: row[1] for group in table(report("customer-quote"), "What is quoted").groups for row in group.rows}
    assert rows["Birch plywood 12 mm"] == "11"
    assert rows["Cut, glue and seal the body"] == "62 h"
    assert rows["Two-burner stove\nhandling of what you supply"] == ""
    assert (
        rows["Curtains and upholstery\nallowance: you choose later, and the price is adjusted to the actual cost"] == ""
    )


def test_allowances_and_priced_options_have_headings_in_every_language() -> None:
    priced = OptionGroup(name="Color", alternatives=(Alternative(name="White", price=Decimal(90)),), chosen="White")
    for locale, headings in (("en-US", ("Allowances", "Options")), ("de-DE", ("Pauschalen", "Wahlmöglichkeiten"))):
        lines = made(with_pricing(option_groups=(priced,)), "workshop-quote", locale).blocks
        shown = [group.title for block in lines if isinstance(block, GroupedTable) for group in block.groups]
        assert set(headings) <= set(shown)


def test_a_category_of_several_lines_has_a_subtotal() -> None:
    groups = {group.title: group for group in table(report("customer-quote"), "What is quoted").groups}
    assert groups["Electrical"].subtotals == ("", "$1,344.00")
    assert groups["Chassis"].subtotals == ()


def test_options_terms_and_what_is_to_be_settled_are_the_workshop_s_own() -> None:
    content = report("customer-quote")
    options = table(content, "Options: the total if one choice is changed")
    assert [row[0] for row in options.rows] == ["Heater: none", "Heater: Diesel", "Heater: Electric"]
    assert options.rows[1][1] == "in the total"
    shown = printed(content)
    for text in (*example().pricing.exclusions, example().pricing.terms, "Two-burner stove"):
        assert text in shown
    assert "Is this taxed where the trailer is sold: installation labor?" in shown
    assert "What is not drawn goes back to you." in shown
    assert of_kind(content, Blanks)[-1].labels == ("Name", "Date", "Signature")
    assert "Every combination" not in shown


def test_several_options_are_shown_in_every_combination() -> None:
    group = example().pricing.option_groups[0]
    other = OptionGroup(name="Roof", alternatives=(replace(group.alternatives[1], name="Pop-up"),), required=True)
    content = made(with_pricing(option_groups=(group, other)), "customer-quote")
    combinations = table(content, "Every combination of the options")
    assert [column.title for column in combinations.columns] == ["Heater", "Roof", "Total"]
    assert [row[:2] for row in combinations.rows] == [("–", "Pop-up"), ("Diesel", "Pop-up"), ("Electric", "Pop-up")]


def test_what_is_not_given_is_not_printed() -> None:
    bare = replace(example(), build=replace(example().build, owner=None), changes=())
    bare = replace(bare, pricing=type(bare.pricing)())
    content = made(bare, "customer-quote")
    assert content.subtitle == "Quote, June 1, 2026"
    assert [block.text for block in of_kind(content, Heading)] == [
        "To be settled before the quote is final",
        "Acceptance",
    ]
    (facts,) = of_kind(content, Facts)
    assert [(row.label, row.value) for row in facts.rows] == [("Trailer", "Small plywood camper")]
    assert "Contingency" not in printed(content)
    assert table(content, "The price").rows == (("Price of parts and work", "$4,637.50"),)
    workshop = made(bare, "workshop-quote")
    assert "Overhead and profit" not in {block.caption for block in of_kind(workshop, Table)}


def test_an_empty_quote_can_be_printed() -> None:
    build = replace(example().build, components=(), labor=())
    request = replace(example(), build=build, changes=(), pricing=type(example().pricing)())
    for name in NAMES:
        assert pdf.render(made(request, name)).startswith(b"%PDF")


def test_draws_from_the_contingency_are_shown_with_what_is_left() -> None:
    contingency = example().pricing.contingency
    assert contingency is not None
    drawn = ContingencyDraw(
        event="rotten floor", amount=Decimal(400), drawn_on=date(2026, 7, 1), work_done=Decimal("0.8")
    )
    kept = replace(contingency, draws=(drawn,), unused_returned=False)
    content = made(with_pricing(contingency=kept), "customer-quote")
    draws = table(content, "What was drawn from the contingency")
    assert draws.rows == (("rotten floor\nbelow the agreed minimum", "Jul 1, 2026", "$400.00", "$239.84", "$383.90"),)
    assert draws.foot == ("Total", "", "$400.00", "$239.84", "")
    assert "What is not drawn does not go back." in printed(content)


def test_payments_have_days_shares_and_what_was_paid() -> None:
    first, *others = example().pricing.payments
    paid = replace(first, due_on=date(2026, 6, 15), paid_on=date(2026, 6, 12))
    content = made(with_pricing(payments=(paid, *others), retainage=None), "customer-quote")
    payments = table(content, "Payments")
    assert payments.rows[0] == ("When the quote is accepted\npaid on Jun 12, 2026", "Jun 15, 2026", "30%", "$4,156.21")
    assert [column.title for column in payments.columns] == ["Milestone", "Day", "Share", "Amount"]
    held = table(report("customer-quote"), "Payments")
    assert [column.title for column in held.columns] == ["Milestone", "Share", "Amount", "Retainage", "Amount due"]
    assert held.foot == ("Total", "", "$13,854.04", "$484.89", "$13,369.15")
    none_held = made(with_pricing(retainage=Retainage(rate=Decimal(0), released="at once")), "customer-quote")
    assert "It is released: at once." in printed(none_held)


def test_tax_by_line_is_said_to_be_so() -> None:
    content = made(with_pricing(tax=replace(example().pricing.tax, basis="line")), "customer-quote")
    assert "Tax on materials, 6%, rounded line by line" in printed(content)


def test_the_report_for_the_workshop_says_what_is_left_and_why_what_is_taxed() -> None:
    content, known = report("workshop-quote"), create_quote(example()).known_cost
    shown = printed(content)
    assert f"after discount, which leaves {money(known.gross_profit)}." in shown
    assert "Lines whose cost is not known, so they are in neither figure: 2." in shown
    rows = {row[0]: row for row in table(content, "What is taxed, and why").rows}
    assert rows["Materials"][1].startswith("a published rule\nIdaho State Tax Commission")
    assert rows["Installation labor"][1:] == ("to be settled", "$1,317.12", "6%", "–")
    (markups,) = table(content, "Overhead and profit").rows  # the shop's rates hold theirs, so work bears none
    assert markups == ("Material", "10% of cost\non a cost of $4,546.50", "15% of the price\non a cost of $4,546.50")
    workings = table(content, "How the figures are computed")
    assert workings.groups[-1].title == "The quote as a whole"
    assert ("Price", "2450.00 + 245.00 + 475.59 = 3170.59", "Direct cost + overhead + profit") in workings.groups[
        0
    ].rows
    lines = [row for group in table(content, "Cost and price of every line").groups for row in group.rows]
    assert next(row for row in lines if row[0] == "Birch plywood 12 mm")[1] == "13"
    assert next(row for row in lines if row[0] == "Curtains and upholstery")[2] == "?"


def test_a_tax_rule_that_nobody_read_is_marked_and_the_mark_explained() -> None:
    quote = create_quote(example())
    unread = replace(quote, taxes=tuple(replace(tax, provenance="unverified") for tax in quote.taxes))
    context = QuoteContext(example().build, example().pricing, unread, localizer_for("en-US", "USD"))
    first, *_ = make_quote_report("workshop-quote", context).blocks
    assert first == Paragraph("† Not compared with the published text. Read it before you rely on it.", small=True)
    assert "IDAPA 35.01.02.062 †" in printed(make_quote_report("workshop-quote", context))
    assert "†" not in printed(report("workshop-quote"))


def test_a_compounded_markup_and_notes_are_shown_to_the_workshop() -> None:
    markup = replace(example().pricing.markup, profit_basis="markup", compounded=True)
    content = made(with_pricing(markup=markup, valid_until=None), "workshop-quote")
    assert "15% of cost and overhead\n" in printed(content)
    assert "The quote has no last day on which it can be accepted." in printed(content)


def test_change_orders_show_what_each_does_and_the_contract() -> None:
    content = report("change-orders")
    headings = [block.text for block in of_kind(content, Heading)]
    assert headings == ["Change order 1: Two more solar panels", "Change order 2: No curtains"]
    first, second = (block for block in of_kind(content, Table) if block.caption == DISCOUNTED)
    assert first.rows == (("Solar panel 200 W", "changed", "$479.40", "$958.78", "$479.38", "$28.76"),)
    assert second.foot == ("Total", "", "", "", "−$441.00", "−$26.46")
    contract = table(content, "The contract, with tax")
    assert contract.foot == ("Contract", "$13,894.72")
    assert [row[1] for row in contract.rows] == ["$13,854.04", "$508.14", "−$467.46"]
    assert "The completion date is now September 4, 2026." in printed(content)
    assert content.dated == date(2026, 8, 2)
    assert of_kind(content, Blanks) == []
    payments = table(content, "Payments")
    assert [column.title for column in payments.columns] == ["Milestone", "Amount", "Retainage", "Amount due"]
    assert payments.foot == ("Total", "$13,894.72", "$486.32", "$13,408.40")


def test_change_orders_say_what_their_amounts_are_without() -> None:
    """Whether the installation is taxed is open in the example, and its prices are less a discount."""
    open_tax = "The tax that is still to be settled is not included."
    assert open_tax in printed(report("change-orders"))
    settled = replace(example().pricing.tax, treatments=KNOWN_TAX)
    content = made(with_pricing(tax=settled, discount=None), "change-orders")
    assert open_tax not in printed(content)
    captions = [block.caption for block in of_kind(content, Table)]
    assert captions.count("What it changes") == 2
    assert DISCOUNTED not in captions


def test_a_change_that_nobody_has_accepted_has_room_to_do_so() -> None:
    first, second = example().changes
    pending = replace(second, accepted_by=None, accepted_on=None, credits_overhead_and_profit=None, drop=("plywood",))
    content = made(replace(example(), changes=(first, pending)), "change-orders")
    assert len(of_kind(content, Blanks)) == 1
    assert "Not accepted yet, so it is not in the contract." in printed(content)
    assert "Are overhead and profit credited on what is dropped: Birch plywood 12 mm?" in printed(content)
    last = [block for block in of_kind(content, Table) if block.caption == DISCOUNTED][1]
    assert [column.title for column in last.columns][2:] == [
        "Price before",
        "Price after",
        "Not credited",
        "Change",
        "Tax",
    ]
    assert table(content, "The contract, with tax").foot[1] == "$14,362.18"


def test_what_the_contingency_pays_and_that_there_are_no_changes_is_said() -> None:
    first = replace(example().changes[0], from_contingency=True)
    content = made(replace(example(), changes=(first,)), "change-orders")
    assert "Paid from the contingency: $479.38" in printed(content)
    none = made(replace(example(), changes=()), "change-orders")
    assert "There are no change orders." in printed(none)
    assert none.dated == date(2026, 6, 1)
    no_date = made(replace(with_pricing(completion_on=None), changes=()), "change-orders")
    assert "completion date" not in printed(no_date)


def test_the_handover_is_valued_at_what_the_owner_pays() -> None:
    content = report("handover")
    # The contract of 13,894.72 less its contingency of 639.84, and the stove that the customer brought: 240.
    assert "costs $13,494.88 on September 4, 2026" in printed(content)
    assert content.subtitle == "Handover statement 2026-014, September 4, 2026"
    assert content.dated == HANDED_OVER
    shown = table(content, "Value by part of the trailer, Sep 4, 2026")
    assert shown.foot[1] == "$13,494.88"


def test_the_handover_says_how_many_lines_rest_on_the_quote() -> None:
    # Four parts and three kinds of work are quoted; the stove is the customer's own, the curtains were dropped.
    rest = "rest on the written quote of the workshop until you file the receipt or invoice for them:"
    assert f"Lines that {rest} 7 of 8." in printed(report("handover"))
    build = example().build
    bought = replace(build, components=tuple(part for part in build.components if part.id != "stove"))
    own = made(replace(with_pricing(customer_supplies=()), build=bought), "handover")
    assert "Each line rests on the written quote of the workshop" in printed(own)
    request = replace(with_pricing(quoted_on=example().as_of), as_of=HANDED_OVER)
    none_left = accepted_document(request)
    filed = replace(
        none_left.build,
        components=tuple(replace(part, evidence_grade="receipt") for part in none_left.build.components),
        labor=tuple(replace(entry, evidence_grade="receipt") for entry in none_left.build.labor),
    )
    content = handover_statement(request, replace(none_left, build=filed), None)
    assert "the written quote of the workshop" not in printed(content)


def test_before_anything_is_in_the_trailer_the_handover_states_no_value() -> None:
    none_yet = create_quote_report(replace(example(), as_of=date(2026, 6, 1)), "handover")
    assert "On June 1, 2026 nothing of what was quoted is in the trailer yet" in printed(none_yet)
    assert "$0.00" not in printed(none_yet)
    assert "costs" not in next(block.text for block in of_kind(none_yet, Paragraph))
    captions = [block.caption for block in of_kind(none_yet, GroupedTable)]
    assert not any(caption.startswith("Inventory") for caption in captions)
    assert not of_kind(none_yet, Table)


def test_days_of_the_quote_are_not_those_of_what_came_after() -> None:
    for name in NAMES:
        labels = [fact.label for facts in of_kind(report(name), Facts) for fact in facts.rows]
        assert ("Valid until" in labels) == ("Completion date" in labels) == name.endswith("-quote")


def test_the_handover_has_more_questions_than_have_boxes() -> None:
    captions = [block.caption for block in of_kind(report("handover"), GroupedTable)]
    assert captions[-1].startswith("More questions for the insurer")


@pytest.mark.parametrize("name", NAMES)
def test_every_report_of_a_quote_has_cautions(name: QuoteReportName) -> None:
    (caution,) = (block for block in of_kind(report(name), Caution) if block.title == "Cautions")
    words = " ".join(caution.items)
    for said in ("insurance advice", "Leave gas, line-voltage electrical and structural work", "towing limits"):
        assert said in words


def test_what_is_not_yet_in_the_trailer_at_the_handover_is_counted() -> None:
    early = create_quote_report(replace(example(), as_of=date(2026, 8, 1)), "handover")
    assert "not yet bought on the date: 2." in printed(early)  # two jobs of August
    assert "not yet bought" not in printed(report("handover"))


def test_the_handover_lists_serial_numbers_and_only_what_was_certified() -> None:
    trailer, *others = example().build.components
    numbered = replace(trailer, serial_number="TR-77", model_number="F-510")
    certified = Certification(
        subject="120 V installation", certified_by="B. Electrician, license 4711", certified_on=date(2026, 8, 30)
    )
    request = with_pricing(certifications=(certified,))
    content = made(replace(request, build=replace(request.build, components=(numbered, *others))), "handover")
    rows = [row for group in table(content, "Inventory with serial numbers").groups for row in group.rows]
    assert ("Flatbed trailer 5 x 10 ft", "1", "F-510", "TR-77") in rows
    assert ("Solar panel 200 W", "4", "not on record", "not on record") in rows
    assert not any("Electric" in row[0] or "Curtains" in row[0] for row in rows)
    certificates = table(content, "What was certified, and by whom")
    assert certificates.rows == (("120 V installation", "B. Electrician, license 4711", "Aug 30, 2026", ""),)
    assert "No certificate was entered." not in printed(content)
    assert "No certificate was entered." in printed(report("handover"))


def test_the_handover_asks_about_the_policies_entered_or_about_any() -> None:
    any_policy = report("handover")
    assert "No policy was entered." in printed(any_policy)
    assert len(of_kind(any_policy, QuestionBox)) == 8
    assert "“new policy”" in of_kind(any_policy, QuestionBox)[0].text
    entered = replace(example(), policies=(Policy(name="RV offer"),))
    content = made(entered, "handover")
    assert "No policy was entered." not in printed(content)
    assert "“RV offer”" in of_kind(content, QuestionBox)[0].text
    assert of_kind(content, Caution)[0].items == of_kind(any_policy, Caution)[0].items


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("locale", available())
def test_every_format_in_every_language(name: QuoteReportName, locale: str) -> None:
    content = report(name, locale)
    pages = PdfReader(BytesIO(pdf.render(content))).pages
    width = float(pages[0].mediabox.width)
    assert width == pytest.approx(612 if locale in {"en-US", "es-US", "fr-CA"} else 595.3, abs=0.5)
    assert "Small plywood camper" in pages[0].extract_text()
    assert "Small plywood camper" in html.render(content)
    assert markdown.render(content).startswith("# Small plywood camper\n")
    assert Document(BytesIO(docx.render(content))).core_properties.title == "Small plywood camper"
    assert "{" not in printed(content)
    assert "…" not in printed(content)


def test_the_other_paper_can_be_chosen() -> None:
    assert report("customer-quote", paper="a4").paper == "a4"
    assert report("customer-quote", "de-DE").paper == "a4"


@pytest.mark.parametrize("name", NAMES)
def test_workshop_and_logo_head_every_report(name: QuoteReportName) -> None:
    content = made(with_logo(), name)
    first = content.blocks[0]
    assert isinstance(first, Logo)
    assert first.photo.description == "Logo of Example Trailer Works"
    assert first.photo.data == printable(logo())
    assert "2 Example Road, Exampleville" in printed(content)
    assert "A. Customer" in printed(content)


def test_every_format_shows_the_logo_whole() -> None:
    content = made(with_logo(), "customer-quote")
    assert 'class="logo"' in html.render(content)
    assert len(PdfReader(BytesIO(pdf.render(content))).pages[0].images) == 1
    assert "*Logo of Example Trailer Works*" in markdown.render(content)
    (shape,) = Document(BytesIO(docx.render(content))).inline_shapes
    assert round(shape.width / shape.height, 2) == 3  # 90 x 30


def test_a_wide_logo_is_as_wide_as_it_may_be_and_a_high_one_as_high() -> None:
    workshop = example().pricing.workshop
    assert workshop is not None
    for size, most in (((400, 40), ("width", 64)), ((30, 60), ("height", 20)), ((96, 30), ("height", 20))):
        saved = BytesIO()
        Image.new("RGB", size, "red").save(saved, "PNG")
        content = made(with_pricing(workshop=replace(workshop, logo=saved.getvalue())), "customer-quote")
        (shape,) = Document(BytesIO(docx.render(content))).inline_shapes
        side, millimeters = most
        assert getattr(shape, side).mm == pytest.approx(millimeters, abs=0.1)


def test_what_is_clear_in_a_logo_is_white() -> None:
    picture = Image.open(BytesIO(printable(logo())))
    assert picture.getpixel((80, 15)) == (255, 255, 255)


def test_french_has_a_space_before_a_colon() -> None:
    shown = printed(report("customer-quote", "fr-CA"))
    assert "Total avec cette taxe, au plus : 13" in shown
    assert "Heater : Diesel" in shown


def test_paragraphs_of_the_terms_stay_apart() -> None:
    content = made(with_pricing(terms="First.\n\nSecond.\n\n\n"), "customer-quote")
    assert [block.text for block in of_kind(content, Paragraph)][-2:] == ["First.", "Second."]
    assert isinstance(of_kind(content, Listing)[0], Listing)
