"""The texts of a comparison of two documents: each change in a sentence, with its values in words."""

from collections.abc import Mapping
from decimal import Decimal
from types import MappingProxyType

from msgspec.structs import replace

from hitchworth.localization.localizer import Localizer, capital, localizer_for
from hitchworth.localization.notes import localize_note
from hitchworth.localization.terms import term_label, term_value
from hitchworth.localization.texts import texts
from hitchworth.localization.valuations import localize_estimate_comparison
from hitchworth.model.document_changes import DocumentChange, DocumentComparison, FieldChange
from hitchworth.reference.facts import vocabulary

FORMATS: Mapping[str, str] = MappingProxyType(
    {
        **dict.fromkeys(
            (
                "unit_cost",
                "tax",
                "freight",
                "replacement_unit_cost",
                "cost_to_cure",
                "low",
                "likely",
                "high",
                "rate",
                "market_rate",
                "cost",
                "annual_discount",
                "comparable_price",
                "market_value",
                "freight_lump_sum",
                "salvage_value",
                "amount_spent",
            ),
            "money",
        ),
        **dict.fromkeys(
            (
                "condition",
                "premium_discount_rate",
                "overhead_rate",
                "profit_rate",
                "sales_tax_rate",
                "annual_probability",
                "residual",
                "discount_rate",
                "confidence",
            ),
            "percent",
        ),
        **dict.fromkeys(
            (
                "quantity",
                "hours",
                "exchange_rate",
                "quoted_exchange_rate",
                "effective_age_years",
                "remaining_life_years",
                "life_years",
                "factor",
                "correlation",
                "load_amps",
                "length_m",
                "area_mm2",
                "fuse_amps",
                "fuse_distance_m",
                "fuse_interrupt_amps",
                "battery_fault_amps",
                "start_amps",
                "volts",
            ),
            "number",
        ),
        "category": "category",
        "schedule": "category",
        "evidence_grade": "evidence",
        "peril": "peril",
        "extent": "extent",
        "registered_class": "class",
        "method": "method",
        "labor_depreciation": "labor_depreciation",
    }
)
"""The format of a field's value, as the localizer names it; a field without one is written as it is."""


def localize_document_comparison(comparison: DocumentComparison, localizer: Localizer) -> DocumentComparison:
    """Return the comparison with its texts, and the locale of the texts."""
    changes = tuple(_change(change, localizer) for change in comparison.changes)
    estimates = comparison.estimates and localize_estimate_comparison(comparison.estimates, localizer)
    notes = tuple(localize_note(note, localizer) for note in comparison.notes)
    told = texts().changes["count" if changes else "none"]
    sentences = (
        localizer.format(told, count=localizer.formats.number(Decimal(len(changes)))),
        estimates.statement if estimates else "",
        *(note.text for note in notes),
    )
    return replace(
        comparison,
        locale=localizer.locale.formats,
        changes=changes,
        estimates=estimates,
        notes=notes,
        statement=" ".join(filter(None, sentences)),
    )


def _change(change: DocumentChange, localizer: Localizer) -> DocumentChange:
    """Return the change with its sentence. Its amounts are in a currency of its own."""
    own = localizer_for(localizer.locale.formats, change.currency) if change.currency else localizer
    fields = tuple(replace(field, text=_field(change, field, own)) for field in change.fields)
    change = replace(change, fields=fields)
    return replace(change, text=_sentence(change, own))


def _sentence(change: DocumentChange, localizer: Localizer) -> str:
    words = texts().changes
    listed = "; ".join(field.text for field in change.fields)
    if change.kind == "answer":
        about = listed
        if change.policy is not None:
            about = localizer.format(words["of_policy"], name=change.policy, changes=listed)
        return localizer.format(words[f"answer_{change.action}"], changes=about)
    named = change.description or _name(change, localizer)
    if change.action != "changed":
        text = words[f"{change.kind}_{change.action}"]
        return localizer.format(text, name=named, before=change.renamed_from or "", after=change.name)
    if len(change.fields) == 1 and change.fields[0].action == "repriced":
        before, after = _values(change, change.fields[0], localizer)
        return localizer.format(words["repriced_alone"], name=capital(named), before=before, after=after)
    return localizer.format(words["entry_changed"], name=_subject(change, localizer), changes=listed)


def _subject(change: DocumentChange, localizer: Localizer) -> str:
    """Return what changed, at the beginning of its sentence."""
    words = texts().changes
    if change.kind in ("policy", "loss"):
        return localizer.format(words[f"{change.kind}_named"], name=change.name)
    if change.kind in words:
        return localizer.translate(words[change.kind])
    return capital(change.description or _name(change, localizer))


def _name(change: DocumentChange, localizer: Localizer) -> str:
    return localizer.label("protection", change.name) if change.kind == "protection" else change.name


def _field(change: DocumentChange, field: FieldChange, localizer: Localizer) -> str:
    """Return what changed in one field."""
    before, after = _values(change, field, localizer)
    label = _label(change, field, localizer)
    if change.kind == "answer" and field.action in ("entered", "cleared"):
        return localizer.format(texts().changes["answered"], field=label, value=after or before)
    return localizer.format(texts().changes[field.action], field=label, before=before, after=after)


def _is_term(change: DocumentChange, field: FieldChange) -> bool:
    """Whether the field is a term of a policy, or what an answer says of a loss."""
    about_term = change.policy is not None or field.field == "salvage_value"
    return change.kind == "policy" or (change.kind == "answer" and about_term)


def _label(change: DocumentChange, field: FieldChange, localizer: Localizer) -> str:
    if _is_term(change, field):
        return term_label(localizer, field.field)
    if change.kind in ("fact", "answer"):
        return localizer.label("fact", field.field)
    label = texts().fields.get("schedule_rate" if _is_share(change, field) else field.field)
    return field.field.replace("_", " ") if label is None else localizer.translate(label)


def _values(change: DocumentChange, field: FieldChange, localizer: Localizer) -> tuple[str, str]:
    """Return the values before and after in words; a term of a policy may not be known."""
    old, new = (_value(change, field, value, localizer) for value in (field.before, field.after))
    return old, new


def _value(change: DocumentChange, field: FieldChange, value: str | None, localizer: Localizer) -> str:
    if _is_term(change, field):
        items = tuple(value.split(", ")) if value and ", " in value else value
        return term_value(localizer, field.field, items)
    if value is None:
        return ""
    if value in ("true", "false"):
        return localizer.label("yes_no", value)
    if change.kind in ("fact", "answer"):
        return _fact_value(field.field, value, localizer)
    if field.field.endswith("_on"):
        return localizer.format("{value:day}", value=value)
    spec = "percent" if _is_share(change, field) else FORMATS.get(field.field, "")
    return localizer.format(f"{{value:{spec}}}", value=value)


def _is_share(change: DocumentChange, field: FieldChange) -> bool:
    """Return whether a rate is that of a schedule, not an hourly rate."""
    return change.kind == "schedule" and field.field == "rate"


def _fact_value(fact: str, value: str, localizer: Localizer) -> str:
    """Return the value of a fact with its unit, or a choice in words."""
    definition = vocabulary().get(fact)
    if definition is not None and definition.type in ("integer", "number") and value.replace(".", "", 1).isdigit():
        return localizer.formats.measure(Decimal(value), definition.unit)
    return localizer.label(fact, value) if definition is not None and definition.values else value
