"""The texts of faults in a locale, as a workbook shows them: what is wrong, expected and found.

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

_GAP = re.compile(r"\{(\w+)\}")
_NUMBER = re.compile(r"-?[0-9]+(,[0-9]{3})*(\.[0-9]+)?")
_HALF = Decimal("0.5")
_NESTED = "{expected}"
"""The gap that holds another text of what is expected."""


def localize_fault(fault: Fault, localizer: Localizer) -> Fault:
    """Return the fault with its texts in the locale; one that has no text there stays in English."""
    own = texts()
    return replace(
        fault,
        detail=_localized(fault.detail, own.fault_details, localizer),
        expected=_localized(fault.expected, own.fault_expected, localizer),
        found=localizer.translate(own.fault_expected["nothing"]) if fault.found in ("nothing", "none") else fault.found,
    )


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
