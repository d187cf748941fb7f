"""The page for people: a client of the API in the browser. Its figures come from the API, its texts from the catalogs.

It needs no build: the browser gets the files of page_files/ as they are. Nothing loads from elsewhere.
"""

from collections.abc import Callable
from functools import cache, partial
from html import escape
from importlib.resources import files
from typing import Any

import msgspec
from babel.numbers import get_territory_currencies
from litestar.handlers import HTTPRouteHandler

from hitchworth.demo import demo_body
from hitchworth.localization.faults import fault_texts
from hitchworth.localization.locales import available
from hitchworth.localization.localizer import localizer_for
from hitchworth.localization.terms import VALUE_FORMATS
from hitchworth.localization.texts import texts
from hitchworth.operations.renderings import JSON
from hitchworth.operations.starting_questions import STARTING_QUESTIONS
from hitchworth.reference.currencies import currencies
from hitchworth.reports.catalog import TITLES
from hitchworth.web.static_content import content_route
from hitchworth.workbooks.imports import FIELD_OPTIONS
from hitchworth.workbooks.rows import OR_LEAVE_OUT

CONTENT_SECURITY_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; connect-src 'self'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'; "
    "require-trusted-types-for 'script'; trusted-types 'none'"
)
"""The page runs and shows only what this server sends, is in no frame, and its script never makes HTML from text."""

LABELS = (
    "addressee",
    "basis",
    "category",
    "class",
    "evidence_kind",
    "extent",
    "fact",
    "number_kind",
    "order",
    "peril",
    "policy_kind",
    "settles_as",
    "term",
    "term_state",
    "values_by",
    "yes_no",
)
"""The groups of labels that the page shows."""

_START = (*(question.name for question in STARTING_QUESTIONS), "policy_name")
"""Of the texts that begin a document, those that the page shows."""

_TYPES = {".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".svg": "image/svg+xml"}
_FOLDER = files("hitchworth.web").joinpath("page_files")


def page_routes() -> list[HTTPRouteHandler]:
    """Return the routes of what the page loads: its script, its styles, its texts and the demo."""
    names = sorted(file.name for file in _FOLDER.iterdir())
    return [
        *(
            content_route(f"/page/{name}", _TYPES[suffix], _FOLDER.joinpath(name).read_bytes)
            for name in names
            if (suffix := f".{name.rpartition('.')[2]}") in _TYPES
        ),
        *(content_route(f"/page/texts/{locale}.json", JSON, partial(page_texts, locale)) for locale in available()),
        *(content_route(f"/page/faults/{locale}.json", JSON, partial(page_faults, locale)) for locale in available()),
        content_route("/page/demo.json", JSON, demo_body),
    ]


@cache
def page_html() -> bytes:
    """Return the page. It says in every language what a browser without script has to do."""
    needed = texts().page["needs_script"]
    sentences = "\n".join(
        f'<p lang="{locale}">{escape(localizer_for(locale).translate(needed))}</p>' for locale in available()
    )
    frame = _FOLDER.joinpath("page.html").read_text("utf-8")
    return frame.replace("LOCALES", " ".join(available())).replace("NEEDS_SCRIPT", sentences).encode()


@cache
def page_texts(locale: str) -> bytes:
    """Return the texts of the page in a locale, as JSON."""
    localizer = localizer_for(locale)
    own = texts()
    currency = get_territory_currencies(locale.rpartition("-")[2])[0]
    translate = localizer.translate
    content: dict[str, Any] = {
        "locale": locale,
        "page": _translated(own.page, translate),
        "start": {name: translate(own.start[name]) for name in _START},
        "start_questions": STARTING_QUESTIONS,
        "currencies": sorted(currencies().exponents, key=lambda code: (code != currency, code)),
        "labels": {group: _translated(own.labels[group], translate) for group in LABELS},
        "term_formats": dict(VALUE_FORMATS),
        "reports": {name: localizer.translate(own.sheet[title]) for name, title in TITLES.items()},
        "cautions": [translate(text) for text in own.cautions],
    }
    return msgspec.json.encode(content)


def page_faults(locale: str) -> bytes:
    """Return how the faults that the API names in English read in a locale, as JSON. Loaded with the first fault."""
    own = texts().page
    instead = dict.fromkeys(("Required field is missing", "null is not allowed here"), own["is_missing"])
    instead |= {"{expected} or null": own["or_nothing"], f"{{expected}}; {OR_LEAVE_OUT}": own["or_leave_out"]}
    instead |= {f"{{expected}}{FIELD_OPTIONS['exchange_rate']}": own["or_rate"]}
    instead |= {"{expected}; or --fill-down {field}, where it is that of the row above": own["or_above"]}
    lower = "whole units; else set unit_cost of {id} to {cost} in the document, and leave the row out: --leave-out"
    instead[f"{lower} {{row}}"] = own["or_lower"]
    return msgspec.json.encode(fault_texts(localizer_for(locale), instead))


def _translated(group: dict[str, str], translate: Callable[[str], str]) -> dict[str, str]:
    return {code: translate(text) for code, text in group.items()}
