"""Every code of the core has its text, and every text is in every catalog with the same particulars."""

import re
import string
from importlib.resources import files
from typing import get_args

import pytest
from babel.messages.catalog import Message
from babel.messages.pofile import read_po
from msgspec.structs import fields

from core_codes import note_codes, step_codes
from data_texts import every_text_of_the_data, questions_about_facts, texts_of
from hitchworth.coverage.claim import SALVAGE, VERDICT
from hitchworth.demo import demo_request
from hitchworth.localization.locales import SOURCE, available
from hitchworth.localization.localizer import localizer_for
from hitchworth.localization.texts import merged, messages, texts
from hitchworth.model.after_loss import ClaimStep, RunsFrom, TimeUnit, Under
from hitchworth.model.assessment import ClassChangeTopic, Verdict
from hitchworth.model.build import MarketValueOrigin
from hitchworth.model.definition import Role
from hitchworth.model.entry import EvidenceGrade
from hitchworth.model.estimate import LaborLaw
from hitchworth.model.estimate_comparison import Effect
from hitchworth.model.gap import Addressee, Phase
from hitchworth.model.loss import Extent, Situation
from hitchworth.model.options import LaborDepreciation
from hitchworth.model.policy import Basis, Policy, PolicyKind, SettlementStep, SettlesAs, ValuesBy
from hitchworth.model.sales_comparison import Approach, GridElement
from hitchworth.model.schedule import Method
from hitchworth.model.settlement import Cause
from hitchworth.model.value_curve import FoundBy
from hitchworth.model.workings import WorkingRule
from hitchworth.reference.definitions import definitions
from hitchworth.reference.facts import facts, vocabulary
from hitchworth.reference.questions import bank_questions
from hitchworth.reference.schedules import library_schedules
from hitchworth.reference.towing_rules import towing_rules

TRANSLATED = [locale for locale in available() if locale != SOURCE]
COMPLETE = [locale for locale in TRANSLATED if not locale.startswith("en-")]
"""What a catalog of English leaves out is the same as in the source."""


def parameters(text: str) -> set[tuple[str, str]]:
    """The particulars of a text with their formats."""
    return {(name, spec or "") for _, name, spec, _ in string.Formatter().parse(text) if name is not None}


def test_the_collector_finds_the_codes_of_each_room() -> None:
    assert {"entries_left_out", "vin_check_digit_hint", "settled_by_registered_class"} <= note_codes()
    assert {"replacement_cost_new", "deductible"} <= step_codes()


def test_every_note_has_a_text_and_no_text_is_left_over() -> None:
    of_terms = {"assumed", "answered", f"assumed_{VERDICT}", f"assumed_{SALVAGE}", f"answered_{SALVAGE}"}
    of_market_value = {f"market_value_{origin}" for origin in get_args(MarketValueOrigin)}
    assert set(texts().notes) == note_codes() | of_terms | of_market_value


def test_every_step_and_every_cause_has_a_text() -> None:
    assert set(texts().steps) == step_codes()
    assert set(texts().causes) == set(get_args(Cause))


def test_every_rule_of_a_working_has_its_words() -> None:
    assert set(texts().workings) == set(get_args(WorkingRule))


def test_every_row_approach_effect_and_crossing_has_a_text() -> None:
    assert set(texts().adjustments) == set(get_args(GridElement))
    assert set(texts().approaches) == set(get_args(Approach))
    assert set(texts().effects) == set(get_args(Effect))
    ways = {f"{found_by}_{turn}" for found_by in get_args(FoundBy) for turn in ("covered", "not_covered")}
    assert set(texts().crossings) == ways - {"bisection_not_covered"}


def test_every_step_of_a_claim_has_a_text_and_every_count_a_label() -> None:
    assert set(texts().claim_steps) == set(get_args(ClaimStep))
    assert set(texts().labels["counted_in"]) == set(get_args(TimeUnit))
    assert set(texts().labels["runs_from"]) == set(get_args(RunsFrom))
    assert set(texts().labels["under"]) == set(get_args(Under))


def test_every_topic_of_a_class_change_has_a_label() -> None:
    assert set(texts().labels["class_change"]) == set(get_args(ClassChangeTopic))


@pytest.mark.parametrize(
    ("group", "codes"),
    [
        ("basis", get_args(Basis)),
        ("extent", get_args(Extent)),
        ("order", get_args(SettlementStep)),
        ("settles_as", get_args(SettlesAs)),
        ("verdict", get_args(Verdict)),
        ("role", get_args(Role)),
        ("grid_element", get_args(GridElement)),
        ("evidence", get_args(EvidenceGrade)),
        ("fact", tuple(vocabulary())),
        ("term", (VERDICT, *(term.name for term in fields(Policy) if term.name != "name"))),
        ("policy_kind", get_args(PolicyKind)),
        ("values_by", get_args(ValuesBy)),
        ("situation", get_args(Situation)),
        ("phase", get_args(Phase)),
        ("addressee", get_args(Addressee)),
        ("method", get_args(Method)),
        ("labor_depreciation", get_args(LaborDepreciation)),
        ("law", get_args(LaborLaw)),
        ("category", tuple(name for record in library_schedules() for name in record.categories)),
        ("class", tuple({definition.class_ for definition in definitions()})),
        ("class", tuple({name for definition in definitions() for name in definition.contradicts})),
    ],
)
def test_every_name_of_the_vocabulary_has_a_label(group: str, codes: tuple[str, ...]) -> None:
    assert [code for code in codes if code not in texts().labels[group]] == []


def test_five_locales_are_spoken() -> None:
    assert available() == ("en-US", "de-DE", "en-GB", "es-US", "fr-CA")


def translate(locale: str) -> list[Message]:
    """The messages of a catalog, without its head."""
    with files("hitchworth.localization").joinpath("locales", locale, "messages.po").open("rb") as lines:
        return [message for message in read_po(lines, locale=locale.replace("-", "_")) if message.id]


@pytest.mark.parametrize("locale", COMPLETE)
def test_every_text_is_in_the_catalog(locale: str) -> None:
    known = {message.id for message in translate(locale)}
    assert [text for text in messages() if text not in known] == []


@pytest.mark.parametrize("locale", TRANSLATED)
def test_no_catalog_has_a_text_that_is_not_used(locale: str) -> None:
    used = {*messages(), *every_text_of_the_data()}
    assert [message.id for message in translate(locale) if message.id and message.id not in used] == []


@pytest.mark.parametrize("locale", COMPLETE)
def test_every_question_about_a_fact_is_in_the_catalog(locale: str) -> None:
    known = {message.id for message in translate(locale)}
    assert [text for text in questions_about_facts() if text not in known] == []


@pytest.mark.parametrize("locale", COMPLETE)
def test_no_question_stays_in_english(locale: str) -> None:
    """Neither those of the bank nor those about facts: a translation that repeats the English is none."""
    localizer = localizer_for(locale)
    asked = (*(question.text for question in bank_questions().values()), *(fact.question for fact in facts()))
    assert [text for text in asked if localizer.translate(text) == text] == []


@pytest.mark.parametrize("locale", COMPLETE)
def test_every_text_of_the_demo_s_jurisdiction_and_of_the_rules_of_the_states_is_in_the_catalog(locale: str) -> None:
    known = {message.id for message in translate(locale)}
    assert [text for text in texts_of(demo_request().build.jurisdiction or "") if text not in known] == []
    rules = (each.rule for each in towing_rules())
    assert [rule.text for rule in rules if rule.id.startswith("us-") and rule.text not in known] == []


# Spellings and terms of American English, where those of British insurers differ (common practice).
AMERICAN = re.compile(
    r"\b(\w*labor\w*|tires?|gray|favorable|neighbors?|recogniz\w+|stabiliz\w+|catalog|faucet|deductibles?|coinsurance"
    r"|couplers?|licenses?|percent|fenders?|stove|tongue load|actual cash value|apprais\w+)\b",
    re.IGNORECASE,
)


def test_british_english_has_no_american_words() -> None:
    texts_there = (*messages(), *questions_about_facts(), *texts_of("US-WA"))
    answered_locale = [localizer_for("en-GB").translate(text) for text in texts_there]
    plain = [re.sub(r"{[^}]*}", "", text) for text in answered_locale]
    assert [text for text in plain if AMERICAN.search(text)] == []


@pytest.mark.parametrize("locale", TRANSLATED)
def test_a_catalog_has_each_text_once(locale: str) -> None:
    written = files("hitchworth.localization").joinpath("locales", locale, "messages.po").read_text("utf-8")
    assert written.count("\nmsgid ") == len(translate(locale)) + 1  # the head


@pytest.mark.parametrize("locale", TRANSLATED)
def test_every_message_is_translated_and_says_the_same_particulars(locale: str) -> None:
    catalog = translate(locale)
    assert [message.id for message in catalog if message.fuzzy or not message.string] == []
    assert [m.id for m in catalog if parameters(str(m.id)) != parameters(str(m.string))] == []


def test_a_key_that_two_files_of_texts_have_is_an_error() -> None:
    assert merged([b"notes: {a: one}", b"steps: {a: two}"]) == {"notes": {"a": "one"}, "steps": {"a": "two"}}
    with pytest.raises(ValueError, match="the same key: notes, steps"):
        merged([b"steps: {a: one}\nnotes: {}", b"notes: {b: two}\nsteps: {}\ncauses: {}"])
