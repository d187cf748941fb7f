"""Results with their words: nothing is left empty, and no value is read as a template."""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

import msgspec
import pytest
from msgspec.structs import replace

from demo_sheet import demo_statement
from hitchworth.localization.locales import available
from hitchworth.localization.localize import localize
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.definition import ElementResult, FactTest
from hitchworth.model.gap import GapStatement
from hitchworth.model.settlement import Settlements
from hitchworth.model.workings import Working

LOCALES = available()


@pytest.fixture(params=LOCALES)
def statement(request: pytest.FixtureRequest) -> GapStatement:
    return localize(demo_statement(), request.param)


def elements(statement: GapStatement) -> Iterator[ElementResult]:
    for definition in statement.assessment.built:
        yield from definition.elements


def test_every_text_of_the_demo_is_filled_in(statement: GapStatement) -> None:
    assert statement.statement
    assert len(statement.cautions) == 4
    assert all(question.text and question.why and question.source for question in statement.questions)
    assert all(step.label for settlement in statement.settlements for step in settlement.steps)
    assert all(part.label for settlement in statement.settlements for part in settlement.gap_breakdown)
    assert all(note.text for settlement in statement.settlements for note in settlement.assumed)
    assert all(element.because for element in elements(statement))


def test_no_particular_is_missing(statement: GapStatement) -> None:
    printed = msgspec.json.encode(statement).decode()
    assert "…" not in printed
    assert "money}" not in printed


def test_figures_and_codes_stay_as_they_were(statement: GapStatement) -> None:
    given = demo_statement()
    assert [s.payable for s in statement.settlements] == [s.payable for s in given.settlements]
    assert statement.estimate.totals == given.estimate.totals
    assert [q.id for q in statement.questions] == [q.id for q in given.questions]


def test_wording_twice_changes_nothing(statement: GapStatement) -> None:
    assert localize(statement, statement.locale) == statement


def test_the_statement_tells_cost_verdict_worst_gap_and_first_question() -> None:
    text = localize(demo_statement(), "en-US").statement
    localizer = localizer_for("en-US", "USD")
    worst = max(demo_statement().settlements, key=lambda settlement: settlement.gap)
    for amount in (demo_statement().estimate.totals.replacement_cost, worst.gap, worst.payable):
        assert localizer.money(amount) in text
    assert "utility trailer" in text
    assert "RCW 46.04.623" in text
    assert localize(demo_statement(), "en-US").questions[0].text in text


def test_published_texts_are_translated_where_the_catalog_has_them() -> None:
    german = localize(demo_statement(), "de-DE")
    assert {d.title for d in german.assessment.built} & {"Reiseanhänger (travel trailer)"}
    untranslated = {e.text for e in elements(german)} & {e.text for e in elements(demo_statement())}
    assert untranslated == set(), "every condition of the demo's jurisdiction is in the catalog"


def test_settlements_alone_take_the_currency_of_the_build() -> None:
    answer = Settlements(settlements=demo_statement().settlements, matrix=(), combined=())
    settlements = localize(answer, "en-US", "USD").settlements
    labels = " ".join(step.label for settlement in settlements for step in settlement.steps)
    assert "Sales tax on a total loss" in labels


def test_an_estimate_and_an_assessment_are_worded_alone() -> None:
    assert all(note.text for note in localize(demo_statement().estimate, "de-DE").notes)
    assert "Lastanhänger" in localize(demo_statement().assessment, "de-DE").statement


def test_a_working_has_the_words_of_its_rule() -> None:
    working = Working(figure="depreciation", rule="depreciation", formula="100.00 x (1 - 0.6) = 40.00")
    estimate = demo_statement().estimate
    worked = replace(estimate, lines=(replace(estimate.lines[0], workings=(working,)), *estimate.lines[1:]))
    first, second, *_ = localize(worked, "en-US").lines
    assert [each.text for each in first.workings] == ["replacement cost x (1 - percent good)"]
    assert second.workings == ()


def test_a_value_is_never_read_as_a_template() -> None:
    hostile = "{gap:money}{0.__class__}%s"
    settlement = replace(demo_statement().settlements[0], policy=hostile, gap=Decimal(10**9))
    text = localize(replace(demo_statement(), settlements=(settlement,)), "en-US").statement
    assert hostile in text


def test_without_a_gap_or_a_question_the_statement_says_so() -> None:
    minimal = replace(demo_statement(), settlements=(), questions=())
    assert "No settlement leaves a gap." in localize(minimal, "en-US").statement


@pytest.mark.parametrize(
    ("test", "because"),
    [
        (
            FactTest(fact="empty_weight_kg", operator="<=", threshold="907.18474", unit="kg", value=None, holds=None),
            "Empty weight: not known yet; required: at most 2,000 lb (907.18 kg).",
        ),
        (
            FactTest(fact="has_toilet", operator="==", threshold=True, unit=None, value=False, holds=False),
            "Toilet: no; required: yes.",
        ),
        (
            FactTest(
                fact="built_by", operator="in", threshold=("owner", "workshop"), unit=None, value="owner", holds=True
            ),
            "Builder of the body: owner; required: one of owner, workshop.",
        ),
    ],
)
def test_a_reason_names_the_fact_and_what_is_asked_for(test: FactTest, because: str) -> None:
    assessment = demo_statement().assessment
    element = ElementResult(id="e", text="t", holds=test.holds, because="", citation="c", tests=(test,))
    definition = replace(assessment.built[0], elements=(element,))
    reworded = localize(replace(assessment, built=(definition,)), "en-US")
    assert reworded.built[0].elements[0].because == because


def test_a_verdict_without_registered_class() -> None:
    assessment = demo_statement().assessment
    minimal = replace(assessment, registered=replace(assessment.registered, class_=None), as_of=date(2026, 1, 1))
    assert localize(minimal, "en-US").statement == (
        "No registered class is given, so there is nothing to compare the build with. As built it meets: Home-built or "
        "assembled vehicle (RCW 46.12.560; WAC 308-56A-265, 308-56A-455)."
    )
