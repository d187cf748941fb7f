"""The numbers in what a program read off a plate: by the words before them, or by the form of a standard number.

A word before a number says what it is. What a photo is evidence of says whose number it is; a photo of several parts
says it of none.
"""

import re
import unicodedata
from collections.abc import Iterator, Sequence
from functools import cache
from typing import NamedTuple

from hitchworth.documentation.number_matching import differences, numbers_in
from hitchworth.documentation.register import COMPONENT_NUMBERS
from hitchworth.model.build import Build
from hitchworth.model.evidence import IDENTIFICATION_PLATE, NUMBER, OWNERSHIP, TRAILER
from hitchworth.model.plate_reading import Agreement, NumberClue, ProposedNumber, TextLine
from hitchworth.model.serial_numbers import NumberKind
from hitchworth.reference.plate_labels import plate_labels
from hitchworth.reference.vin import vin_format

_VIN_LENGTH = 17
_NEVER_IN_A_VIN = str.maketrans("OoQqIil", "0000111")
"""What a program reads for digits. Plates are in capital letters: a small L is none."""

_MIN_CHARACTERS = 3
_BETWEEN = r"[\s.:/°'’-]*"
_AFTER_LABEL = r"[\s.:#=°-]*"
_AROUND = " \t.,;:#=()[]<>*|"


class _Read(NamedTuple):
    kind: NumberKind
    number: str
    line: int
    clue: NumberClue


def proposed_numbers(lines: Sequence[TextLine], subjects: Sequence[str], build: Build) -> tuple[ProposedNumber, ...]:
    """Return the numbers that the photo of these subjects may show, in the order of its lines, each once.

    Of a photo of the trailer, its plate or its papers, or of nothing named: identification numbers. Of a photo of one
    component: its serial and model number.
    """
    components = {subject.removeprefix(NUMBER) for subject in subjects} & {part.id for part in build.components}
    about_trailer = not subjects or not {IDENTIFICATION_PLATE, OWNERSHIP, TRAILER}.isdisjoint(subjects)
    found: dict[tuple[NumberKind, str], ProposedNumber] = {}
    for read in _numbers([unicodedata.normalize("NFKC", line.text) for line in lines]):
        if read.kind == "identification_number" and about_trailer:
            found.setdefault(read[:2], _proposed(read, build.vin, None, "/build/vin"))
        elif read.kind in COMPONENT_NUMBERS and len(components) == 1:
            (component,) = components
            place = next(place for place, part in enumerate(build.components) if part.id == component)
            on_record = getattr(build.components[place], read.kind)
            pointer = f"/build/components/{place}/{read.kind}"
            found.setdefault(read[:2], _proposed(read, on_record, component, pointer))
    return tuple(found.values())


def _proposed(read: _Read, on_record: str | None, component: str | None, pointer: str) -> ProposedNumber:
    agreement: Agreement = "missing"
    forgiven = None
    if on_record:
        like = [each for text in numbers_in(on_record) if (each := differences(read.number, text)) is not None]
        forgiven = min(like, key=len, default=None)
        agreement = "different" if forgiven is None else "forgiven" if forgiven else "exact"
    return ProposedNumber(
        kind=read.kind,
        component=component,
        pointer=pointer,
        number=read.number,
        line=read.line,
        clue=read.clue,
        on_record=on_record or None,
        agreement=agreement,
        forgiven=forgiven or (),
    )


def _numbers(lines: Sequence[str]) -> Iterator[_Read]:
    for place, line in enumerate(lines):
        labels = _labels_in(line)
        for at, label in enumerate(labels):
            kind = _kind_of(label)
            end = labels[at + 1].start() if at + 1 < len(labels) else len(line)
            written, stands_on = line[label.end() : end], place
            is_last = at + 1 == len(labels) and place + 1 < len(lines)
            if not written.strip(_AROUND) and is_last and not _labels().search(lines[place + 1]):
                written, stands_on = lines[place + 1], place + 1  # the label stands above the number
            number = _identification_number(written) if kind == "identification_number" else _number(written)
            if number:
                yield _Read(kind, number, stands_on, "label")
        if not labels:
            yield from (_Read("identification_number", number, place, "shape") for number in _standard_numbers(line))


def _labels_in(line: str) -> list[re.Match[str]]:
    """Return the labels of a line. What joins right onto a label before it is the start of its number: S/N SN-0017."""
    labels: list[re.Match[str]] = []
    for label in _labels().finditer(line):
        stands_alone = label[0][-1] in " \t:.=#" or label.end() == len(line)
        if stands_alone or not labels or labels[-1].end() != label.start():
            labels.append(label)
    return labels


def _number(written: str) -> str:
    """Return the number at the start of a text: its words up to the last before one without a digit; empty for none."""
    taken: list[str] = []
    for word in written.strip(_AROUND).split():
        if not _has_digit(word) and any(map(_has_digit, taken)):
            break
        taken.append(word)
    number = " ".join(taken).strip(_AROUND)
    return number if _has_digit(number) and len(_compact(number)) >= _MIN_CHARACTERS else ""


def _identification_number(written: str) -> str:
    """Return an identification number of the standard form, or else what stands there, as of a home-built trailer."""
    standard = next(iter(_standard_numbers(written)), None)
    return standard or _number(written)


def _standard_numbers(written: str) -> Iterator[str]:
    """Yield what has the form of a standard number: a word, or all words of a text together."""
    for text in dict.fromkeys((*written.split(), written)):
        number = _compact(text).translate(_NEVER_IN_A_VIN).upper()
        if len(number) == _VIN_LENGTH and set(number) <= _vin_alphabet() and _has_digit(number):
            yield number
            return


def _compact(text: str) -> str:
    return "".join(letter for letter in text if letter.isalnum())


def _has_digit(text: str) -> bool:
    return any(letter.isdigit() for letter in text)


@cache
def _vin_alphabet() -> frozenset[str]:
    return frozenset((*vin_format().letter_values, *"0123456789"))


@cache
def _labels() -> re.Pattern[str]:
    """Return what finds a label: its words with or without what stands between them, and no letter right after."""
    kinds = (f"(?P<{kind}>{'|'.join(_written(words))})" for kind, words in plate_labels().items())
    return re.compile(rf"(?<![^\W_])(?:{'|'.join(kinds)})(?![^\W\d_]){_AFTER_LABEL}", re.IGNORECASE)


def _written(labels: Sequence[str]) -> Iterator[str]:
    for label in sorted(labels, key=len, reverse=True):
        yield _BETWEEN.join(map(re.escape, re.findall(r"\w+", label)))


def _kind_of(label: re.Match[str]) -> NumberKind:
    return next(kind for kind in plate_labels() if label[kind])
