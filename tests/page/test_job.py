"""The whole job on the page, in a real browser: by touch, by keyboard alone, in every language, and what goes wrong."""

import json
import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect
from pypdf import PdfReader

from hitchworth.demo import demo_body
from hitchworth.localization.locales import available
from page_driving import RECEIPTS, bring, change, computed, open_demo, opened, paid


def test_from_receipts_to_the_sheet(browser: Browser, address: str, tmp_path: Path) -> None:
    """The order of the parts of the dates is asked, then 120.00 + 234.50 = 354.50 of parts are taken over."""
    with opened(browser, address) as page:
        bring(page, "receipts.csv", RECEIPTS)
        page.get_by_label("The month comes first").check()
        page.get_by_role("button", name="Continue").click()
        page.get_by_label("Category of “Mattress”").select_option("furniture")
        page.get_by_label("What do you call the trailer?").fill("Tuesday")
        page.get_by_role("button", name="Use these entries").click()
        computed(page)
        assert page.locator(".short .amount").first.inner_text() == "$354.50"
        page.get_by_text("Add a policy", exact=True).click()
        page.get_by_label("Name of the policy").fill("Offer")
        page.locator(".adding").get_by_role("button", name="Add").first.click()
        expect(page.locator(".waterfall")).to_be_visible()
        page.get_by_label("Which class does its title").select_option("utility_trailer")
        computed(page)
        with page.expect_download() as download:
            page.get_by_role("button", name="Conversation sheet as PDF").click()
        download.value.save_as(tmp_path / "sheet.pdf")
        with page.expect_download() as saved:
            page.get_by_role("button", name="Save as a file").click()
        document = json.loads(saved.value.path().read_text())
    printed = PdfReader(tmp_path / "sheet.pdf").pages[0].extract_text()
    assert "Tuesday" in printed
    assert (download.value.suggested_filename, saved.value.suggested_filename) == (
        "tuesday-conversation-sheet.pdf",
        "tuesday.json",
    )
    assert [part["category"] for part in document["build"]["components"]] == ["stove", "furniture"]
    assert document["build"]["components"][0]["acquired_on"] == "2025-03-04"
    assert document["policies"] == [{"name": "Offer"}]


def test_a_term_a_fact_and_a_date_change_the_figures_at_once(browser: Browser, address: str) -> None:
    """The policy pays 4,606.84 less the deductible: 1,000 first, then 250."""
    with opened(browser, address) as page:
        open_demo(page)
        assert paid(page) == "$3,606.84"
        change(page, "Deductible", "250")
        expect(page.locator(".waterfall .paid .amount")).to_have_text("$4,356.84")
        expect(page.locator("#announcement")).to_contain_text("largest gap $60,491.18")
        page.get_by_label("Value it on").fill("2028-11-01")
        expect(page.locator("#value")).to_contain_text("Figures as of November 1, 2028.")
        page.get_by_text("Facts (").click()
        page.get_by_label("Which fact?").select_option("single_chassis")
        page.get_by_role("group", name="One unit on one chassis").get_by_label("No", exact=True).check()
        expect(page.locator("#class .ledger")).not_to_contain_text("Travel trailer")
        page.get_by_role("group", name="One unit on one chassis").get_by_label("Yes", exact=True).check()
        expect(page.locator("#class .ledger")).to_contain_text("Travel trailer")
        page.get_by_label("Which class does its title").select_option("travel_trailer")
        expect(page.locator("#class .verdict")).to_have_text("The built use fits the registered class.")


def test_what_rests_on_something_unknown_says_so(browser: Browser, address: str) -> None:
    """Of the demo, the payment at worst and at best; of a stove bought used for 80, no range without its price new."""
    stove = {"id": "stove", "description": "Stove", "category": "stove", "quantity": 1, "unit_cost": "80"}
    used = stove | {"acquired_on": "2026-01-01", "bought_used": True}
    with opened(browser, address) as page:
        open_demo(page)
        gap = "“RV actual cash value” would pay $3,606.84 to $45,000.00 for “theft”: terms are not known yet"
        expect(page.locator(".short")).to_contain_text(gap)
    with opened(browser, address) as page:
        bring(
            page, "used.json", json.dumps({"build": {"name": "Box", "currency": "USD", "components": [used]}}).encode()
        )
        computed(page)
        no_range = "at least; no range, because the price new or the rate is not known (entries: 1)"
        expect(page.locator(".short")).to_contain_text(no_range)
        expect(page.locator("#value")).to_contain_text(no_range)


def test_an_answer_from_the_telephone_changes_the_ranking_and_can_be_taken_back(browser: Browser, address: str) -> None:
    with opened(browser, address) as page:
        open_demo(page)
        second = page.locator(".questions > li").nth(1)
        question = second.locator("h3").inner_text()
        second.get_by_text("Note the answer").click()
        second.get_by_role("button", name="Note this answer").click()
        expect(second.get_by_text("Please choose an answer")).to_be_visible()
        second.get_by_label(re.compile("^Built use")).check()
        second.get_by_label("Who said it").fill("Underwriting")
        second.get_by_role("button", name="Note this answer").click()
        expect(page.get_by_role("heading", name="Answers so far")).to_be_visible()
        assert question not in page.locator(".questions").inner_text()
        assert paid(page) == "$34,297.17"
        page.get_by_text("More terms").click()
        expect(page.locator(".answered")).to_have_text(
            "By your noted answer: built use. It counts, and not what stands here."
        )
        page.get_by_role("button", name="Take back the answer").click()
        expect(page.locator(".questions > li").nth(1).locator("h3")).to_have_text(question)


def tab_to(page: Page, name: str, most: int = 400) -> None:
    """Press Tab until the element with this name has the focus."""
    script = """() => {
      const at = document.activeElement;
      return at.getAttribute('aria-label') ?? (at.labels?.[0] ?? at).textContent;
    }"""
    for _ in range(most):
        page.keyboard.press("Tab")
        if page.evaluate(script) == name:
            return
    raise AssertionError(f"{name} is not reached by Tab")


def test_the_job_by_keyboard_alone(browser: Browser, address: str) -> None:
    with opened(browser, address) as page:
        page.keyboard.press("Tab")  # the title of a new view has the focus, what can be reached begins after it
        tab_to(page, "Open the demo")
        page.keyboard.press("Enter")
        computed(page)
        assert page.evaluate("document.activeElement.tagName") == "H1"
        tab_to(page, "Insurance")
        page.keyboard.press("Enter")
        assert page.evaluate("document.activeElement.id") == "insurance-title"
        tab_to(page, "Deductible")
        page.keyboard.press("Control+A")
        page.keyboard.type("250")
        page.keyboard.press("Enter")
        expect(page.locator(".waterfall .paid .amount")).to_have_text("$4,356.84")
        tab_to(page, "Note the answer")
        page.keyboard.press("Enter")
        page.keyboard.press("Tab")
        page.keyboard.press("Space")
        tab_to(page, "Note this answer")
        page.keyboard.press("Enter")
        expect(page.locator("#questions .ledger .amount")).to_have_text("yes")
        tab_to(page, "Conversation sheet as PDF")
        with page.expect_download() as download:
            page.keyboard.press("Enter")
        assert download.value.suggested_filename.endswith(".pdf")


def test_hours_are_added_and_removed(browser: Browser, address: str) -> None:
    """10 h at the 50.00 that a shop asks, which holds its overhead and profit: 500.00. Without it, what was paid: 0."""
    with opened(browser, address) as page:
        bring(page, "box.json", b'{"build": {"name": "Box", "currency": "USD"}}')
        computed(page)
        for market_rate, worth in [("50", "$500.00"), ("", "$0.00")]:
            page.get_by_text("Add hours").click()
            page.get_by_label("What was done?").fill("Framed the walls")
            page.get_by_label("Hours", exact=True).fill("10")
            page.get_by_label("Paid for an hour").fill("0")
            page.get_by_label("What a shop asks for an hour").fill(market_rate)
            page.locator("form", has=page.get_by_label("What was done?")).get_by_role("button", name="Add").click()
            expect(page.locator(".short .amount").first).to_have_text(worth)
            page.get_by_text("Hours (1)").click()
            page.get_by_role("button", name="Remove: Framed the walls").click()
            expect(page.get_by_text("Hours (1)")).to_have_count(0)


def test_ten_questions_make_a_document(browser: Browser, address: str) -> None:
    with opened(browser, address) as page:
        page.get_by_role("button", name="Begin", exact=True).click()
        page.get_by_label("What do you call the trailer?").fill("Box")
        page.get_by_role("button", name="Continue").click()
        page.get_by_label("In which currency").select_option("EUR")
        page.get_by_role("button", name="Continue").click()
        page.get_by_label("Where is it registered").select_option("DE")
        page.get_by_role("button", name="Continue").click()
        for number in range(4, 8):  # going on without an answer leaves the question open, as skipping does
            expect(page.locator(".step")).to_have_text(f"Question {number} of 10")
            page.get_by_role("button", name="Continue" if number % 2 else "Skip this question").click()
        page.get_by_label("What kind of policy").select_option("recreational_vehicle")
        page.get_by_role("button", name="Continue").click()
        page.get_by_role("button", name="Skip this question").click()
        page.get_by_label("What is its deductible?").fill("500")
        page.get_by_role("button", name="Continue").click()
        computed(page)
        assert page.locator("h1").inner_text() == "Box"
        assert page.get_by_label("Where is it registered").input_value() == "DE"
        assert page.get_by_label("Deductible", exact=True).input_value() == "500"
        kept = page.evaluate("JSON.parse(sessionStorage.getItem('hitchworth.draft')).document.build")
        assert kept == {"name": "Box", "currency": "EUR", "jurisdiction": "DE"}


@pytest.mark.parametrize("locale", available())
def test_every_language_has_the_whole_page_in_it(browser: Browser, address: str, locale: str) -> None:
    """Another language than that of the texts leaves nothing of the page in English."""
    with opened(browser, address, locale=locale) as page:
        assert page.evaluate("document.documentElement.lang") == locale
        page.locator(".way button").nth(1).click()
        computed(page)
        headings = page.locator("h2").all_inner_texts()
        amount = page.locator(".short .amount").first.inner_text()
    english = ["Value", "Class", "Insurance", "Questions", "The trailer", "Papers to print", "Keep your work"]
    assert (headings[:7] == english) == locale.startswith("en")
    assert re.sub(r"[^\d,.]", "", amount) == {"de-DE": "64.848,02", "fr-CA": "64848,02"}.get(locale, "64,848.02")


def test_the_language_can_be_chosen_and_is_remembered(browser: Browser, address: str) -> None:
    with opened(browser, address) as page:
        open_demo(page)
        page.get_by_label("Language").select_option("de-DE")
        expect(page.locator("#value-title")).to_have_text("Wert")
        page.reload()
        expect(page.locator("#value-title")).to_have_text("Wert")


def test_numbers_are_read_as_they_are_written_there(browser: Browser, address: str) -> None:
    """1.000,50 is a thousand and a half in German; what can only be an English decimal is taken for one."""
    with opened(browser, address, locale="de-DE") as page:
        page.locator(".way button").nth(1).click()
        computed(page)
        for written, expected in [("1.000,50", "3.606,34"), ("250.00", "4.356,84"), ("1.000", "3.606,84")]:
            change(page, "Selbstbeteiligung", written)
            expect(page.locator(".waterfall .paid .amount")).to_contain_text(expected)


def test_a_lost_connection_loses_nothing_and_is_tried_again(browser: Browser, address: str) -> None:
    with opened(browser, address) as page:
        open_demo(page)
        page.context.set_offline(True)
        change(page, "Deductible", "250")
        expect(page.get_by_role("alert")).to_contain_text("Nothing is lost")
        assert page.get_by_label("Deductible", exact=True).input_value() == "250"
        assert paid(page) == "$3,606.84"
        page.context.set_offline(False)
        expect(page.locator(".waterfall .paid .amount")).to_have_text("$4,356.84")
        expect(page.get_by_role("alert")).to_have_count(0)


def test_a_part_that_lacks_its_choices_gets_them_later(browser: Browser, address: str) -> None:
    """The statement is there, and the connection is lost before the classes of the place are."""
    with opened(browser, address) as page:
        page.route("**/v1/definitions*", lambda route: route.abort("internetdisconnected"))
        open_demo(page)
        expect(page.get_by_role("alert")).to_contain_text("Nothing is lost")
        expect(page.locator("#registered-class")).to_have_count(0)
        page.unroute("**/v1/definitions*")
        page.get_by_role("button", name="Try again").click()
        expect(page.locator("#registered-class")).to_be_visible()
        expect(page.get_by_role("alert")).to_have_count(0)


@pytest.mark.parametrize(
    ("path", "shown"), [("texts/de-DE.json", "Sprache"), ("begin.js", "What do you call the trailer?")]
)
def test_a_view_or_a_language_that_does_not_come_is_asked_for_again(
    browser: Browser, address: str, path: str, shown: str
) -> None:
    with opened(browser, address) as page:
        page.route(f"**/page/{path}", lambda route: route.abort("internetdisconnected"))
        if path == "begin.js":
            page.get_by_role("button", name="Begin").click()
        else:
            page.get_by_label("Language").select_option("de-DE")
        expect(page.get_by_role("alert")).to_contain_text("Nothing is lost")
        page.unroute(f"**/page/{path}")
        page.get_by_role("button", name="Try again").click()
        expect(page.get_by_text(shown).first).to_be_visible()
        expect(page.get_by_role("alert")).to_have_count(0)


def test_a_fault_leads_to_its_field(browser: Browser, address: str) -> None:
    with opened(browser, address) as page:
        open_demo(page)
        change(page, "Deductible", "a lot")
        link = page.get_by_role("alert").get_by_role("link")
        expect(link).to_have_text(
            'RV actual cash value, Deductible: Not a number; expected: a number, such as "12.50", or nothing'
        )
        field = page.get_by_label("Deductible", exact=True)
        expect(field).to_have_attribute("aria-invalid", "true")
        link.click()
        expect(field).to_be_focused()
        change(page, "Deductible", "250")
        expect(page.get_by_role("alert")).to_have_count(0)
        assert field.get_attribute("aria-invalid") is None


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("photo.csv", bytes(range(256)) * 20),
        ("note.csv", b"hello world this is no receipts\n"),
        ("camper.json", b'{"build": {"name": 5}}'),
        ("camper.yaml", b"a: ["),
    ],
)
def test_a_file_that_cannot_be_read_is_told_and_changes_nothing(
    browser: Browser, address: str, name: str, content: bytes
) -> None:
    with opened(browser, address) as page:
        bring(page, name, content)
        expect(page.get_by_role("alert")).to_contain_text(f"{name} could not be read. Nothing was changed.")
        expect(page.get_by_role("alert")).to_be_focused()
        assert page.get_by_role("alert").get_by_role("listitem").count() > 0


def test_a_document_and_a_workbook_open_as_they_are(browser: Browser, address: str) -> None:
    with opened(browser, address) as page:
        workbook = page.request.get(f"{address}/v1/workbook-template?demo=true").body()
        bring(page, "demo.xlsx", workbook)
        computed(page)
        assert paid(page) == "$3,606.84"
        page.get_by_role("link", name="Hitchworth").click()
        bring(page, "demo.json", demo_body())
        expect(page.locator("#value")).to_contain_text("Figures as of November 1, 2026.")


def test_what_was_typed_is_there_after_a_reload(browser: Browser, address: str) -> None:
    with opened(browser, address) as page:
        page.on("dialog", lambda dialog: dialog.accept())
        open_demo(page)
        change(page, "Deductible", "250")
        expect(page.locator(".waterfall .paid .amount")).to_have_text("$4,356.84")
        page.reload()
        expect(page.locator(".waterfall .paid .amount")).to_have_text("$4,356.84")


def test_a_browser_without_room_says_so(browser: Browser, address: str) -> None:
    with opened(browser, address) as page:
        page.evaluate(
            "() => { Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError') } }"
        )
        open_demo(page)
        expect(page.get_by_role("alert")).to_contain_text("Save it as a file now")


def test_what_somebody_entered_is_never_markup(browser: Browser, address: str) -> None:
    name = "<img src=x onerror=\"document.title='run'\">"
    with opened(browser, address) as page:
        bring(page, "evil.json", json.dumps({"build": {"name": name, "currency": "USD"}}).encode())
        computed(page)
        assert page.locator("h1").inner_text() == name
        assert page.locator("main img").count() == 0
