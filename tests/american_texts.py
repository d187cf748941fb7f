"""Every English text that is meant to be American, by where it is, and the British spellings to look for in it."""

import ast
import json
import re
from collections.abc import Iterator, Mapping
from pathlib import Path

import msgspec

from documents import CHAPTERS
from hitchworth.localization.texts import messages

ROOT = Path(__file__).parents[1]
DOCUMENTS = (
    *("README.md", "DEVELOPERS.md", "api/README.md", "sdk/README.md"),
    *(chapter for chapter in CHAPTERS if "jurisdictions" not in chapter),
)
PACKAGES = ("api/hitchworth", "sdk/hitchworth_sdk")

BRITISH = re.compile(
    r"\b(\w*(?:(?:col|lab|fav|neighb|harb|od|behavi|hon|vap|arm|rum)our\w*)"
    r"|\w+(?:gn|al|rm|or|an|ar|il|im|er|it|at|ol)is(?:e|ed|es|ing|ation|ations|er|ers)"
    r"|analys(?:e|ed|es|ing)|\w*(?:centre|metre|litre|fibre|theatre|calibre|manoeuvre)\w*|catalogue\w*"
    r"|(?:un)?(?:label|travel|cancel|model|level|fuel|total|channel|tunnel|signal)l(?:ed|ing|er|ers)"
    r"|tyres?|kerbs?|greys?|cheques?|licences?|licenced|defences?|offences?|judgements?|programmes?|aluminium|ploughs?"
    r"|enquir\w+|jewellery|storeys|whilst|amongst|learnt|spelt|mould\w*|sceptic\w*|pretence|practis(?:e|ed|ing)"
    r"|mains|petrol|spanners?|rubbish|cupboards?|tow cars?|dearer|dearest|cosy|draughts?|gaols?"
    r"|windscreens?|lorry|lorries|motorways?|number plates?|car parks?|gas bottles?|worktops?|hobs?|paraffin"
    r"|tow ?bars?|tailboards?|mudguards?|bonnets?|boot lids?|sat ?navs?|fortnights?|water butts?)\b",
    re.IGNORECASE,
)
"""Spellings and words of British English that American English does not have (common practice)."""

AMERICAN = re.compile(
    r"^(?:otherwise|precise\w*|promise\w*|premise\w*|raise\w*|arise\w*|surprise\w*|advise\w*|exercise\w*|praise\w*"
    r"|enterprise\w*|merchandise\w*|compromise\w*|appraise\w*|appraising|raising|raiser|noise\w*|wise|rise\w*|anise"
    r"|poise\w*|expertise|concise\w*|likewise|franchise\w*|turquoise|disguise\w*|comprise\w*|revise\w*|devise\w*"
    r"|supervise\w*|televise\w*|arising|comprising|advertis\w+|promising|exercising)$",
    re.IGNORECASE,
)
"""American words that look like the patterns."""

NAME = re.compile(r"[A-Za-z0-9]+(?:[_-][A-Za-z0-9]+)+|[A-Z][a-z]+(?:[A-Z][a-z]+)+")
"""A name of several words: `center_axle`, `us-co-camper`, `GapStatement`."""


def american_texts() -> Iterator[tuple[str, str]]:
    """Yield place and text of all English texts, reference data, documents, docstrings and OpenAPI descriptions."""
    yield from (("texts", text) for text in messages())
    for path in sorted((ROOT / "api" / "hitchworth" / "reference" / "data").rglob("*.yaml")):
        yield from ((path.name, text) for text in _strings(msgspec.yaml.decode(path.read_bytes())))
    yield from ((name, (ROOT / name).read_text("utf-8")) for name in DOCUMENTS)
    for package in PACKAGES:
        for path in sorted((ROOT / package).rglob("*.py")):
            yield from ((str(path.relative_to(ROOT)), text) for text in docstrings(path.read_text("utf-8")))
    yield from (
        ("openapi", text) for text in _descriptions(json.loads((ROOT / "openapi/hitchworth.json").read_bytes()))
    )


def american_names() -> Iterator[tuple[str, str]]:
    """Yield place and words of every name of several words in the reference data and in the OpenAPI description."""
    for path in sorted((ROOT / "api" / "hitchworth" / "reference" / "data").rglob("*.yaml")):
        yield from ((path.name, words) for words in _names(path.read_text("utf-8")))
    yield from (("openapi", words) for words in _names((ROOT / "openapi/hitchworth.json").read_text("utf-8")))


def _names(source: str) -> Iterator[str]:
    for name in dict.fromkeys(NAME.findall(source)):
        yield re.sub(r"[_-]|(?<=[a-z])(?=[A-Z])", " ", name)


def british_words(text: str) -> list[str]:
    """Return the British spellings in a text; names in code, such as `grey_water_tank`, do not count."""
    prose = re.sub(r"`[^`]*`|\b\w*_\w*\b|\{[^}]*\}|https?://\S+", " ", text)
    return [word[0] for word in BRITISH.finditer(prose) if not AMERICAN.match(word[0])]


def _strings(value: object) -> Iterator[str]:
    """Yield the values that are sentences or titles; identifiers have no space."""
    if isinstance(value, str) and " " in value:
        yield value
    elif isinstance(value, Mapping):
        for part in value.values():
            yield from _strings(part)
    elif isinstance(value, list):
        for part in value:
            yield from _strings(part)


def docstrings(source: str) -> Iterator[str]:
    """Yield the docstrings of a source, also those below a constant: every statement that is only a string."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant) and isinstance(node.value.value, str):
            yield node.value.value


def _descriptions(value: object) -> Iterator[str]:
    if isinstance(value, dict):
        for name, part in value.items():
            if name in {"description", "summary", "title"} and isinstance(part, str):
                yield part
            else:
                yield from _descriptions(part)
    elif isinstance(value, list):
        for part in value:
            yield from _descriptions(part)
