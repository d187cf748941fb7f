"""Documents written by hand, in YAML or TOML, as the JSON that they stand for.

Numbers keep the digits that were written, so 12.50 in YAML is 12.50 and no float. Only true, false, null and what JSON
would take for a number are more than text: no, 12:30, 01234 and 2026-11-01 stay as they are written.
"""

import re
import tomllib
from collections.abc import Iterator
from datetime import date, datetime, time
from pathlib import Path
from typing import Any, NamedTuple

import yaml
from msgspec import Raw, json

YAML, TOML = (".yaml", ".yml"), (".toml",)
"""How the names of such files end."""

_NUMBER = re.compile(r"-?(0|[1-9][0-9]*)(\.[0-9]+)?([eE][+-]?[0-9]+)?")
_WORDS = {"true": "true", "false": "false", "null": "null", "~": "null", "": "null"}
_TAGS = frozenset(
    f"tag:yaml.org,2002:{name}"
    for name in ("map", "seq", "str", "int", "float", "bool", "null", "timestamp", "merge", "value")
)
"""What PyYAML takes plain values for, and what may be written as !!str; a document has no others."""

_MOST_NODES = 1_000_000
"""More values than this are no document, but aliases that were made to multiply."""
_BEFORE_VALUES = "\n,[{"
"""Every value but the first has one of these before it."""

_DEEPEST = 100


class UnreadableTextError(ValueError):
    """The text is not YAML or TOML, or not such that it stands for JSON."""


class TextDocument(NamedTuple):
    """A document as JSON, and where its parts stand in the file."""

    content: bytes
    lines: dict[str, int]
    """The line of a part, by its JSON Pointer; empty where it is not known."""


def read_text_document(content: bytes, suffix: str) -> TextDocument:
    """Return the JSON of a YAML or TOML file. Raises UnreadableTextError."""
    try:
        text = content.decode()
    except UnicodeDecodeError as error:
        raise UnreadableTextError(f"It is not UTF-8: byte {error.start + 1:,}.") from None
    return _read_toml(text) if suffix in TOML else _read_yaml(text)


def is_text_document(file: str) -> bool:
    """Return whether the name of a file is that of a document in YAML or TOML."""
    return Path(file).suffix.lower() in (*YAML, *TOML)


class _Number(str):
    """A number as it was written."""

    __slots__ = ()


def _read_toml(text: str) -> TextDocument:
    try:
        return TextDocument(json.encode(_from_toml(tomllib.loads(text, parse_float=_Number))), {})
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise UnreadableTextError(f"It is not TOML: {_sentence(error)}") from None


def _from_toml(value: Any) -> Any:
    match value:
        case dict():
            return {name: _from_toml(part) for name, part in value.items()}
        case list():
            return [_from_toml(part) for part in value]
        case _Number():
            digits = value.replace("_", "").removeprefix("+")
            return Raw(digits.encode()) if _NUMBER.fullmatch(digits) else str(value)
        case datetime() | date() | time():
            return value.isoformat()
        case _:
            return value


def _read_yaml(text: str) -> TextDocument:
    if sum(map(text.count, _BEFORE_VALUES)) > _MOST_NODES:  # before they all are in memory
        raise UnreadableTextError(f"It has more than {_MOST_NODES:,} values.")
    walk = _Walk()
    try:
        root = yaml.compose(text, Loader=yaml.CSafeLoader)
        parts = ["null"] if root is None else walk.json(root, "")
        return TextDocument("".join(parts).encode(), walk.lines)
    except yaml.MarkedYAMLError as error:
        at = f", line {error.problem_mark.line + 1}" if error.problem_mark else ""
        raise UnreadableTextError(f"It is not YAML{at}: {_sentence(error.problem)}") from None
    except (yaml.YAMLError, RecursionError) as error:
        raise UnreadableTextError(f"It is not YAML: {_sentence(error)}") from None


def _sentence(error: object) -> str:
    text = " ".join(str(error).split())
    return f"{text or 'nested too deeply'}."


class _Walk:
    """A walk through the nodes of a YAML file, which aliases may lead to more than once."""

    def __init__(self) -> None:
        self.lines: dict[str, int] = {}
        self._left = _MOST_NODES

    def json(self, node: yaml.Node, pointer: str, depth: int = 0) -> Iterator[str]:
        """Yield the pieces of the JSON of a node. Raises UnreadableTextError."""
        self._left -= 1
        if depth > _DEEPEST or self._left < 0:
            raise UnreadableTextError(f"Line {_line(node)}: it is nested too deeply, or its aliases multiply.")
        if node.tag not in _TAGS and node.tag != "!":
            raise UnreadableTextError(f"Line {_line(node)}: the tag {node.tag} is not known.")
        self.lines[pointer] = _line(node)
        match node:
            case yaml.MappingNode():
                yield from self._object(node, pointer, depth)
            case yaml.SequenceNode():
                yield from self._array(node, pointer, depth)
            case _:
                yield _scalar(node)

    def _object(self, node: yaml.MappingNode, pointer: str, depth: int) -> Iterator[str]:
        first_line: dict[str, int] = {}
        start = "{"
        for key, value in node.value:
            if not isinstance(key, yaml.ScalarNode):
                raise UnreadableTextError(f"Line {_line(key)}: a name must be a text.")
            if key.value in first_line:
                raise UnreadableTextError(
                    f"Line {_line(key)}: {key.value} is there twice, first on line {first_line[key.value]}."
                )
            first_line[key.value] = _line(key)
            yield f"{start}{_text(key.value)}:"
            yield from self.json(value, f"{pointer}/{key.value.replace('~', '~0').replace('/', '~1')}", depth + 1)
            start = ","
        yield "{}" if start == "{" else "}"

    def _array(self, node: yaml.SequenceNode, pointer: str, depth: int) -> Iterator[str]:
        start = "["
        for index, value in enumerate(node.value):
            yield start
            yield from self.json(value, f"{pointer}/{index}", depth + 1)
            start = ","
        yield "[]" if start == "[" else "]"


def _line(node: yaml.Node) -> int:
    line: int = node.start_mark.line
    return line + 1


def _scalar(node: yaml.Node) -> str:
    text: str = node.value
    if isinstance(node, yaml.ScalarNode) and node.style:  # in quotes, or a block of text
        return _text(text)
    if text.lower() in _WORDS and text in (text.lower(), text.capitalize(), text.upper()):
        return _WORDS[text.lower()]
    return text if _NUMBER.fullmatch(text) else _text(text)


def _text(text: str) -> str:
    return json.encode(text).decode()
