"""The texts of a protection report: every code has its text, and German has every text."""

from datetime import date
from decimal import Decimal
from typing import get_args

import pytest
from msgspec.structs import replace

from circuit_examples import FAN
from hitchworth.localization.locales import catalog
from hitchworth.localization.localize import localize
from hitchworth.localization.texts import texts
from hitchworth.model.build import Build, Protection
from hitchworth.model.protection import Ask, CircuitCheck, Hazard, Layer, ProtectionReport
from hitchworth.protection.report import protection_report
from hitchworth.reference.circuits import CircuitRule, circuit_rules
from hitchworth.reference.protections import protection_measures

DAY = date(2026, 6, 1)
THREE_WAYS = ("motor_start", "fuse_near_battery", "interrupt_rating", "apart_from_line_voltage")
MAIN = replace(FAN, name="main", role="main", awg=6, fuse_amps=Decimal(250))
CIRCUITS = (
    FAN,
    replace(FAN, name="bare", awg=None, fuse_amps=None, dedicated_fuse=None),
    replace(
        FAN, name="bad", awg=18, fuse_amps=Decimal(10), dedicated_fuse=False, length_m=Decimal(40), no_sharp_bends=False
    ),
    replace(FAN, name="hot", load_amps=Decimal(60), fuse_block_covered=False, chafe_protection=False),
    replace(FAN, name="good", fuse_block_covered=True, chafe_protection=True, no_sharp_bends=True),
    replace(MAIN, name="near", fuse_distance_m=Decimal("0.2"), fuse_interrupt_amps=Decimal(20000)),
    replace(MAIN, name="far", fuse_distance_m=Decimal(2), fuse_interrupt_amps=Decimal(1000)),
    replace(MAIN, name="half", fuse_distance_m=Decimal(1), fuse_interrupt_amps=Decimal(6000), awg=-3),
    replace(MAIN, name="unfused", fuse_amps=None),
    replace(FAN, name="pump", start_amps=Decimal(10), apart_from_line_voltage=True),
    replace(FAN, name="jack", start_amps=Decimal(90), apart_from_line_voltage=False),
)
PROTECTIONS = (
    *(Protection(name=measure.name) for measure in protection_measures()),
    Protection(name="a", cost=Decimal(90), annual_discount=Decimal(20)),
    Protection(name="b", cost=Decimal(90), annual_discount=Decimal(0)),
    Protection(name="c", cost=Decimal(90)),
    Protection(name="d", annual_discount=Decimal(20)),
)


def report(locale: str, protections: tuple[Protection, ...] = PROTECTIONS) -> ProtectionReport:
    build = Build(name="a", currency="EUR", protections=protections, circuits=CIRCUITS)
    return localize(protection_report(build, (), DAY), locale, "EUR")


def published() -> list[str]:
    """The texts of the data that a report shows."""
    measures = [
        text
        for measure in protection_measures()
        for text in (measure.title, measure.caution, measure.source, *measure.evidence)
    ]
    practices = [getattr(circuit_rules(), name) for name in circuit_rules().__struct_fields__]
    return [text for text in (*measures, *(each.source for each in practices if isinstance(each, CircuitRule))) if text]


@pytest.mark.parametrize(
    ("circuit", "text"),
    [
        ("hot", "The fuse block is open; customary is a cover."),
        ("good", "The fuse block is covered."),
        ("fan", "Whether the fuse block is covered is not known."),
    ],
)
def test_a_check_says_whether_it_holds_fails_or_is_not_known(circuit: str, text: str) -> None:
    findings = next(each.findings for each in report("en-US").circuits if each.name == circuit)
    deferral = "This compares with a custom of the trade; the local code and a licensed electrician decide."
    assert [each.text for each in findings if each.check == "fuse_block_covered"] == [f"{text} {deferral}"]


def test_every_code_has_its_text() -> None:
    words = texts().protection
    assert set(words.checks) == set(get_args(CircuitCheck))
    assert set(words.asks) == set(get_args(Ask))
    assert set(words.layers) == set(get_args(Layer))
    assert set(words.cautions) == {*get_args(Hazard), "insurer_decides", "payback", "circuits"}


@pytest.mark.parametrize("locale", ["en-US", "de-DE"])
def test_every_sentence_is_written_with_all_its_particulars(locale: str) -> None:
    found = report(locale)
    findings = [each for circuit in found.circuits for each in circuit.findings]
    texts = [
        *(each.text for each in findings),
        *(each.text for each in found.uncovered_layers),
        *(each.text for each in found.paybacks),
        *(each.text for each in found.cautions),
        *(measure.question for measure in found.measures),
    ]
    assert [text for text in texts if not text or "…" in text or "{" in text] == []
    assert {(each.check, each.holds) for each in findings} >= {
        (check, holds)
        for check in ("voltage_drop", "fused", "no_sharp_bends", *THREE_WAYS)
        for holds in (True, False, None)
    }


def test_a_check_between_two_limits_says_what_decides() -> None:
    found = {each.check: each.text for each in next(c for c in report("en-US").circuits if c.name == "half").findings}
    assert found["fuse_within_conductor"].startswith(
        "The fuse is of 250 A. The conductor is rated for 195 A by the strictest table, and for 445 A by that of the "
        "best usual insulation: read the temperature class printed on the cable."
    )
    assert "up to 1.83 m are if the cable lies in a sheath" in found["fuse_near_battery"]
    assert "Ask the maker of the battery, above all with lithium." in found["interrupt_rating"]


def test_every_finding_defers_to_code_and_licensed_practice() -> None:
    for circuit in report("en-US").circuits:
        for each in circuit.findings:
            assert each.text.endswith("the local code and a licensed electrician decide.")


def test_uncovered_layers_are_named() -> None:
    assert "No measure of the layer “sealing” is in place." in [
        minimal.text for minimal in report("en-US", ()).uncovered_layers
    ]
    assert "Zur Schicht „Abdichtung“ ist nichts vorhanden." in [
        minimal.text for minimal in report("de-DE", ()).uncovered_layers
    ]


def test_amounts_are_in_the_currency_and_figures_as_the_locale_writes_them() -> None:
    paid = next(each for each in report("de-DE").paybacks if each.years)
    assert "20,00\u00a0€" in paid.text
    assert "4,5 Jahren" in paid.text


@pytest.mark.parametrize("locale", ["de-DE", "es-US", "fr-CA"])
def test_every_catalog_has_every_published_text(locale: str) -> None:
    known = catalog(locale)
    assert {text for text in published() if known.gettext(text) == text} <= {"photo"}  # the same in French
