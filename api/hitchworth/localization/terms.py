"""The terms of a policy in words: the label of each, and how its value is written."""

from collections.abc import Mapping
from decimal import Decimal
from types import MappingProxyType

from hitchworth.localization.localizer import Localizer
from hitchworth.localization.texts import texts
from hitchworth.model.policy import ABSENT

VALUE_FORMATS: Mapping[str, str] = MappingProxyType(
    {
        "kind": "policy_kind",
        "basis": "basis",
        "amount": "money",
        "comparable_price": "money",
        "limit": "money",
        "deductible": "money",
        "coinsurance_rate": "percent",
        "order": "order",
        "custom_equipment_limit": "money",
        "contents_limit": "money",
        "settles_as": "settles_as",
        "values_by": "values_by",
        "holdback_days": "number",
        "replacement_years": "number",
        "depreciation_cap": "percent",
        "betterment_categories": "category",
        "salvage_value": "money",
        "total_loss_threshold": "percent",
        "total_loss_tax_rate": "percent",
        "total_loss_fees": "money",
        "excluded_perils": "peril",
        "lender": "",
        "loan_balance": "money",
        "annual_premium": "money",
        "verdict": "verdict",
        **dict.fromkeys(
            (
                "covers_damage",
                "counts_own_labor",
                "depreciates_labor",
                "deducts_obsolescence",
                "holdback",
                "adds_tax_to_stated_amount",
                "covers_perils",
                "covers_situations",
                "covers_under_construction",
                "knows_built_use",
            ),
            "yes_no",
        ),
    }
)
"""The format of a term's value, as the localizer names it; of a term that is a list, that of each item."""


def term_label(localizer: Localizer, term: str) -> str:
    """Return the label of a term; `covers_perils.hail` has the peril in its label."""
    name, _, key = term.partition(".")
    text = texts().labels["term"].get(name)
    return localizer.format(text, key=key) if text is not None else name.replace("_", " ")


def term_value(localizer: Localizer, term: str, value: object) -> str:
    """Return a value of a term in words: money, a share, yes or no, a label, or a list of these.

    `value` is what the policy or an answer holds, or the same as text (true, 500.00, none). Null is not known.
    """
    if value is None:
        return localizer.label("term_state", "not_known")
    if value == ABSENT and term == "comparable_price":
        return localizer.label("term_state", "by_parts")
    if term == "coinsurance_rate" and (value == ABSENT or not Decimal(str(value))):
        return localizer.label("term_state", "no_clause")
    if value in (ABSENT, (), ""):
        return localizer.label("term_state", ABSENT)
    if isinstance(value, tuple):
        return ", ".join(term_value(localizer, term, item) for item in value)
    value_format = VALUE_FORMATS.get(term.partition(".")[0], "")
    if isinstance(value, bool) or value_format == "yes_no":
        return localizer.label("yes_no", str(value).lower())
    if value_format == "money" and not Decimal(str(value)):
        return localizer.label("term_state", ABSENT)
    return localizer.format(f"{{value:{value_format}}}", value=str(value))
