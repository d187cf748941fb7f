"""What the server gives the page: the page itself to a browser, its files, its texts."""

from importlib.resources import files

import pytest

from hitchworth.demo import demo_body
from hitchworth.localization.locales import available
from hitchworth.localization.texts import texts
from web_server import client

BROWSER = "text/html,application/xhtml+xml,application/xml;q=0.9,image/avif,image/webp,*/*;q=0.8"
"""What a browser accepts when somebody enters an address."""


@pytest.mark.parametrize("accept", ["*/*", "application/json", ""])
def test_a_program_gets_the_addresses_of_the_service(accept: str) -> None:
    with client() as api:
        response = api.get("/", headers={"accept": accept})
    assert response.headers["content-type"] == "application/json"
    assert response.json()["keeps_builds"] is False


def test_a_browser_gets_the_page_under_a_strict_policy() -> None:
    with client() as api:
        response = api.get("/", headers={"accept": BROWSER})
    policy = dict(part.strip().partition(" ")[::2] for part in response.headers["content-security-policy"].split(";"))
    assert response.headers["content-type"] == "text/html; charset=utf-8"
    assert response.headers["vary"] == "accept, accept-encoding"
    assert policy["default-src"] == "'none'"
    assert policy["script-src"] == policy["style-src"] == policy["connect-src"] == "'self'"
    assert policy["require-trusted-types-for"] == "'script'"
    assert policy["frame-ancestors"] == policy["form-action"] == policy["base-uri"] == "'none'"
    assert f'data-locales="{" ".join(available())}"' in response.text
    assert response.text.count("<p lang=") == len(available())


@pytest.mark.parametrize("name", [file.name for file in files("hitchworth.web").joinpath("page_files").iterdir()])
def test_every_file_of_the_page_is_served_and_asked_for_anew(name: str) -> None:
    with client() as api:
        response = api.get(f"/page/{name}")
        if name == "page.html":
            assert response.status_code == 404
            return
        kind = {"js": "text/javascript", "css": "text/css", "svg": "image/svg+xml"}[name.rpartition(".")[2]]
        assert response.headers["content-type"].partition(";")[0] == kind
        assert response.headers["cache-control"] == "public, no-cache"
        again = api.get(f"/page/{name}", headers={"if-none-match": response.headers["etag"]})
    assert (again.status_code, again.content) == (304, b"")


@pytest.mark.parametrize("locale", available())
def test_every_locale_has_the_same_texts(locale: str) -> None:
    with client() as api:
        content = api.get(f"/page/texts/{locale}.json").json()
        faults = api.get(f"/page/faults/{locale}.json").json()
    assert content["locale"] == locale
    assert list(content["page"]) == list(texts().page)
    assert [question["name"] for question in content["start_questions"]] == list(texts().start)[1:11]
    assert dict(faults["expected"])["{expected} or null"] == content["page"]["or_nothing"]


def test_the_currency_of_the_region_is_offered_first() -> None:
    with client() as api:
        first = {locale: api.get(f"/page/texts/{locale}.json").json()["currencies"][0] for locale in available()}
    assert first == {"en-US": "USD", "de-DE": "EUR", "en-GB": "GBP", "es-US": "USD", "fr-CA": "CAD"}


def test_the_demo_is_the_one_of_the_command_line() -> None:
    with client() as api:
        assert api.get("/page/demo.json").content == demo_body()
