"""A value curve as a chart (SVG): replacement cost, actual cash value and limit over time.

The lines differ in their strokes, and each has its name at its end, so that the chart reads in black and white. A
change on one day is drawn as a step; between two known days a line is straight.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from decimal import ROUND_CEILING, Decimal
from html import escape
from typing import NamedTuple, TypeAlias

from hitchworth.localization.localizer import Localizer
from hitchworth.localization.texts import texts
from hitchworth.model.value_curve import ValueCurve
from hitchworth.reports.svg import BLUE, INK, PAPER, WIDTH, svg

HEIGHT, LEFT, RIGHT, TOP, BOTTOM = 300, 78, 138, 26, 30
DATE_WIDTH, NAME_HEIGHT = 84, 15
_PLOT_WIDTH, _PLOT_HEIGHT = WIDTH - LEFT - RIGHT, HEIGHT - TOP - BOTTOM
_STEPS = (Decimal(1), Decimal(2), Decimal("2.5"), Decimal(5), Decimal(10))


DayValue: TypeAlias = tuple[date, Decimal]


class Series(NamedTuple):
    """One line: its name, its values and its stroke."""

    name: str
    values: tuple[DayValue, ...]
    stroke: str


class Frame(NamedTuple):
    """The axes of the chart: the position of a date and of an amount."""

    first: date
    last: date
    largest: Decimal

    def x(self, day: date) -> Decimal:
        """Return the horizontal position, by days; a single date is at the left."""
        days = (self.last - self.first).days or 1
        return LEFT + Decimal((day - self.first).days) / days * _PLOT_WIDTH

    def y(self, amount: Decimal) -> Decimal:
        """Return the vertical position, down from the top."""
        return TOP + _PLOT_HEIGHT * (1 - amount / self.largest)


def value_chart(curve: ValueCurve, localizer: Localizer, name: str = "value-curve") -> str:
    """Return the SVG text. `name` keeps the ids of several charts on one page apart."""
    dates = [point.as_of for point in curve.points]
    series = tuple(_series(curve, localizer))
    largest = max(value for one in series for _, value in one.values)
    step = _step(largest)
    steps = int((largest / step).to_integral_value(ROUND_CEILING)) or 1
    frame = Frame(dates[0], dates[-1], step * steps)
    title = localizer.format(texts().curve["chart_title"], currency=curve.currency)
    content = (
        f'<rect width="{WIDTH}" height="{HEIGHT}" fill="{PAPER}"/>'
        f"{''.join(_amount_axis(frame, step, steps, localizer))}{''.join(_date_axis(frame, dates, localizer))}"
        f"{_limit_exceeded(curve, frame, localizer)}"
        f"{''.join(_line(one, frame) for one in series)}{''.join(_series_names(series, frame))}"
    )
    return svg(content, HEIGHT, title, _description(curve, localizer), name)


def _series(curve: ValueCurve, localizer: Localizer) -> Iterator[Series]:
    sheet = texts().sheet
    costs = [(point.as_of, point.replacement_cost) for point in curve.points]
    cost_steps = [(one.on, (one.replacement_cost_before, one.replacement_cost)) for one in curve.changes]
    name = localizer.translate(sheet["replacement_cost"])
    yield Series(name, _stepped(costs, cost_steps), f'stroke="{INK}" stroke-width="2"')
    values = [(point.as_of, point.actual_cash_value) for point in curve.points]
    value_steps = [(one.on, (one.actual_cash_value_before, one.actual_cash_value)) for one in curve.changes]
    name = localizer.translate(sheet["actual_cash_value"])
    yield Series(name, _stepped(values, value_steps), f'stroke="{BLUE}" stroke-width="2" stroke-dasharray="8 4"')
    if curve.limit is not None:
        limit = tuple((point.as_of, curve.limit) for point in curve.points)
        name = localizer.translate(texts().causes["limit"])
        yield Series(name, limit, f'stroke="{INK}" stroke-width="1.4" stroke-dasharray="1.5 3"')


def _stepped(points: Iterable[DayValue], steps: Iterable[tuple[date, tuple[Decimal, Decimal]]]) -> tuple[DayValue, ...]:
    """Return the points, and at each step the values before and after it, both on the day of the step."""
    by_day = {day: (value,) for day, value in points} | dict[date, tuple[Decimal, ...]](steps)
    return tuple((day, value) for day, values in sorted(by_day.items()) for value in values)


def _description(curve: ValueCurve, localizer: Localizer) -> str:
    first, last = curve.points[0], curve.points[-1]
    return localizer.format(
        texts().curve["chart_described"],
        first=first.as_of,
        last=last.as_of,
        first_cost=first.replacement_cost,
        last_cost=last.replacement_cost,
        first_value=first.actual_cash_value,
        last_value=last.actual_cash_value,
        statement=curve.statement,
    )


def _step(largest: Decimal) -> Decimal:
    """Return a round amount that fits at most five times into the largest one: 1, 2, 2.5 or 5 times a power of ten."""
    if not largest:
        return Decimal(1)
    power = Decimal(1).scaleb((largest / 5).adjusted())
    needed = (largest / 5 / power).quantize(Decimal("0.000001"), ROUND_CEILING)
    return power * next(step for step in _STEPS if step >= needed)


def _amount_axis(frame: Frame, step: Decimal, steps: int, localizer: Localizer) -> Iterator[str]:
    """Yield a hairline and its amount at each step."""
    for index in range(steps + 1):
        y = frame.y(step * index)
        yield f'<line x1="{LEFT}" x2="{LEFT + _PLOT_WIDTH}" y1="{y:.2f}" y2="{y:.2f}" stroke="#bbb" stroke-width=".6"/>'
        yield _text(Decimal(LEFT - 8), y + 4, localizer.formats.number(step * index), "end")


def _date_axis(frame: Frame, dates: Sequence[date], localizer: Localizer) -> Iterator[str]:
    """Yield the dates along the bottom, as many as fit."""
    next_free = Decimal(0)
    for day in dates:
        x = frame.x(day)
        if x >= next_free:
            next_free = x + DATE_WIDTH
            bottom = TOP + _PLOT_HEIGHT
            yield f'<line x1="{x:.2f}" x2="{x:.2f}" y1="{bottom}" y2="{bottom + 5}" stroke="{INK}"/>'
            yield _text(x, Decimal(HEIGHT - 8), localizer.formats.day(day), "middle")


def _limit_exceeded(curve: ValueCurve, frame: Frame, localizer: Localizer) -> str:
    """Return a vertical line on the day from which the limit no longer covers the value."""
    if curve.limit_exceeded_on is None:
        return ""
    x = frame.x(curve.limit_exceeded_on)
    anchor = "start" if x < LEFT + _PLOT_WIDTH / 2 else "end"
    return (
        f'<line x1="{x:.2f}" x2="{x:.2f}" y1="{TOP - 6}" y2="{TOP + _PLOT_HEIGHT}" stroke="{INK}" stroke-width=".8"/>'
        f"{_text(x, Decimal(TOP - 10), localizer.formats.day(curve.limit_exceeded_on), anchor)}"
    )


def _line(series: Series, frame: Frame) -> str:
    places = [(frame.x(day), frame.y(value)) for day, value in series.values]
    if len(places) == 1:
        places.append((places[0][0] + 12, places[0][1]))
    points = " ".join(f"{x:.2f},{y:.2f}" for x, y in places)
    return f'<polyline points="{points}" fill="none" {series.stroke}/>'


def _series_names(series: Iterable[Series], frame: Frame) -> Iterator[str]:
    """Yield the name of each line at its end; where two ends are close, the lower name moves down."""
    ends = sorted((frame.y(one.values[-1][1]), one.name) for one in series)
    lowest = Decimal(0)
    for y, name in ends:
        baseline = max(y + 4, lowest)
        lowest = baseline + NAME_HEIGHT
        yield _text(Decimal(LEFT + _PLOT_WIDTH + 8), baseline, name, "start")


def _text(x: Decimal, y: Decimal, text: str, anchor: str) -> str:
    return f'<text x="{x:.2f}" y="{y:.2f}" text-anchor="{anchor}">{escape(text)}</text>'
