"""Documents as files: written anew, or changed where they are, with the comments that somebody wrote in them."""

import re
from datetime import date
from io import StringIO
from pathlib import Path
from typing import Any

import tomlkit
from msgspec import json
from ruamel import yaml as ruamel_yaml

from hitchworth import validation
from hitchworth.canonical import without_defaults
from hitchworth.cli.exit_codes import InputError, UsageError
from hitchworth.cli.request_file import DOCUMENTS, input_errors, is_workbook, malformed, read_content
from hitchworth.model.document import FORMAT, Document
from hitchworth.model.request import GapRequest
from hitchworth.operations.documents import canonical, dated, read_document
from hitchworth.operations.renderings import AS_WORKBOOK
from hitchworth.operations.text_documents import TOML, YAML, read_text_document
from hitchworth.operations.workbooks import lost_when_rewritten, read_document_workbook, workbook_of

_ITEMS_UNDER_NAMES = re.compile(r"^( *)[^\s#-][^\n]*:[ \t]*\n(?:[ \t]*(?:#[^\n]*)?\n)*\1- ", re.MULTILINE)
"""A list whose items stand as far left as its name."""


def require_document_name(path: Path, option: str) -> None:
    """Raise UsageError where a file does not have the name of a document."""
    if path.suffix.lower() not in DOCUMENTS:
        raise UsageError(
            f"{option} {path}: a document is a file like {path.with_suffix('.yaml')}; it ends in {', '.join(DOCUMENTS)}"
        )


def request_to_change(content: bytes, target: str) -> GapRequest:
    """Return the document of a file that is to be changed, a workbook's with its valuation date. Raises InputError."""
    if is_workbook(content):
        if lost := lost_when_rewritten(content):
            lines = "\n".join(lost)
            raise InputError(f"{target} would lose what follows. Choose a workbook without it.\n{lines}")
        with input_errors(target, prefix=f"{target}: "):
            return read_document_workbook(content)
    source = read_content(content, target)
    with input_errors(target, source.lines, f"{target}: "), malformed(target):
        return dated(read_document(source.content), None)


def document_bytes(document: Document, as_of: date | None, target: Path, previous: bytes | None = None) -> bytes:
    """Return a document as its file holds it. `previous`: what the file holds now, of which as much as can be stays.

    Raises UsageError where a change cannot be made in the file without losing something else.
    """
    suffix = target.suffix.lower()
    if suffix in (*YAML, *TOML):
        return _as_text(document, suffix, None if previous is None else previous.decode()).encode()
    for rendering in AS_WORKBOOK:
        if suffix == f".{rendering.name}":
            return rendering.render(workbook_of(dated(document, as_of)))
    return json.format(canonical(document), indent=2) + b"\n"


def _as_text(document: Document, suffix: str, previous: str | None) -> str:
    wanted = _members(document)
    if previous is None:
        return _written(wanted, suffix)
    held = read_document(read_text_document(previous.encode(), suffix).content)
    changed = _changed(previous, _members(held), wanted, suffix)
    again = read_document(read_text_document(changed.encode(), suffix).content)
    if canonical(again) != canonical(document):
        raise UsageError("the changes cannot be made in this file; import into a new one, and compare the two")
    return changed


def _members(document: Document) -> dict[str, Any]:
    """Return what a document says, its fields in their order and amounts as text."""
    members: dict[str, Any] = json.decode(json.encode({"format": FORMAT, **without_defaults(document)}))
    return members


def _written(content: Any, suffix: str) -> str:
    if suffix in TOML:
        return tomlkit.dumps(content)
    written = StringIO()
    _round_trip(offset=2).dump(content, written)
    return written.getvalue()


def _changed(text: str, held: dict[str, Any], wanted: dict[str, Any], suffix: str) -> str:
    """Return a text with what differs between the document that it holds and the one that is wanted."""
    line_end = "\r\n" if "\r\n" in text else "\n"
    text = text.replace("\r\n", "\n")
    round_trip = _round_trip(offset=0 if _ITEMS_UNDER_NAMES.search(text) else 2)
    tree: Any = tomlkit.parse(text) if suffix in TOML else round_trip.load(text)
    if validation.is_bare_build(tree):
        if {name for name in wanted if wanted[name] != held.get(name)} <= {"build"}:
            held, wanted = held["build"], wanted["build"]
        else:
            return _written(wanted, suffix)
    _change_object(tree, {name: held[name] for name in held if name in tree}, _without_format(wanted, tree))
    written = StringIO()
    if suffix in TOML:
        tomlkit.dump(tree, written)
    else:
        round_trip.dump(tree, written)
    return written.getvalue().replace("\n", line_end)


def _without_format(wanted: dict[str, Any], tree: Any) -> dict[str, Any]:
    """Return the document without its format, where the file does not name one."""
    return {name: value for name, value in wanted.items() if name != "format" or name in tree}


def _change_object(tree: Any, held: dict[str, Any], wanted: dict[str, Any]) -> None:
    for name in held.keys() - wanted.keys():
        del tree[name]
    for name, value in wanted.items():
        before = held.get(name)
        if name in held and before == value:
            continue
        if isinstance(before, dict) and isinstance(value, dict):
            _change_object(tree[name], {key: before[key] for key in before if key in tree[name]}, value)
        elif before is not None and _are_entries(before) and _are_entries(value) and len(tree[name]) == len(before):
            _change_entries(tree[name], before, value)
        else:
            tree[name] = value


def _are_entries(value: Any) -> bool:
    """Return whether a value is a list of entries that are told apart by an id."""
    return isinstance(value, list) and bool(value) and all(isinstance(each, dict) and "id" in each for each in value)


def _change_entries(tree: Any, held: list[dict[str, Any]], wanted: list[dict[str, Any]]) -> None:
    by_id = {entry["id"]: entry for entry in wanted}
    for index in reversed(range(len(held))):
        entry = by_id.get(held[index]["id"])
        if entry is None:
            del tree[index]
        else:
            _change_object(tree[index], {key: held[index][key] for key in held[index] if key in tree[index]}, entry)
    known = {entry["id"] for entry in held}
    for entry in wanted:
        if entry["id"] not in known:
            tree.append(entry)


def _round_trip(offset: int) -> ruamel_yaml.YAML:
    yaml = ruamel_yaml.YAML(typ="rt")
    yaml.preserve_quotes = True
    yaml.width = 10_000
    yaml.indent(mapping=2, sequence=2 + offset, offset=offset)
    return yaml
