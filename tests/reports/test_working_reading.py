"""A working reading in the reports and in the settlements: marked wherever the verdict stands, and no law for a claim.

The demo's trailer, registered as a utility trailer in Maine, which defines no class (definitions read on 2026-11-27).
"""

from functools import cache
from io import BytesIO

import pytest
from docx import Document
from msgspec.structs import replace

from hitchworth.appraisal import gap_statement
from hitchworth.demo import demo_request
from hitchworth.localization.locales import available
from hitchworth.model.build import Build, FactValue
from hitchworth.model.gap import GapStatement
from hitchworth.operations.reports import Printing, create_report
from hitchworth.reports import docx, html, markdown
from hitchworth.reports.content import Content

HAULS: dict[str, FactValue] = {
    "temporary_living_quarters": False,
    "sleeping_berths": 0,
    "permanent_residence_use": False,
    "collapsible": False,
    "special_permit_needed": False,
}
SLEEPS: dict[str, FactValue] = {**HAULS, "temporary_living_quarters": True, "sleeping_berths": 2}
MARKS = {
    "en-US": "(by the nearest definitions, not by law)",
    "en-GB": "(by the nearest definitions, not by law)",
    "de-DE": "(nach den nächstliegenden Definitionen, nicht nach dem Gesetz)",
    "es-US": "(según las definiciones más cercanas, no según la ley)",
    "fr-CA": "(selon les définitions les plus proches, non selon la loi)",
}


def build_in(place: str, facts: dict[str, FactValue]) -> Build:
    return replace(demo_request().build, jurisdiction=place, facts=facts)


def statement_of(build: Build) -> GapStatement:
    request = demo_request()
    assert request.as_of is not None
    return gap_statement(replace(request, build=build), request.as_of)


@cache
def sheet(locale: str) -> Content:
    return create_report(replace(demo_request(), build=build_in("US-ME", HAULS), locale=locale), "all")


@pytest.mark.parametrize("locale", available())
def test_the_verdict_is_marked_on_the_sheet(locale: str) -> None:
    texts = (markdown.render(sheet(locale)).replace("\\", ""), html.render(sheet(locale)))
    assert all(MARKS[locale] in text for text in texts)


def test_each_definition_says_what_it_is_in_the_reading() -> None:
    text = markdown.render(sheet("en-US"))
    assert "Match (by the nearest definitions, not by law)" in text.replace("\\", "")
    assert "met; used in place of a definition of the class" in text.casefold()
    word = Document(BytesIO(docx.render(sheet("en-US"))))
    cells = {cell.text for table in word.tables for row in table.rows for cell in row.cells}
    assert "Met; used in place of a definition of the class" in cells
    assert "Not met; speaks against the class, though it is not the law on it" not in cells


def test_a_definition_that_speaks_against_it_says_so() -> None:
    request = replace(demo_request(), build=build_in("US-ME", SLEEPS))
    text = markdown.render(create_report(request, "all", Printing(include_unverified=True)))
    assert "Met; speaks against the class, though it is not the law on it" in text
    assert "Mismatch (by the nearest definitions, not by law)" in text.replace("\\", "")


@pytest.mark.parametrize("facts", [HAULS, SLEEPS])
def test_settlements_leave_the_verdict_open(facts: dict[str, FactValue]) -> None:
    """What is paid is the same as for a class of no known kind, whose verdict is undetermined."""
    read = statement_of(build_in("US-ME", facts))
    unread = statement_of(replace(build_in("US-ME", facts), registered_class="spaceship"))
    assert (read.assessment.verdict, unread.assessment.verdict) != ("undetermined", "undetermined")
    assert [one.payable for one in read.settlements] == [one.payable for one in unread.settlements]
    assert any(note.code == "assumed_verdict" for one in read.settlements for note in one.assumed)
    asked = {question.id: question for question in read.questions}
    assert asked["class_change"].to == "authority"
    assert asked["class_change"].money_at_stake.high > 0
    assert not any(question.settles.fact == "registered_class" for question in read.questions)
