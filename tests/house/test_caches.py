"""What is kept from one request to the next has a bound, so that no caller can fill the memory of a server."""

import inspect
from collections.abc import Callable, Iterator
from functools import _lru_cache_wrapper
from importlib import import_module
from pkgutil import walk_packages
from typing import Any

import hitchworth

TYPES, DATA, LOCALES = "types and functions of the program", "names in the packaged data", "locales that there are"
FEW = "few values, checked before"
UNBOUNDED = {
    "hitchworth.canonical._fields": TYPES,
    "hitchworth.coverage.stages._ahead": FEW,
    "hitchworth.coverage.stages._ordered_stages": FEW,
    "hitchworth.guide.chapters.chapter": DATA,
    "hitchworth.guide.pages.chapter_page": DATA,
    "hitchworth.localization.faults._in_order": DATA,
    "hitchworth.localization.faults._pattern": DATA,
    "hitchworth.localization.formats._with_places": LOCALES,
    "hitchworth.localization.formats.formats_of": LOCALES,
    "hitchworth.localization.locales.catalog": LOCALES,
    "hitchworth.localization.localizer._catalog_and_formats": LOCALES,
    "hitchworth.localization.localizer._parts": DATA,
    "hitchworth.operations.tables.columns_of": TYPES,
    "hitchworth.protection.conductor.gauge_area": FEW,
    "hitchworth.reference.claims.time_limits_for": FEW,
    "hitchworth.reference.definitions.condition_of": DATA,
    "hitchworth.reference.receipt_words._role_words": FEW,
    "hitchworth.validation.bounds._plan": TYPES,
    "hitchworth.web.examples.kept.example_tag": DATA,
    "hitchworth.web.operation._hints": TYPES,
    "hitchworth.web.operation._parameters": TYPES,
    "hitchworth.web.page.page_texts": LOCALES,
    "hitchworth.web.worker._store": "the one place of the store",
    "hitchworth.workbooks.code_names._codes": DATA,
    "hitchworth.workbooks.columns.columns_of": DATA,
    "hitchworth.workbooks.entry_formulas._column": DATA,
    "hitchworth.workbooks.records._by_header": DATA,
    "hitchworth.workbooks.records._codes": DATA,
}
"""The functions that keep all that they return, and of what there are only so many."""


def unbounded() -> Iterator[str]:
    """Yield the functions of the program with arguments that keep what they return without a bound."""
    names = (module.name for module in walk_packages(hitchworth.__path__, "hitchworth."))
    for module in (name for name in names if ".migrations." not in name):  # they run when they are imported
        functions: dict[str, Callable[..., Any]] = vars(import_module(module))
        for name, function in functions.items():
            if not isinstance(function, _lru_cache_wrapper) or function.__module__ != module:
                continue
            if function.cache_info().maxsize is None and inspect.signature(function).parameters:
                yield f"{module}.{name}"


def test_what_is_kept_for_what_a_caller_says_has_a_bound() -> None:
    assert set(unbounded()) == UNBOUNDED.keys()
