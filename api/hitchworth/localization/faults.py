"""The texts of faults of tables and workbooks in a locale: what is wrong, expected and found.

The rules say them in English, with names and numbers filled in; texts/faults.yaml says which text each one is.
"""

import re
from collections.abc import Mapping
from decimal import Decimal
from functools import cache

from msgspec.structs import replace

from hitchworth.localization.localizer import Localizer
from hitchworth.localization.texts import texts
from hitchworth.model.fault import Fault
from hitchworth.validation.errors import MAX_COUNTED, InvalidInputError, ranges_alike

_GAP = re.compile(r"\{(\w+)\}")
_NUMBER = re.compile(r"-?[0-9]+(,[0-9]{3})*(\.[0-9]+)?")
_HALF = Decimal("0.5")
_NO_VALUES = {"nothing": "nothing", "none": "nothing", "an empty cell": "an empty cell"}
"""What is found where there is no value, and its text."""
_NESTED = "{expected}"
"""The gap that holds another text of what is expected."""


def localize_fault(fault: Fault, localizer: Localizer) -> Fault:
    """Return the fault with its texts in the locale; one that has no text there stays in English."""
    own = texts()
    return replace(
        fault,
        detail=_localized(fault.detail, own.fault_details, localizer),
        expected=_localized(fault.expected, own.fault_expected, localizer),
        found=localizer.translate(own.fault_expected[_NO_VALUES[fault.found]])
        if fault.found in _NO_VALUES
        else fault.found,
    )


def fault_in_a_line(fault: Fault, localizer: Localizer) -> str:
    """Return a fault of a cell as one line in the locale: the cell, what is wrong, expected and found, other rows."""
    said = localize_fault(fault, localizer)
    parts = (("expected", said.expected), ("found", said.found))
    more = "; ".join(_line(localizer, key, text=text) for key, text in parts if text)
    where = f"{fault.cell}: " if fault.cell else ""
    line = f"{where}{said.detail}" + (f" ({more})" if more else "")
    return f"{line}; {_rows_alike(fault, localizer)}" if fault.also_at else line


def faults_counted(error: InvalidInputError, localizer: Localizer) -> str:
    """Return how many faults there are in the locale, and how many of them are listed where that is not all."""
    key = "at_least" if error.count >= MAX_COUNTED else "one" if error.count == 1 else "several"
    told = _line(localizer, key, count=localizer.formats.number(Decimal(error.count)))
    if error.listed == error.count:
        return told
    return _line(localizer, "listed", faults=told, count=localizer.formats.number(Decimal(error.listed)))


def _rows_alike(fault: Fault, localizer: Localizer) -> str:
    shown, left = ranges_alike(fault)
    more = [_line(localizer, "and_more", count=str(left))] if left else []
    key = "same_row" if len(fault.also_at) == 1 else "same_rows"
    count = localizer.formats.number(Decimal(len(fault.also_at)))
    return _line(localizer, key, count=count, rows=", ".join(shown + more))


def _line(localizer: Localizer, key: str, **parameters: str) -> str:
    return localizer.format(texts().fault_line[key], **parameters)


def fault_texts(localizer: Localizer, instead: Mapping[str, str]) -> dict[str, tuple[tuple[str, str], ...]]:
    """Return every text of a fault with what it is in the locale, in the order in which they are to be tried.

    A gap in braces holds anything; {expected} in a detail holds another text of what is expected.
    `instead`: texts for a reader who has no cells before them.
    """
    own = texts()
    return {
        name: tuple((each, localizer.translate(instead.get(each, known[each]))) for each in _in_order(tuple(known)))
        for name, known in (("details", own.fault_details), ("expected", own.fault_expected))
    }


def _localized(text: str, known: Mapping[str, str], localizer: Localizer) -> str:
    for template in _in_order(tuple(known)):
        found = _pattern(template).fullmatch(text)
        if found is not None:
            parts = {name: _part(value, localizer) for name, value in found.groupdict().items()}
            if _NESTED in template:
                parts["expected"] = _localized(found["expected"], known, localizer)
            return localizer.format(known[template], **parts)
    return text


def _part(text: str, localizer: Localizer) -> str:
    """Return what fills a gap: a number with marks as the locale writes it."""
    if not _NUMBER.fullmatch(text):
        return text
    if "," in text:
        return localizer.formats.number(Decimal(text.replace(",", "")))
    return text.replace(".", localizer.formats.number(_HALF)[1])


@cache
def _in_order(templates: tuple[str, ...]) -> tuple[str, ...]:
    """Return the texts in the order in which they are tried: those with another one in them, then the longest first."""
    return tuple(sorted(templates, key=lambda each: (_NESTED not in each, -len(_GAP.sub("", each)))))


@cache
def _pattern(template: str) -> re.Pattern[str]:
    """Return the pattern of a text with gaps, each of which holds anything."""
    literals = _GAP.split(template)
    return re.compile(
        "".join(f"(?P<{part}>.*)" if at % 2 else re.escape(part) for at, part in enumerate(literals)), re.DOTALL
    )
