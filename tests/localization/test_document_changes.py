"""The changes between two documents in words, in every language."""

import json
from decimal import Decimal
from importlib.resources import files
from typing import get_args

import pytest
from msgspec.structs import fields, replace

from hitchworth.localization.document_changes import FORMATS, localize_document_comparison
from hitchworth.localization.locales import available
from hitchworth.localization.localizer import localizer_for
from hitchworth.localization.texts import texts
from hitchworth.model.build import Base, Build, Owner, Protection
from hitchworth.model.circuit import Circuit
from hitchworth.model.document import Document
from hitchworth.model.document_changes import DocumentChange, DocumentComparison, EntryKind, FieldChange
from hitchworth.model.entry import Component, Labor
from hitchworth.model.evidence import Evidence
from hitchworth.model.indirect_costs import IndirectCosts
from hitchworth.model.loss import Loss
from hitchworth.model.options import Options
from hitchworth.model.policy import Coordination
from hitchworth.model.request import DocumentComparisonRequest
from hitchworth.model.schedule import Schedule
from hitchworth.operations.appraisals import create_document_comparison
from hitchworth.operations.requests import read_request

EXAMPLE = files("hitchworth.web").joinpath("examples", "document-comparison.json").read_bytes()
RECORDS = (
    *(Component, Labor, Protection, Circuit, Schedule, Base, Owner, IndirectCosts, Options, Loss, Coordination),
    Evidence,
)
ENTRIES = ("id", "facts", "use", "components", "labor", "schedules", "price_indexes", "protections", "circuits")
"""The key of an entry, and the fields of a build that are entries of their own."""

OF_DOCUMENT = ("travels_to", "sales_comparison", "locale", "photo")


def compared(locale: str) -> DocumentComparison:
    body = json.dumps({**json.loads(EXAMPLE), "locale": locale}).encode()
    return create_document_comparison(read_request(body, DocumentComparisonRequest))


def sentence(change: DocumentChange, locale: str = "en-US") -> str:
    comparison = replace(compared(locale), changes=(change,))
    (found,) = localize_document_comparison(comparison, localizer_for(locale, "USD")).changes
    return found.text


def changed(kind: EntryKind, *changes: FieldChange, name: str = "", description: str = "") -> DocumentChange:
    return DocumentChange(
        kind=kind, action="changed", currency="USD", fields=changes, name=name, description=description
    )


def field(name: str, before: str | None, after: str | None) -> FieldChange:
    action = "entered" if before is None else "cleared" if after is None else "changed"
    return FieldChange(field=name, action=action, before=before, after=after)  # type: ignore[arg-type]


def test_the_changes_in_american_english() -> None:
    # Figures of the example: 949 - 899 = 50 and -240 of cost; 5,899 = 6,089 + 50 - 240.
    comparison = compared("en-US")
    assert [change.text for change in comparison.changes] == [
        "Battery repriced from $899.00 to $949.00",
        "Component Two-burner stove removed",
        "Policy “agreed value”: deductible from $500.00 to $1,000.00",
        "Answered: policy “agreed value”, settles by class or by built use: built use",
    ]
    assert [change.replacement_cost for change in comparison.changes] == [Decimal(50), Decimal(-240), None, None]
    assert comparison.statement.startswith(
        "Entries that differ: 4. On June 1, 2026 the replacement cost goes from $6,089.00 to $5,899.00 (-$190.00),"
    )


def test_the_changes_in_german() -> None:
    comparison = compared("de-DE")
    assert comparison.locale == "de-DE"
    assert [change.text for change in comparison.changes][:3] == [
        "Battery: neuer Preis 949,00\xa0$ statt 899,00\xa0$",
        "Bauteil Two-burner stove entfernt",
        "Police „agreed value“: Selbstbeteiligung von 500,00\xa0$ zu 1.000,00\xa0$",
    ]


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (
            changed("component", field("quantity", "1", "2.50"), field("supplier", None, "A shop"), name="b"),
            "B: quantity from 1 to 2.5; supplier now A shop",
        ),
        (
            changed("component", field("removed_on", "2026-01-31", None), description="Battery", name="b"),
            "Battery: day of removal no longer entered (was Jan 31, 2026)",
        ),
        (
            changed("labor", field("hired", "false", "true"), description="Fit it", name="l"),
            "Fit it: hired work from no to yes",
        ),
        (
            changed("component", FieldChange(field="schedule", action="contents"), description="Battery"),
            "Battery: schedule changed",
        ),
        (
            changed("component", field("schedule", None, "battery_lithium"), description="Battery"),
            "Battery: schedule now lithium battery",
        ),
        (changed("policy", field("limit", None, "9000"), name="one"), "Policy “one”: limit now $9,000.00"),
        (
            changed("policy", field("sublimits", "", None), name="one"),
            "Policy “one”: sublimits no longer entered (was none)",
        ),
        (
            changed("policy", field("excluded_perils", "mold", "mold, wear"), name="one"),
            "Policy “one”: excluded perils from mold to mold, wear and tear",
        ),
        (
            changed("loss", field("peril", "fire", "theft"), name="hail"),
            "Loss “hail”: peril from fire to theft",
        ),
        (
            changed("base", field("comparable_price", None, "4890")),
            "Base trailer: price of a plain trailer now $4,890.00",
        ),
        (
            changed("indirect_costs", field("overhead_rate", "0", "0.1")),
            "Overhead, profit and tax: overhead from 0% to 10%",
        ),
        (
            changed("schedule", field("rate", "0.1", "0.2"), name="mine"),
            "Mine: rate of decline from 10% to 20%",
        ),
        (
            changed("fact", field("certified_to_standard", None, "EN_1645")),
            "Fact: certified to a standard now EN_1645",
        ),
        (
            DocumentChange(kind="component", action="renamed", name="b", renamed_from="a", description="Battery"),
            "Component Battery: id from a to b",
        ),
        (DocumentChange(kind="policy", action="renamed", name="b", renamed_from="a"), "Policy “a” renamed to “b”"),
        (
            DocumentChange(kind="protection", action="added", name="coupler_lock"),
            "Measure against loss coupler lock added",
        ),
        (
            DocumentChange(
                kind="answer", action="removed", name="has_toilet", fields=(field("has_toilet", "true", None),)
            ),
            "Answer taken back: toilet: yes",
        ),
    ],
)
def test_sentences(change: DocumentChange, said: str) -> None:
    assert sentence(change) == said


def test_a_price_among_other_changes_is_said_with_them() -> None:
    price = FieldChange(field="unit_cost", action="repriced", before="1", after="2")
    both = changed("component", price, field("unit", None, "m"), description="Cable")
    assert sentence(both) == "Cable: repriced from $1.00 to $2.00; unit now m"


def test_facts_have_their_units() -> None:
    assert sentence(changed("fact", field("overall_length_m", "4", "4.5"))) == (
        "Fact: overall length from 13 ft 1.5 in (4 m) to 14 ft 9.2 in (4.5 m)"
    )
    assert sentence(changed("fact", field("has_toilet", None, "false"))).endswith("now no")


def test_nothing_changed() -> None:
    comparison = replace(compared("en-US"), changes=())
    assert localize_document_comparison(comparison, localizer_for("en-US", "USD")).statement.startswith("Nothing was")


@pytest.mark.parametrize("locale", available())
def test_every_change_has_a_sentence_in_every_language(locale: str) -> None:
    for kind in get_args(EntryKind):
        for action in ("added", "removed", "renamed"):
            if f"{kind}_{action}" in texts().changes:
                change = DocumentChange(kind=kind, action=action, name="x", renamed_from="w", currency="USD")
                assert "…" not in sentence(change, locale)
    for change in compared(locale).changes:
        assert change.text
        assert "…" not in change.text


def test_every_field_of_a_document_has_a_label_and_no_label_is_left_over() -> None:
    names = {each.encode_name for record in RECORDS for each in fields(record)}
    names |= {each.encode_name for each in fields(Build)} | {*OF_DOCUMENT, "months", "schedule_rate"}
    parts = {each.encode_name for each in fields(Build)} & {"base", "owner", "indirect_costs"}
    assert set(texts().fields) == names - set(ENTRIES) - parts
    assert {each.encode_name for each in fields(Document)} >= set(OF_DOCUMENT)


def test_every_format_is_of_a_field() -> None:
    assert set(FORMATS) <= set(texts().fields)
