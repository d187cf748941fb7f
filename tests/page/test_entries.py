"""Parts, hours and receipts on the page: entered, refused, changed; nothing lost without a question."""

import json
import re
from typing import Any

import pytest
from playwright.sync_api import Browser, Dialog, Page, expect

from hitchworth.web.server import running
from page_driving import bring, change, computed, open_demo, opened, paid

EMPTY = {"build": {"name": "Box", "currency": "USD"}}
STOVE = {
    "id": "stove",
    "description": "Two-burner stove",
    "category": "stove",
    "quantity": 1,
    "unit_cost": "100",
    "acquired_on": "2026-01-01",
}


def open_document(page: Page, content: dict[str, Any]) -> None:
    bring(page, "box.json", json.dumps(content).encode())
    computed(page)


def kept(page: Page) -> dict[str, Any]:
    """The document that is open."""
    found: dict[str, Any] = page.evaluate("JSON.parse(sessionStorage.getItem('hitchworth.draft')).document")
    return found


def fill_part(page: Page, price: str, quantity: str = "1") -> None:
    page.get_by_label("What is it?").first.fill("Shelf")
    page.get_by_label("Category", exact=True).select_option("furniture")
    page.get_by_label("Quantity").fill(quantity)
    page.get_by_label("Price of one").fill(price)
    page.locator("form", has=page.get_by_label("Price of one")).get_by_role("button", name="Add").click()


NO_NUMBERS = [("12abc", "1"), ("12,50", "1"), ("1O5", "1"), ("abc", "1"), ("5", "2 pcs")]


@pytest.mark.parametrize(("price", "quantity"), NO_NUMBERS)
def test_what_is_no_number_is_refused_at_its_field(browser: Browser, address: str, price: str, quantity: str) -> None:
    """12,50 is no number where the comma groups thousands."""
    with opened(browser, address) as page:
        open_document(page, EMPTY)
        page.get_by_text("Add a part").click()
        fill_part(page, price, quantity)
        refused = page.locator("form input:invalid").first
        expect(refused).to_be_visible()
        assert refused.evaluate("each => each.validationMessage") == "A number, such as 12.5"
        assert "components" not in kept(page)["build"]


@pytest.mark.parametrize("price", ["1,234.50", "$1,234.50", "US$1234.50", "1234.50 USD", "USD 1 234.50"])
def test_an_amount_may_have_its_currency_beside_it(browser: Browser, address: str, price: str) -> None:
    with opened(browser, address) as page:
        open_document(page, EMPTY)
        page.get_by_text("Add a part").click()
        fill_part(page, price)
        expect(page.locator(".short .amount").first).to_have_text("$1,234.50")


def test_a_part_is_changed_in_its_place(browser: Browser, address: str) -> None:
    """100.00 with 8.00 of tax, then 150.00 with the same: 158.00 to replace."""
    with opened(browser, address) as page:
        open_document(page, {"build": EMPTY["build"] | {"components": [STOVE | {"tax": "8", "serial_number": "A-1"}]}})
        expect(page.locator(".short .amount").first).to_have_text("$108.00")
        page.get_by_text("Parts (1)").click()
        page.get_by_role("button", name="Change: Two-burner stove").click()
        form = page.locator("#trailer form", has=page.get_by_role("button", name="Take the change over"))
        form.get_by_label("Price of one").fill("150")
        form.get_by_role("button", name="Take the change over").click()
        expect(page.locator(".short .amount").first).to_have_text("$158.00")
        (part,) = kept(page)["build"]["components"]
        assert (part["unit_cost"], part["id"], part["serial_number"]) == ("150", "stove", "A-1")


def test_nothing_entered_is_not_known_and_no_amount_of_nothing(browser: Browser, address: str) -> None:
    with opened(browser, address) as page:
        open_document(page, EMPTY | {"policies": [{"name": "Auto"}], "losses": [{"name": "Theft", "peril": "theft"}]})
        assert page.locator(".short .amount").all_inner_texts()[:2] == ["Not known", "Not known"]
        assert "$0.00" not in page.locator(".short").inner_text()
        expect(page.locator("#value")).to_contain_text("Nothing is entered yet that costs anything.")


def test_choices_of_an_answer_say_what_they_pay_now(browser: Browser, address: str) -> None:
    """After the deductible of the demo falls by 750, each answer of the first open term pays 750 more at least."""
    with opened(browser, address) as page:
        open_demo(page)
        question = page.locator(".questions > li").nth(1)
        question.get_by_text("Note the answer").click()
        question.get_by_label("Who said it").fill("Underwriting")
        before = question.locator("label.option").first.inner_text()
        change(page, "Deductible", "250")
        expect(page.locator(".waterfall .paid .amount")).to_have_text("$4,356.84")
        expect(question.locator("label.option").first).not_to_have_text(before)
        after = question.locator("label.option").first.inner_text()
        low = [float(re.findall(r"\$([\d,.]+\d)", text)[0].replace(",", "")) for text in (before, after)]
        assert low[1] - low[0] == pytest.approx(750)
        assert question.get_by_label("Who said it").input_value() == "Underwriting"


def test_unsaved_work_is_not_replaced_without_a_question(browser: Browser, address: str) -> None:
    with opened(browser, address) as page:
        open_demo(page)
        change(page, "Deductible", "250")
        answers = iter([False, True])
        asked: list[str] = []

        def answer(dialog: Dialog) -> None:
            asked.append(dialog.message)
            dialog.accept() if next(answers) else dialog.dismiss()

        page.on("dialog", answer)
        page.get_by_role("link", name="Hitchworth").click()
        page.get_by_role("button", name="Open the demo").click()
        expect(page.get_by_text("Still open")).to_be_visible()
        page.get_by_role("button", name="Go on").click()
        expect(page.get_by_label("Deductible", exact=True)).to_have_value("250")
        page.get_by_role("link", name="Hitchworth").click()
        page.get_by_role("button", name="Open the demo").click()
        computed(page)
        assert paid(page) == "$3,606.84"
        assert asked == ["The changes to “Standing-height birch camper” are saved nowhere. Go on, and lose them?"] * 2


def test_receipts_begin_a_document_of_their_own_beside_the_demo(browser: Browser, address: str) -> None:
    """2 x 60.00 and 234.50 less 34.50 back: 320.00 in all."""
    rows = ["2025-04-13,Shelf,2,60.00", "2025-04-14,Mattress,1,234.50", "2025-04-20,Mattress refund,1,-34.50"]
    receipts = "\n".join(["Date,Item,Quantity,Price", *rows]).encode()
    with opened(browser, address) as page:
        open_demo(page)
        page.get_by_role("link", name="Hitchworth").click()
        bring(page, "receipts.csv", receipts)
        for answer in ("Price: 2 x 60.00 = 120.00", "Row 3: Mattress"):
            page.get_by_label(answer).check()
            page.get_by_role("button", name="Continue").click()
        expect(page.locator("button.main")).to_have_text("Begin a new document with them")
        expect(page.locator(".total")).to_contain_text("in all $320.00.")
        page.get_by_role("group", name="Do you have the receipts").get_by_label("Yes").check()
        page.locator("button.main").click()
        computed(page)
        expect(page.locator(".short .amount").first).to_have_text("$320.00")
        assert {part.get("evidence_grade") for part in kept(page)["build"]["components"]} == {"receipt"}


def test_the_same_receipts_again_are_counted_and_not_added(browser: Browser, address: str) -> None:
    receipts = b"Date,Item,Price\n2025-04-13,Two-burner stove,120.00\n"
    with opened(browser, address) as page:
        open_document(page, EMPTY)
        for added in (1, 0):
            page.get_by_label("Add receipts or hours").set_input_files(
                {"name": "receipts.csv", "mimeType": "text/csv", "buffer": receipts}
            )
            page.get_by_role("button", name="Add to “Box”").click()
            told = f"Added: {added}. There already, and left as they were: {1 - added}."
            expect(page.locator(".notice.done")).to_have_text(told)


def test_a_row_with_a_fault_can_be_left_out(browser: Browser, address: str) -> None:
    rows = ["2025-02-31,Two-burner stove,120.00", "2025-04-13,Mattress,ninety", "2025-04-14,Shelf,60.00"]
    receipts = "\n".join(["Date,Item,Price", *rows]).encode()
    with opened(browser, address) as page:
        bring(page, "receipts.csv", receipts)
        expect(page.get_by_role("alert")).to_contain_text("receipts.csv could not be read")
        expect(page.get_by_role("alert")).not_to_contain_text("--leave-out")
        page.get_by_role("button", name="Leave out: row 2, 3").click()
        expect(page.get_by_text("1 entries were found")).to_be_visible()
        expect(page.get_by_role("alert")).to_have_count(0)


def test_faults_of_a_table_show_what_stands_there_and_rows_are_left_out_one_by_one(
    browser: Browser, address: str
) -> None:
    rows = ["2025-04-12,Stove,ninety,USD", "2025-02-31,Sink,120.00,USD", "2025-04-13,Fan,60.00,USD"]
    receipts = "\n".join(["Date,Item,Price,Currency", *rows]).encode()
    with opened(browser, address) as page:
        bring(page, "receipts.csv", receipts)
        expect(page.get_by_role("alert")).to_contain_text("found: ninety")
        names = [each.inner_text() for each in page.get_by_role("alert").get_by_role("button").all()]
        assert names == ["Leave out: row 2", "Leave out: row 3", "Leave out: row 2, 3"]
        page.get_by_role("button", name="Leave out: row 2", exact=True).click()
        expect(page.get_by_role("alert")).not_to_contain_text("ninety")
        page.get_by_role("button", name="Leave out: row 3").click()
        expect(page.get_by_text("1 entries were found")).to_be_visible()


def test_an_exchange_rate_that_a_table_needs_is_entered_on_the_page(browser: Browser, address: str) -> None:
    receipts = b"Date,Item,Price,Cur\n2025-04-13,Stove,120.00,USD\n2025-04-14,Fan,100.00,CAD\n"
    with opened(browser, address) as page:
        bring(page, "receipts.csv", receipts)
        expect(page.get_by_role("alert")).not_to_contain_text("--set")
        page.get_by_label("What one CAD was in USD").fill("0.72")
        page.get_by_role("alert").get_by_role("button", name="Continue").click()
        expect(page.get_by_text("2 entries were found")).to_be_visible()


def test_the_sheet_is_about_the_policy_that_is_chosen(browser: Browser) -> None:
    with running() as own, opened(browser, own) as page:
        open_demo(page)
        asked: list[str] = []
        page.on("request", lambda request: asked.append(request.url) if "conversation-sheets" in request.url else None)
        page.get_by_label("The conversation sheet is about").select_option("agreed value")
        with page.expect_download():
            page.get_by_role("button", name="Conversation sheet as Markdown").click()
        assert asked[0].endswith("?for_policy=agreed+value")


def test_a_place_has_its_own_classes_first_and_there_is_a_way_back(browser: Browser, address: str) -> None:
    with opened(browser, address) as page:
        page.get_by_role("button", name="Begin", exact=True).click()
        for _ in range(2):
            page.get_by_role("button", name="Skip this question").click()
        page.get_by_label("Where is it registered").select_option("US-OH")
        page.get_by_role("button", name="Continue").click()
        classes = page.get_by_label("Which class does its title")
        expect(classes.locator("optgroup")).to_have_count(2)
        groups = classes.locator("optgroup").evaluate_all("all => all.map((each) => each.label)")
        assert groups == ["Defined there", "Other classes"]
        page.get_by_role("button", name="Back").click()
        expect(page.get_by_label("Where is it registered")).to_have_value("US-OH")
