"""`hitchworth start`: a document from ten questions, each of which may be skipped, or an empty one."""

import sys
from argparse import ArgumentParser, Namespace
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from shutil import get_terminal_size
from textwrap import fill
from typing import Any, get_args

from babel.numbers import get_territory_currencies
from msgspec import json

from hitchworth import validation
from hitchworth.cli.document_files import document_bytes, require_document_name
from hitchworth.cli.exit_codes import UsageError
from hitchworth.cli.options import add_force, add_locale, add_quiet
from hitchworth.cli.request_file import with_commands
from hitchworth.cli.starting_text import starting_text
from hitchworth.cli.written_files import require_leave, tell_written, write_whole
from hitchworth.localization.localizer import Localizer, localizer_for
from hitchworth.localization.texts import texts
from hitchworth.model.policy import PolicyKind
from hitchworth.operations.documents import read_document
from hitchworth.operations.starting_questions import STARTING_QUESTIONS, AnswerKind, StartingQuestion
from hitchworth.operations.text_documents import YAML
from hitchworth.reference.definitions import definitions_of_chain
from hitchworth.reference.places import places_named
from hitchworth.workbooks.numbers import CURRENCY_SIGNS, MARKS, value_of, written

Answers = dict[str, Any]
"""The answers that were given, by the questions."""

_YES = ("y", "yes", "j", "ja", "s", "si", "sí", "o", "oui", "true")
_NO = ("n", "no", "nein", "non", "false")


class _WrongAnswerError(Exception):
    """An answer that cannot be taken; its message says why, and what was expected."""


def _text(text: str, _answers: Answers, _localizer: Localizer) -> str:
    return text


def _upper(text: str, _answers: Answers, _localizer: Localizer) -> str:
    return text.upper()


def _yes_or_no(text: str, _answers: Answers, _localizer: Localizer) -> Any:
    return True if text.lower() in _YES else False if text.lower() in _NO else text


def _whole(text: str, _answers: Answers, _localizer: Localizer) -> Any:
    return int(text) if text.isdecimal() else text


def _place(text: str, _answers: Answers, _localizer: Localizer) -> str:
    """Return the code of a place that is named by its code or its name; any other text as a code."""
    found = places_named(text)
    return found[0] if len(found) == 1 else text.upper()


def _policy_kind(text: str, _answers: Answers, localizer: Localizer) -> str:
    """Return the kind that is named by its code or by its name in the locale; any other text as it is."""
    named: dict[str, str] = {localizer.label("policy_kind", kind).casefold(): kind for kind in get_args(PolicyKind)}
    return named.get(text.casefold(), text)


def _amount(text: str, answers: Answers, _localizer: Localizer) -> str:
    """Return an amount that may have a currency beside it, grouped digits, and either decimal mark.

    A text that is no amount, or one in another currency, is returned as it is. Raises _WrongAnswerError
    for one that is two different amounts, as 8.000 is.
    """
    number = written(text)
    if number is None or answers["currency"] not in CURRENCY_SIGNS.get(
        number.currency, (number.currency or answers["currency"],)
    ):
        return text
    values = {value for mark in MARKS if (value := value_of(number, mark)) is not None}
    if len(values) > 1:
        meanings = " or ".join(f"{value.normalize():f}" for value in sorted(values))
        raise _WrongAnswerError(f"it may be {meanings}: answer without a mark, or with two decimals")
    return f"{values.pop():f}" if values else text


def _classes(answers: Answers) -> Sequence[str]:
    """Return the classes that are defined where the trailer is registered; none where that was not answered."""
    place = answers.get("jurisdiction")
    return sorted({entry.class_ for entry in definitions_of_chain(place)}) if place else ()


_AMOUNT = "an amount such as 500 or 12.50, in the currency of the document"
_PLACE = "a place by its name or code, as Germany or US-WA (all: hitchworth jurisdictions)"
_BASES = ("utility trailer", "cargo trailer", "flatbed trailer", "own frame")

_READ: Mapping[AnswerKind, Callable[[str, Answers, Localizer], Any]] = {
    "currency": _upper,
    "place": _place,
    "number": _whole,
    "yes_no": _yes_or_no,
    "policy_kind": _policy_kind,
    "amount": _amount,
}
"""How the text of an answer is read; any other is taken as it is."""

_EXPECTED: Mapping[AnswerKind, str] = {"place": _PLACE, "amount": _AMOUNT}
"""What a wrong answer should have been, where the field of the document says less."""


def _examples(question: StartingQuestion, answers: Answers) -> Sequence[str]:
    """Return words that are known, of which none must be taken; by the answers so far."""
    if question.answer == "class":
        return _classes(answers)
    return _BASES if question.name == "base" else ()


def add_options(parser: ArgumentParser) -> None:
    """Add the options of `hitchworth start`."""
    parser.add_argument("file", type=Path, metavar="FILE", help="the document to make; .yaml explains its fields")
    parser.add_argument("--empty", action="store_true", help="ask nothing: write an empty document")
    add_locale(parser)
    add_force(parser)
    add_quiet(parser)
    parser.set_defaults(run=run)


def run(arguments: Namespace) -> None:
    """Ask, and write the document that the answers make."""
    require_document_name(arguments.file, "start")
    require_leave(arguments.file, None, arguments)
    localizer = localizer_for(arguments.locale or "en-US")
    answers = {} if arguments.empty else _asked(arguments.file, localizer)
    assumed = _assumed(arguments.file, localizer, answers)
    content = _document(assumed | answers, localizer, arguments.locale)
    document = read_document(json.encode(content))
    if arguments.file.suffix.lower() in YAML:
        encoded = starting_text(content, assumed, arguments.file.name, localizer).encode()
    else:
        encoded = document_bytes(document, None, arguments.file)
    write_whole(arguments.file, encoded)
    tell_written(arguments.file, arguments.quiet)
    if not arguments.quiet:
        print(f"Next: hitchworth import RECEIPTS --into {arguments.file}, then hitchworth check {arguments.file}")


def _assumed(file: Path, localizer: Localizer, answers: Answers) -> Answers:
    """Return what a document must have and nobody answered: its name from the file's, its currency from the region."""
    name = file.stem.replace("_", " ").replace("-", " ").capitalize() or "Camper"
    currency = get_territory_currencies(localizer.locale.formats.rpartition("-")[2])[0]
    return {key: value for key, value in {"name": name, "currency": currency}.items() if key not in answers}


def _asked(file: Path, localizer: Localizer) -> Answers:
    """Ask every question, a wrong answer again. Raises UsageError where nobody can be asked.

    Answers may be piped, a line each and an empty one for none; a wrong one raises UsageError.
    """
    if not sys.stdin.isatty():
        return _piped(file, localizer)
    if not sys.stderr.isatty():
        raise _no_terminal(file)
    words = {key: localizer.translate(text) for key, text in texts().start.items()}
    answers: Answers = {}
    _say(f"{words['introduction']}\n")
    for number, question in enumerate(STARTING_QUESTIONS, 1):
        _say(f"{number:>2}. {words[question.name]}{_offered(question, answers, localizer)}\n    > ")
        while answer := sys.stdin.readline().strip():
            try:
                answers = _with_answer(answers, question, answer, file, localizer)
            except _WrongAnswerError as fault:
                _say(f"    {fault}\n    > ")
            else:
                break
    return answers


def _offered(question: StartingQuestion, answers: Answers, localizer: Localizer) -> str:
    """Return a line with the words to choose from, or with examples; empty without any."""
    kinds = get_args(PolicyKind) if question.answer == "policy_kind" else ()
    choices = [localizer.label("policy_kind", kind) for kind in kinds]
    examples = _examples(question, answers)
    if not (choices or examples):
        return ""
    text = texts().start["choices" if choices else "examples"]
    return fill(
        localizer.format(text, choices=", ".join(choices or examples)),
        get_terminal_size().columns - 2,
        initial_indent="\n    ",
        subsequent_indent="    ",
        break_on_hyphens=False,
    )


def _piped(file: Path, localizer: Localizer) -> Answers:
    lines = [line.strip() for line in sys.stdin]
    if not lines:
        raise _no_terminal(file)
    if len(lines) > len(STARTING_QUESTIONS):
        raise UsageError(f"start has {len(STARTING_QUESTIONS)} questions, and {len(lines)} lines were piped")
    answers: Answers = {}
    for number, (question, answer) in enumerate(zip(STARTING_QUESTIONS, lines, strict=False), 1):
        if answer:
            try:
                answers = _with_answer(answers, question, answer, file, localizer)
            except _WrongAnswerError as fault:
                raise UsageError(f"line {number} ({question.name}), {answer}: {fault}") from None
    return answers


def _with_answer(answers: Answers, question: StartingQuestion, text: str, file: Path, localizer: Localizer) -> Answers:
    """Return the answers with this one. Raises _WrongAnswerError."""
    meaning = _READ.get(question.answer, _text)(text, _assumed(file, localizer, answers) | answers, localizer)
    tried = answers | {question.name: meaning}
    if fault := _fault(question, _assumed(file, localizer, tried) | tried, localizer):
        raise _WrongAnswerError(fault)
    return tried


def _no_terminal(file: Path) -> UsageError:
    return UsageError(f"start asks questions, and there is no terminal to ask on: hitchworth start {file} --empty")


def _say(text: str) -> None:
    print(text, end="", file=sys.stderr, flush=True)


def _fault(question: StartingQuestion, answers: Answers, localizer: Localizer) -> str:
    """Return what is wrong with the answers; empty where nothing is."""
    try:
        read_document(json.encode(_document(answers, localizer, None)))
    except validation.InvalidInputError as error:
        fault = error.faults[0]
        expected = _EXPECTED.get(question.answer) or fault.expected
        return with_commands(f"{fault.detail}; expected: {expected}" if expected else fault.detail)
    return ""


def _document(answers: Answers, localizer: Localizer, locale: str | None) -> dict[str, Any]:
    """Return the document that the answers make: what was not answered is not in it."""
    build: dict[str, Any] = {
        key: answers[key] for key in ("name", "currency", "jurisdiction", "registered_class") if key in answers
    }
    if "base" in answers:
        build["base"] = {"kind": answers["base"]}
    if facts := {key: answers[key] for key in ("sleeping_berths", "has_cooking") if key in answers}:
        build["facts"] = facts
    content: dict[str, Any] = {"build": build}
    terms = {"kind": "policy_kind", "limit": "limit", "deductible": "deductible"}
    if policy := {term: answers[key] for term, key in terms.items() if key in answers}:
        policy_name, loss_name = (localizer.translate(texts().start[key]) for key in ("policy_name", "loss_name"))
        content["policies"] = [{"name": policy_name, **policy}]
        content["losses"] = [{"name": loss_name, "peril": "theft", "extent": "total"}]
    return content | ({"locale": locale} if locale else {})
