"""Two documents -> what changed, entry by entry. Pure; `localization` puts it into words.

Entries are matched by id or name, so their order does not count, and numbers by their value, however they are written.
An entry that is gone while another is new with the same content was renamed. References to a renamed entry follow it.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any, TypeAlias

from msgspec import Struct
from msgspec.structs import fields, replace

from hitchworth.canonical import text_of, without_defaults
from hitchworth.model.build import Base, FactValue
from hitchworth.model.circuit import Circuit
from hitchworth.model.document import Document
from hitchworth.model.document_changes import Action, DocumentChange, EntryKind, FieldAction, FieldChange
from hitchworth.model.entry import Component, Labor
from hitchworth.model.estimate_comparison import EstimateComparison, LineChange
from hitchworth.model.indirect_costs import IndirectCosts
from hitchworth.model.loss import Loss
from hitchworth.model.options import Options
from hitchworth.model.policy import ABSENT, DEFAULT_ORDER
from hitchworth.model.schedule import Schedule
from hitchworth.reference.facts import vocabulary
from hitchworth.reference.parsed_facts import parse_fact

Entry: TypeAlias = dict[str, Any]
"""The fields of a record that differ from their defaults."""

PRICES: Mapping[EntryKind, tuple[str, ...]] = {
    "component": ("unit_cost", "replacement_unit_cost"),
    "labor": ("rate", "market_rate"),
}
"""The fields whose change is a new price."""

DESCRIBED_BY: Mapping[EntryKind, str] = {"component": "description", "labor": "task", "evidence": "file_name"}
ORDERED = ("order", "points")
"""Fields of lists whose order counts."""

REFERENCES = ("component_id", "refund_of", "id", "policy", "policies")
"""Fields that name another entry."""

CAN_BE_RENAMED: tuple[EntryKind, ...] = ("component", "labor", "circuit", "policy", "loss")
PERSONAL: tuple[EntryKind, ...] = ("owner",)
"""Entries whose values are not repeated."""

BUILD_ENTRIES = ("components", "labor", "protections", "circuits", "schedules", "price_indexes", "facts", "use")
BUILD_PARTS: tuple[EntryKind, ...] = ("base", "owner", "indirect_costs")
DOCUMENT_FIELDS = ("travels_to", "sales_comparison", "locale", "photo")
"""What is neither an entry of its own nor the version of the format."""


def document_changes(
    before: Document, after: Document, estimates: EstimateComparison | None = None
) -> tuple[DocumentChange, ...]:
    """Return the entries that differ; with `estimates`, what each line changes of the values."""
    comparison = _Comparison(before.build.currency, after.build.currency)
    found = tuple(comparison.changes(before, after))
    if estimates is None:
        return found
    lines: dict[str | None, list[LineChange]] = {}
    for line in estimates.lines:
        lines.setdefault(line.id, []).append(line)
    told = {change.name for change in found if change.kind == "component"}
    return tuple(change if change.refund_of in told else _with_values(change, lines) for change in found)


class _Comparison:
    """The comparison of two documents, and the new names of what was renamed so far."""

    def __init__(self, currency_before: str, currency_after: str) -> None:
        self._currencies = currency_before, currency_after
        self._renamed: dict[str, str] = {}

    def changes(self, before: Document, after: Document) -> Iterator[DocumentChange]:
        old, new = without_defaults(before), without_defaults(after)
        yield from self._records("build", _own_fields_of_build(old["build"]), _own_fields_of_build(new["build"]))
        for part in BUILD_PARTS:
            yield from self._records(part, old["build"].get(part, {}), new["build"].get(part, {}))
        for kind, field, key in _KEYED_BUILD_ENTRIES:
            yield from self._entries(kind, _by(key, old["build"].get(field)), _by(key, new["build"].get(field)))
        for kind, field in (("schedule", "schedules"), ("price_index", "price_indexes")):
            named = (_records_of(build.get(field, {})) for build in (old["build"], new["build"]))
            yield from self._entries(kind, *named)
        yield from _fact_changes(before.build.facts, after.build.facts)
        yield from _use_changes(before.build.use, after.build.use)
        policies = (_by("name", map(_terms, document.get("policies", ()))) for document in (old, new))
        yield from self._entries("policy", *policies)
        yield from self._entries("loss", _by("name", old.get("losses")), _by("name", new.get("losses")))
        yield from self._answers(old.get("answers", ()), new.get("answers", ()))
        yield from self._entries("evidence", _by("id", old.get("evidence")), _by("id", new.get("evidence")))
        for kind in ("coordination", "options"):
            yield from self._records(kind, old.get(kind, {}), new.get(kind, {}))
        yield from self._records("document", _own_fields(old), _own_fields(new))

    def _entries(
        self, kind: EntryKind, before: Mapping[str, Entry], after: Mapping[str, Entry]
    ) -> Iterator[DocumentChange]:
        """Yield the changes of entries by their names: those renamed or changed, removed, and added."""
        gone = {name: entry for name, entry in before.items() if name not in after}
        new = {name: entry for name, entry in after.items() if name not in before}
        renamed = _renamed(gone, new) if kind in CAN_BE_RENAMED else {}
        self._renamed |= renamed
        for name, entry in before.items():
            if name in renamed:
                yield self._change(kind, "renamed", renamed[name], entry, renamed_from=name)
            elif name in gone:
                yield self._change(kind, "removed", name, entry)
            else:
                yield from self._records(kind, entry, after[name], name)
        for name, entry in new.items():
            if name not in renamed.values():
                yield self._change(kind, "added", name, entry)

    def _records(self, kind: EntryKind, before: Entry, after: Entry, name: str = "") -> Iterator[DocumentChange]:
        """Yield the change of an entry that is in both documents, if there is one."""
        names = dict.fromkeys((*before, *after))
        values = ((field, _value(kind, before, field), _value(kind, after, field)) for field in names)
        changed = tuple(
            _field_change(kind, field, old, new) for field, old, new in values if not self._same(field, old, new)
        )
        if changed:
            yield self._change(kind, "changed", name, after, fields=changed)

    def _answers(self, before: Iterable[Entry], after: Iterable[Entry]) -> Iterator[DocumentChange]:
        """Yield the answers recorded, taken back or corrected: one is known by what it settles, and its day."""
        old = _answers_by_what_they_settle({**answer, "policy": self._now(answer.get("policy"))} for answer in before)
        new = _answers_by_what_they_settle(after)
        for key, entry in old.items():
            if key not in new:
                yield self._answer("removed", entry, (_settled(entry, "cleared", entry, {}),))
            elif not self._same("answer", entry, new[key]):
                yield self._answer("changed", entry, (_settled(entry, "changed", entry, new[key]),))
        for key, entry in new.items():
            if key not in old:
                yield self._answer("added", entry, (_settled(entry, "entered", {}, entry),))

    def _answer(self, action: Action, answer: Entry, fields: tuple[FieldChange, ...]) -> DocumentChange:
        about = answer.get("term") or answer.get("fact") or ""
        policy, currency = answer.get("policy"), self._currencies[1]
        return DocumentChange(kind="answer", action=action, name=about, policy=policy, currency=currency, fields=fields)

    def _change(
        self,
        kind: EntryKind,
        action: Action,
        name: str,
        entry: Entry,
        *,
        fields: tuple[FieldChange, ...] = (),
        renamed_from: str | None = None,
    ) -> DocumentChange:
        own = self._currencies[0 if action == "removed" else 1]
        refund_of = entry.get("refund_of") if kind == "component" else None
        return DocumentChange(
            kind=kind if refund_of is None else "refund",
            action=action,
            name=name,
            description=entry.get(DESCRIBED_BY.get(kind, ""), ""),
            renamed_from=renamed_from,
            refund_of=refund_of,
            currency=entry.get("currency", own) if kind == "component" else own,
            fields=fields,
        )

    def _same(self, field: str, before: Any, after: Any) -> bool:
        """Return whether two values are the same: in any order where it does not count, and under its new name."""
        if before is None or after is None:
            return before is after
        if field in REFERENCES and isinstance(before, str):
            return bool(self._now(before) == after)
        if before == after:  # almost always, and quick
            return True
        if isinstance(before, tuple) and isinstance(after, tuple) and field not in ORDERED:
            return sorted(map(text_of, map(self._following, before))) == sorted(map(text_of, after))
        return text_of(self._following(before)) == text_of(after)

    def _following(self, value: Any) -> Any:
        """Return a value with the references in it under their new names."""
        if isinstance(value, dict) and self._renamed:
            return {name: self._now(item) if name in REFERENCES else item for name, item in value.items()}
        return self._now(value) if isinstance(value, str) else value

    def _now(self, name: Any) -> Any:
        return self._renamed.get(name, name) if isinstance(name, str) else name


_KEYED_BUILD_ENTRIES: tuple[tuple[EntryKind, str, str], ...] = (
    ("component", "components", "id"),
    ("labor", "labor", "id"),
    ("protection", "protections", "name"),
    ("circuit", "circuits", "name"),
)


def _value(kind: EntryKind, entry: Entry, field: str) -> Any:
    """Return the value of a field: its default where it is left out, None where that says nothing."""
    return entry.get(field, _DEFAULTS.get(kind, {}).get(field))


def _telling_defaults(record: type[Struct]) -> Entry:
    """Return the defaults of a record that say something: a number, a choice, yes or no."""
    defaults = {field.encode_name: field.default for field in fields(record)}
    return {
        name: value for name, value in defaults.items() if isinstance(value, bool | int | Decimal | str) and value != ""
    }


_DEFAULTS: Mapping[EntryKind, Entry] = {
    "component": _telling_defaults(Component),
    "labor": _telling_defaults(Labor),
    "circuit": _telling_defaults(Circuit),
    "schedule": _telling_defaults(Schedule),
    "policy": {"order": DEFAULT_ORDER},
    "loss": _telling_defaults(Loss),
    "base": _telling_defaults(Base),
    "indirect_costs": _telling_defaults(IndirectCosts),
    "options": _telling_defaults(Options),
    "document": _telling_defaults(Document),
}


def _own_fields_of_build(build: Entry) -> Entry:
    return {name: value for name, value in build.items() if name not in (*BUILD_ENTRIES, *BUILD_PARTS)}


def _own_fields(document: Entry) -> Entry:
    return {name: document[name] for name in DOCUMENT_FIELDS if name in document}


def _by(key: str, entries: Iterable[Entry] | None) -> dict[str, Entry]:
    """Return entries by id or name, without it. A name that comes up again (a measure fitted twice) gets a number."""
    named: dict[str, Entry] = {}
    for entry in entries or ():
        name = entry[key]
        while name in named:
            name = f"{name} (+)"
        named[name] = {field: value for field, value in entry.items() if field != key}
    return named


def _records_of(named: Mapping[str, Any]) -> dict[str, Entry]:
    return {name: value if isinstance(value, dict) else {"months": value} for name, value in named.items()}


def _terms(policy: Entry) -> Entry:
    """Return the terms of a policy: each peril and situation by itself, and those it is known not to have."""
    terms: Entry = {}
    for field, value in policy.items():
        if field == "without":
            terms |= dict.fromkeys(value, ABSENT)
        elif isinstance(value, dict):
            terms |= {f"{field}.{key}": covered for key, covered in value.items() if covered is not None}
        else:
            terms[field] = value
    return terms


def _renamed(gone: Mapping[str, Entry], new: Mapping[str, Entry]) -> dict[str, str]:
    """Return the new names of entries with the same content, where only one of each is gone and only one is new."""
    old_names, new_names = _names_by_content(gone), _names_by_content(new)
    return {
        names[0]: new_names[content][0]
        for content, names in old_names.items()
        if len(names) == 1 and len(new_names.get(content, ())) == 1
    }


def _names_by_content(entries: Mapping[str, Entry]) -> dict[str, list[str]]:
    names: dict[str, list[str]] = {}
    for name, entry in entries.items():
        names.setdefault(text_of(entry), []).append(name)
    return names


def _field_change(kind: EntryKind, field: str, before: Any, after: Any) -> FieldChange:
    old, new = _plain(before), _plain(after)
    if kind in PERSONAL or not (_is_plain(before) and _is_plain(after)):
        return FieldChange(field=field, action="contents")
    action: FieldAction = "entered" if before is None else "cleared" if after is None else "changed"
    if action == "changed" and field in PRICES.get(kind, ()):
        action = "repriced"
    return FieldChange(field=field, action=action, before=old, after=new)


def _is_plain(value: Any) -> bool:
    """Return whether a value can be said in a few words: no record, no list of records, no picture."""
    return not isinstance(value, dict | bytes) and (
        not isinstance(value, tuple) or all(isinstance(item, str) for item in value)
    )


def _plain(value: Any) -> str | None:
    match value:
        case None:
            return None
        case bool():
            return str(value).lower()
        case Decimal():
            return f"{value:f}"
        case tuple():
            return ", ".join(map(str, value))
        case _:
            return str(value)


def _fact_changes(before: Mapping[str, FactValue], after: Mapping[str, FactValue]) -> Iterator[DocumentChange]:
    """Yield the facts that are known, not known any more, or different: in the unit of the vocabulary."""
    for name in dict.fromkeys((*before, *after)):
        old, new = (parse_fact(vocabulary()[name], facts.get(name)) for facts in (before, after))
        if (old.value, old.planned) == (new.value, new.planned) or old.value is new.value is None:
            continue
        action: FieldAction = "entered" if old.value is None else "cleared" if new.value is None else "changed"
        change = FieldChange(field=name, action=action, before=_plain(old.given), after=_plain(new.given))
        yield DocumentChange(kind="fact", action="changed", name=name, fields=(change,))


def _use_changes(before: Mapping[str, Any], after: Mapping[str, Any]) -> Iterator[DocumentChange]:
    for name in dict.fromkeys((*before, *after)):
        old, new = before.get(name), after.get(name)
        if old != new:
            yield DocumentChange(
                kind="use", action="changed", name=name, fields=(_field_change("use", name, old, new),)
            )


def _answers_by_what_they_settle(answers: Iterable[Entry]) -> dict[tuple[Any, ...], Entry]:
    found: dict[tuple[Any, ...], Entry] = {}
    for answer in answers:
        key: tuple[Any, ...] = tuple(answer.get(name) for name in ("policy", "loss", "term", "fact", "said_on"))
        while key in found:
            key = (*key, "+")
        found[key] = {name: value for name, value in answer.items() if value is not None or name == "value"}
    return found


def _settled(answer: Entry, action: FieldAction, before: Entry, after: Entry) -> FieldChange:
    """Return what an answer says of the term or the fact; another source of the same answer is a change in it."""
    field = answer.get("term") or answer.get("fact") or ""
    old, new = before.get("value"), after.get("value")
    if action == "changed" and text_of(old) == text_of(new):
        return FieldChange(field=field, action="contents")
    return FieldChange(field=field, action=action, before=_plain(old), after=_plain(new))


def _with_values(change: DocumentChange, lines: Mapping[str | None, Sequence[LineChange]]) -> DocumentChange:
    """Return the change of a line with what it changes of the values; of one renamed, both of its lines together.

    A refund has no line of its own: it changes that of the component that it takes back.
    """
    if change.kind not in ("component", "refund", "labor"):
        return change
    own = [*lines.get(change.name, ()), *lines.get(change.renamed_from, ()), *lines.get(change.refund_of, ())]
    return replace(
        change,
        replacement_cost=sum((line.replacement_cost for line in own), Decimal(0)),
        actual_cash_value=sum((line.actual_cash_value for line in own), Decimal(0)),
    )
