"""The workings of every line, where the estimate was asked for them: the same formulas as in the API."""

from hitchworth.model.estimate import EstimateLine, Figure
from hitchworth.sheets.content import AnyBlock, Column, Group, GroupedTable
from hitchworth.sheets.subject import Subject

TITLES: dict[Figure, str] = {"historic_cost": "paid", "age_years": "age"}
"""Where a figure goes by another name on the sheet."""


def workings(subject: Subject) -> tuple[AnyBlock, ...]:
    """A group of formulas for each line."""
    lines = [line for line in subject.statement.estimate.lines if line.workings]
    columns = (
        Column(subject.say("figure")),
        Column(subject.say("formula"), width=1),
        Column(subject.say("rule"), width=1),
    )
    groups = tuple(_group(subject, line) for line in lines)
    return (GroupedTable(subject.say("workings_caption"), columns, groups),) if groups else ()


def _group(subject: Subject, line: EstimateLine) -> Group:
    rows = tuple(
        (subject.say(TITLES.get(working.figure, working.figure)), working.formula, working.text)
        for working in line.workings
    )
    return Group(line.description, rows)
