"""How the page is made: accessible, small, narrow enough, under a policy that holds; and its texts all there."""

import re
from importlib.resources import files

import pytest
from playwright.sync_api import Browser, Page, expect

from hitchworth.localization.locales import available
from hitchworth.localization.texts import texts
from page_driving import RECEIPTS, accessibility_faults, bring, change, computed, open_demo, opened

FOLDER = files("hitchworth.web").joinpath("page_files")
SCRIPTS = {file.name: file.read_text("utf-8") for file in FOLDER.iterdir() if file.name.endswith(".js")}
SIZES = [(320, 640), (360, 740), (800, 900), (1400, 900)]


def unfold(page: Page) -> None:
    """Open everything that is folded."""
    page.evaluate("document.querySelectorAll('details').forEach((each) => (each.open = true))")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_view_meets_wcag_aa(browser: Browser, address: str, scheme: str) -> None:
    with opened(browser, address, color_scheme=scheme) as page:
        assert accessibility_faults(page) == []
        page.get_by_role("button", name="Begin", exact=True).click()
        expect(page.locator(".step")).to_be_visible()
        assert accessibility_faults(page) == []
        page.get_by_role("link", name="Hitchworth").click()
        bring(page, "receipts.csv", RECEIPTS)
        page.get_by_label("The month comes first").check()
        assert accessibility_faults(page) == []
        page.get_by_role("button", name="Continue").click()
        expect(page.get_by_label("What do you call the trailer?")).to_be_visible()
        assert accessibility_faults(page) == []
        page.get_by_role("link", name="Hitchworth").click()
        open_demo(page)
        page.get_by_role("button", name="Show all 50 questions").click()
        change(page, "Deductible", "a lot")
        expect(page.get_by_role("alert")).to_be_visible()
        unfold(page)
        assert accessibility_faults(page) == []


@pytest.mark.parametrize("locale", available())
def test_nothing_is_wider_than_the_window_and_targets_are_large(browser: Browser, address: str, locale: str) -> None:
    """44 px: Success Criterion 2.5.5 of WCAG 2.2. Links within a sentence are excepted there; the page has none."""
    script = """[...document.querySelectorAll('a:not(.skip), button, input, select, textarea, summary')]
        .filter((each) => each.checkVisibility())
        .map((each) => (each.matches('[type=radio], [type=checkbox]') ? each.closest('label') : each))
        .filter((each) => each.getBoundingClientRect().height < 44).map((each) => each.outerHTML)"""
    with opened(browser, address, locale=locale) as page:
        assert page.evaluate(script) == []
        page.locator(".way button").nth(1).click()
        computed(page)
        unfold(page)
        for width, height in SIZES:
            page.set_viewport_size({"width": width, "height": height})
            assert page.evaluate("document.documentElement.scrollWidth") <= width
        assert page.evaluate(script) == []


@pytest.mark.parametrize("locale", available())
def test_the_first_view_is_small_and_comes_from_the_server_alone(browser: Browser, address: str, locale: str) -> None:
    own = browser.new_context(locale=locale)
    page = own.new_page()
    loaded: dict[str, int] = {}
    page.on("response", lambda response: loaded.update({response.url: len(response.body())}))
    page.goto(address, wait_until="networkidle")
    own.close()
    assert {url for url in loaded if not url.startswith(f"{address}/")} == set()
    assert sum(loaded.values()) < 100_000


def test_the_policy_holds_for_a_script_of_the_server(browser: Browser, address: str) -> None:
    """Asked in a script that the page loads: what a debugger evaluates runs past the policy."""
    script = """
      const tried = {};
      const trying = (name, action) => {
        try { action(); tried[name] = 'done'; } catch (error) { tried[name] = error.name; }
      };
      trying('eval', () => new Function('return 1')());
      trying('markup', () => { document.body.innerHTML = '<p>'; });
      trying('policy', () => trustedTypes.createPolicy('page', {}));
      tried.fetch = await fetch('https://elsewhere.example/').then(() => 'done', (error) => error.name);
      const inline = document.createElement('p');
      inline.setAttribute('style', 'position: fixed');
      document.body.append(inline);
      tried.style = getComputedStyle(inline).position;
      document.documentElement.dataset.tried = JSON.stringify(tried);
    """
    page = browser.new_page()
    page.route("**/page/main.js", lambda route: route.fulfill(body=script, content_type="text/javascript"))
    page.goto(address)
    page.wait_for_function("document.documentElement.dataset.tried")
    tried = page.evaluate("JSON.parse(document.documentElement.dataset.tried)")
    page.close()
    assert tried == {
        "eval": "EvalError",
        "markup": "TypeError",
        "policy": "TypeError",
        "fetch": "TypeError",
        "style": "static",
    }


def test_without_script_it_says_what_to_do_in_every_language(browser: Browser, address: str) -> None:
    own = browser.new_context(java_script_enabled=False)
    page = own.new_page()
    page.goto(address)
    said = page.locator("noscript p").all_inner_texts() or re.findall(r"<p lang=", page.content())
    own.close()
    assert len(said) == len(available())


def test_reduced_motion_is_heeded(browser: Browser, address: str) -> None:
    duration = "getComputedStyle(document.querySelector('.waterfall rect')).transitionDuration"
    for motion, expected in [("reduce", "0s"), ("no-preference", "0.3s, 0.3s")]:
        with opened(browser, address, reduced_motion=motion) as page:
            open_demo(page)
            assert page.evaluate(duration) == expected


def used_codes() -> set[str]:
    """The codes of the texts that the scripts name, or begin with."""
    named = re.findall(r'text\(\s*"(\w+)"', "\n".join(SCRIPTS.values()))
    chosen = re.findall(r'text\([^()]*\? "(\w+)" : "(\w+)"', "\n".join(SCRIPTS.values()))
    return {*named, *(code for pair in chosen for code in pair)}


def test_every_text_is_there_and_none_too_many() -> None:
    codes = set(texts().page)
    begun = set(re.findall(r"text\(`(\w+_)\$\{", "\n".join(SCRIPTS.values())))
    assert used_codes() <= codes
    by_server = {"needs_script", "is_missing", "or_leave_out", "or_nothing", "or_rate", "or_above", "or_lower"}
    assert {
        code for code in codes - used_codes() - by_server if not any(code.startswith(each) for each in begun)
    } == set()


@pytest.mark.parametrize("name", sorted(SCRIPTS))
def test_a_script_has_no_words_of_its_own(name: str) -> None:
    """No text with a space that begins with a capital letter stands in quotes: words come from the catalogs."""
    code = re.sub(r"^\s*(//|/?\*).*$", "", SCRIPTS[name], flags=re.MULTILINE)
    assert re.findall(r'"[A-Z][a-z]+ [^"]*"', code) == []
