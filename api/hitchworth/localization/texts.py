"""The English texts from texts/: every code of the core and every heading of the reports has its text here.

English is both a locale and the key of the catalogs: a catalog translates whole texts. The texts of the questions and
of the claim rules are data in `reference`; the catalogs translate them the same way.
"""

from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from importlib.resources import files

import msgspec
from msgspec import Struct

from hitchworth.model.protection import Ask, CircuitCheck, Layer
from hitchworth.model.quote import QuoteFigure
from hitchworth.reference.claims import claims
from hitchworth.reference.concealment_rules import concealment_rules
from hitchworth.reference.labor_taxes import labor_taxes
from hitchworth.reference.plausible_terms import plausible_terms
from hitchworth.reference.questions import bank_questions
from hitchworth.reference.quote_rules import quote_rules


class Term(Struct, frozen=True, forbid_unknown_fields=True):
    """One entry of the glossary."""

    term: str
    meaning: str


class CheckTexts(Struct, frozen=True, forbid_unknown_fields=True):
    """One check of a circuit, by its result."""

    holds: str
    fails: str
    unknown: str
    between: str | None = None
    """Not known although both values are: a third thing decides."""


class ProtectionTexts(Struct, frozen=True, forbid_unknown_fields=True):
    """The texts of a protection report."""

    checks: dict[CircuitCheck, CheckTexts]
    deferral: str
    asks: dict[Ask, str]
    uncovered_layer: str
    not_entered: str
    suggestion: str
    layers: dict[Layer, str]
    payback: dict[str, str]
    cautions: dict[str, str]


class Texts(Struct, frozen=True, forbid_unknown_fields=True):
    """All texts, by kind and code."""

    notes: dict[str, str]
    workings: dict[str, str]
    steps: dict[str, str]
    causes: dict[str, str]
    claim_steps: dict[str, str]
    verdicts: dict[str, str]
    elements: dict[str, str]
    not_looked_up: dict[str, str]
    conditions: dict[str, str]
    gap: dict[str, str]
    adjustments: dict[str, str]
    approaches: dict[str, str]
    sales_comparison: dict[str, str]
    crossings: dict[str, str]
    curve: dict[str, str]
    effects: dict[str, str]
    attention: dict[str, str]
    serial_numbers: dict[str, str]
    estimate_comparison: dict[str, str]
    changes: dict[str, str]
    fields: dict[str, str]
    """The fields of a document."""
    quote: dict[str, str]
    quote_workings: dict[QuoteFigure, str]
    cautions: tuple[str, ...]
    labels: dict[str, dict[str, str]]
    sheet: dict[str, str]
    glossary: tuple[Term, ...]
    protection: ProtectionTexts
    columns: dict[str, dict[str, str]]
    column_examples: dict[str, str]
    column_meanings: dict[str, dict[str, str]]
    import_notes: dict[str, str]
    import_questions: dict[str, str]
    import_report: dict[str, str]
    check: dict[str, str]
    start: dict[str, str]
    workbook: dict[str, str]
    fault_details: dict[str, str]
    fault_expected: dict[str, str]
    fault_line: dict[str, str]
    macro: dict[str, str]
    page: dict[str, str]


@cache
def texts() -> Texts:
    """Return the texts, read once.

    Raises msgspec.ValidationError for a missing or unknown key, ValueError for a key that two files have.
    """
    folder = files("hitchworth.localization").joinpath("texts")
    sources = (file.read_bytes() for file in sorted(folder.iterdir(), key=lambda file: file.name))
    return msgspec.convert(merged(sources), Texts)


def merged(sources: Iterable[bytes]) -> dict[str, object]:
    """Return the entries of several YAML files together. Raises ValueError for a top-level key in two of them."""
    entries: dict[str, object] = {}
    for source in sources:
        more = msgspec.yaml.decode(source, type=dict[str, object])
        if repeated := sorted(entries.keys() & more.keys()):
            raise ValueError(f"two files of texts have the same key: {', '.join(repeated)}")
        entries |= more
    return entries


def messages() -> tuple[str, ...]:
    """Return every text that a catalog has to translate, once each, in the order of the files."""
    own = _strings(msgspec.to_builtins(texts()))
    return tuple(dict.fromkeys((*own, *_of_questions(), *_of_concealment_rules(), *_of_labor_taxes(), *_of_claims())))


def _of_questions() -> Iterator[str]:
    for question in bank_questions().values():
        yield from (question.text, question.why, question.clear_answer, *question.bring)
        yield from filter(None, (question.to_see_money, question.source))
    for term in plausible_terms():
        yield term.source


def _of_concealment_rules() -> Iterator[str]:
    for rule in concealment_rules().values():
        yield from filter(None, (rule.text, rule.source, rule.unverified_text, rule.unverified_source))


def _of_labor_taxes() -> Iterator[str]:
    for place in labor_taxes().values():
        yield place.source
    for rule in quote_rules().taxes:
        yield rule.source


def _of_claims() -> Iterator[str]:
    for duty in claims().checklist:
        yield duty.text
    for limit in claims().time_limits:
        yield from filter(None, (limit.text, limit.source))


def _strings(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        for part in value.values():
            yield from _strings(part)
    elif isinstance(value, (tuple, list)):
        for part in value:
            yield from _strings(part)
