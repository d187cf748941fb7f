"""The work in the trailer: own and hired hours, and what each rule of labor depreciation makes of them."""

from hitchworth.model.estimate import LaborRuleOfPlace, LaborSummary, Work
from hitchworth.sheets.content import AnyBlock, Column, Paragraph, Table
from hitchworth.sheets.subject import Subject

RULES = ("none", "with_component", "own")


def work(subject: Subject) -> tuple[AnyBlock, ...]:
    """Hours and their cost, the three rules side by side, and the published rule of the place where there is one."""
    estimate = subject.statement.estimate
    labor, rule = estimate.labor, estimate.labor_rule_of_place
    if not (labor.own.hours or labor.hired.hours):
        return ()
    return (
        _hours(subject, labor),
        Paragraph(subject.say("own_hours_add", amount=labor.own_hours_add)),
        _rules(subject),
        *((_published(subject, rule),) if rule is not None else ()),
    )


def _hours(subject: Subject, labor: LaborSummary) -> Table:
    titles = ("hours", "paid", "at_market", "replacement_cost")
    columns = (Column(subject.say("work"), width=1), *(Column(subject.say(title), align="right") for title in titles))
    return Table(
        subject.say("labor_caption"),
        columns,
        (_row(subject, "own_hours", labor.own), _row(subject, "hired_hours", labor.hired)),
    )


def _row(subject: Subject, kind: str, done: Work) -> tuple[str, ...]:
    amounts = (done.paid, done.at_market, done.replacement_cost)
    return (subject.say(kind), subject.voice.formats.number(done.hours), *map(subject.money, amounts))


def _rules(subject: Subject) -> Table:
    values = subject.statement.estimate.labor_rules
    return Table(
        subject.say("labor_rules_caption"),
        (Column(subject.say("labor_rule"), width=1), Column(subject.say("actual_cash_value"), align="right")),
        tuple(
            (subject.voice.heading("labor_depreciation", rule), subject.money(getattr(values, rule))) for rule in RULES
        ),
    )


def _published(subject: Subject, rule: LaborRuleOfPlace) -> Paragraph:
    text = "labor_rule_of_place" if rule.mark == "found" else "labor_rule_not_verified"
    return Paragraph(
        subject.say(text, jurisdiction=rule.jurisdiction, law=rule.law, text=rule.text, citation=rule.citation)
    )
