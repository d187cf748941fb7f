"""The inventory: how the total comes about, the categories, every line, and what proves it."""

from hitchworth.model.estimate import CategoryTotal, Estimate, EstimateLine, Totals
from hitchworth.sheets.content import AnyBlock, Column, Group, GroupedTable, Heading, Listing, Table
from hitchworth.sheets.schedules_applied import schedule_name, schedules_applied
from hitchworth.sheets.subject import Subject
from hitchworth.sheets.uncertainty import uncertainty
from hitchworth.sheets.whole import whole
from hitchworth.sheets.work import work
from hitchworth.sheets.workings import workings
from hitchworth.wording.estimates import on_cost_labels


def inventory(subject: Subject) -> tuple[AnyBlock, ...]:
    """Totals, categories, evidence, then a table of lines for each category. Every table adds up on paper."""
    estimate = subject.statement.estimate
    notes = tuple(dict.fromkeys(note.text for note in estimate.notes))
    return (
        Heading(subject.say("inventory")),
        _totals(subject, estimate),
        _categories(subject, estimate),
        _evidence(subject, estimate),
        *uncertainty(subject),
        *work(subject),
        *whole(subject),
        *((Listing(notes),) if notes else ()),
        *_lines(subject, estimate),
        *schedules_applied(subject),
        *workings(subject),
    )


def _totals(subject: Subject, estimate: Estimate) -> Table:
    totals = estimate.totals
    parts = {"direct_cost": subject.say("direct_cost"), **on_cost_labels(estimate.on_costs, subject.voice)}
    return Table(
        subject.say("totals_caption"),
        (Column("", width=1), Column(subject.say("amount"), align="right")),
        tuple((label, subject.amount(getattr(totals, part))) for part, label in parts.items()),
        (subject.say("replacement_cost"), subject.amount(totals.replacement_cost)),
    )


def _categories(subject: Subject, estimate: Estimate) -> Table:
    totals, amounts = estimate.totals, ("replacement_cost", "depreciation", "actual_cash_value")
    return Table(
        subject.say("categories_caption"),
        (
            Column(subject.say("category"), width=1),
            *(Column(subject.say(amount), align="right") for amount in amounts),
        ),
        tuple(
            (
                subject.voice.heading("category", category.category),
                *(subject.amount(getattr(category, amount)) for amount in amounts),
            )
            for category in estimate.categories
        ),
        (subject.say("total"), *(subject.amount(getattr(totals, amount)) for amount in amounts)),
    )


def _evidence(subject: Subject, estimate: Estimate) -> Table:
    return Table(
        subject.say("evidence_caption"),
        (Column(subject.say("evidence"), width=1), Column(subject.say("replacement_cost"), align="right")),
        tuple(
            (subject.voice.heading("evidence", grade), subject.amount(getattr(estimate.documentation, grade)))
            for grade in ("receipt", "written_quote", "own_estimate")
        ),
    )


def _lines(subject: Subject, estimate: Estimate) -> tuple[AnyBlock, ...]:
    """Every line, a group for each category with its sums."""
    if not estimate.lines:
        return ()
    titles = ("age", "percent_good", "paid", "replacement_cost", "actual_cash_value")
    words = (Column(subject.say("item"), width=5), Column(subject.say("schedule"), width=3))
    columns = (*words, *(Column(subject.say(title), align="right") for title in titles))
    groups = tuple(_group(subject, category, estimate.lines) for category in estimate.categories)
    foot = (subject.say("total"), *_sums(subject, estimate.totals))
    return (GroupedTable(subject.say("lines_caption"), columns, groups, foot),)


def _group(subject: Subject, category: CategoryTotal, lines: tuple[EstimateLine, ...]) -> Group:
    serials = {component.id: component.serial_number for component in subject.build.components}
    return Group(
        subject.voice.heading("category", category.category),
        tuple(_line(subject, line, serials.get(line.id)) for line in lines if line.category == category.category),
        _sums(subject, category),
    )


def _sums(subject: Subject, sums: CategoryTotal | Totals) -> tuple[str, ...]:
    amounts = (subject.amount(sums.replacement_cost), subject.amount(sums.actual_cash_value))
    return ("", "", "", "", *amounts)


def _line(subject: Subject, line: EstimateLine, serial: str | None) -> tuple[str, ...]:
    described = line.description
    if serial is not None:
        described = subject.say("serial_number", description=line.description, serial=serial)
    return (
        described,
        schedule_name(subject, line.schedule),
        subject.voice.formats.number(line.age_years, 1, 1),
        subject.percent(line.percent_good),
        subject.amount(line.historic_cost),
        subject.amount(line.replacement_cost),
        subject.amount(line.actual_cash_value),
    )
