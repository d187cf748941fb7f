"""The results as sheets: the values and the gaps with a chart, every line with formulas, and the questions.

A formula recomputes a figure from other cells where it can, otherwise from the numbers of its working.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any

from msgspec.structs import replace

from hitchworth.localization.localizer import Localizer
from hitchworth.localization.texts import texts
from hitchworth.model.estimate import Estimate, EstimateLine
from hitchworth.model.gap import GapStatement, Question
from hitchworth.model.request import GapRequest
from hitchworth.model.settlement import Cause, Settlement
from hitchworth.model.workings import Figure, Working
from hitchworth.workbooks.cells import Cell, Row, column_name
from hitchworth.workbooks.document_sheets import sheet_name
from hitchworth.workbooks.entry_formulas import EntryFormulas, entry_cell, entry_column
from hitchworth.workbooks.look import Chart, Look, Place, Style, wide_enough
from hitchworth.workbooks.split_formulas import SplitColumns, split_columns
from hitchworth.workbooks.table import Table

_ARITHMETIC = re.compile(r"[0-9.x^+\-/() ]+")
_MONEY: dict[Figure, str] = {
    "historical_cost": "D",
    "direct_cost": "E",
    "overhead": "F",
    "profit": "G",
    "sales_tax": "H",
    "replacement_cost": "I",
    "depreciation": "L",
    "actual_cash_value": "M",
}
"""The columns of the amounts of a line."""
_LINE: tuple[Figure, ...] = (
    *("historical_cost", "direct_cost", "overhead", "profit", "sales_tax"),
    *("replacement_cost", "age_years", "percent_good", "depreciation", "actual_cash_value"),
)
"""The figures of a line, in the order of their columns from D on."""
_SHARES: dict[Figure, str] = {"age_years": "J", "percent_good": "K"}
_ROUNDED: tuple[Figure, ...] = ("historical_cost", "direct_cost", "sales_tax")
_INDIRECT: tuple[Figure, ...] = ("overhead", "profit", "sales_tax")
_SPLIT = ("overhead_split", "profit_split", "sales_tax_split")
"""Rules of shares by largest remainder, whose formulas need all lines."""
_LAST = "N"
"""The last column of the lines; what their formulas need besides stands to the right of it."""


_UNLISTED = ("category_without_schedule", "category_similar_to_listed", "work_without_schedule")
"""The notes on a category that is not in the library."""


class ResultSheets:
    """The sheets of the results of one document."""

    def __init__(
        self,
        document: GapRequest,
        statement: GapStatement,
        estimate: Estimate,
        localizer: Localizer,
        *,
        money_places: int,
        notes: Sequence[str],
    ) -> None:
        """Take the results.

        document: as the sheets to fill in show it.
        estimate: that of the statement, with its workings.
        notes: what was not read.
        """
        self._document, self._statement, self._estimate = document, statement, estimate
        self._localizer, self._places, self._notes = localizer, money_places, notes
        self._lines = sheet_name("line", localizer)

    def sheets(self) -> Iterator[tuple[Table, Look]]:
        """Yield the sheets with their looks: results, line values, questions."""
        yield self._results()
        yield self.line_values()
        yield self._questions()

    def _text(self, name: str, /, **parameters: Any) -> str:
        own = texts().workbook
        return self._localizer.format(own.get(name) or texts().sheet[name], **parameters)

    def _results(self) -> tuple[Table, Look]:
        rows: list[Row] = [
            (self._document.build.name,),
            (self._text("computed", as_of=self._statement.as_of),),
            (self._statement.statement,),
            *((note,) for note in (*self._notes, *self._unlisted())),
            (),
        ]
        styles: dict[Place, Style] = {(0, 0): "title"}
        styles |= {(row, 0): "text" for row in range(1, len(rows))}
        formulas: dict[Place, str] = {}
        last = len(self._estimate.lines) + 1
        for figure, column in _MONEY.items():
            if figure != "historical_cost":
                place = (len(rows), 1)
                rows.append((self._heading(figure), getattr(self._estimate.totals, figure)))
                styles |= {(place[0], 0): "label", place: "money"}
                formulas[place] = f"SUM('{self._lines}'!{column}2:{column}{last})" if last > 1 else "0"
        rows.append(())
        chart = self._add_settlements(rows, styles, formulas)
        cautions = ((self._text("cautions"),), *((caution,) for caution in self._statement.cautions))
        rows += ((), *cautions)
        styles |= {(len(rows) - row, 0): "text" for row in range(1, len(cautions) + 1)}
        if chart is not None:
            chart = replace(chart, place=(len(rows) + 1, 0))
        look = Look(
            widths=wide_enough((62, *(16 for _ in range(max(map(len, rows)) - 1))), self._heads(rows, styles)),
            styles=styles,
            formulas=formulas,
            chart=chart,
        )
        return Table(name=sheet_name("result", self._localizer), rows=tuple(rows)), look

    @staticmethod
    def _heads(rows: Sequence[Row], styles: Mapping[Place, Style]) -> list[Row]:
        return [row for at, row in enumerate(rows) if styles.get((at, 0)) == "head"]

    def _unlisted(self) -> Iterator[str]:
        """Yield the notes on categories that are not in the library, each with the cells that have the category."""
        for text, places in self._unlisted_places():
            cells = (entry_cell(kind, "category", row + 1, self._localizer) for kind, row in places)
            yield f"{text} ({', '.join(cells)})"

    def marked(self, looks: Mapping[str, Look]) -> dict[str, Look]:
        """Return the looks of the entries with each category colored that is not in the library, and what it means."""
        marked = dict(looks)
        for text, places in self._unlisted_places():
            for kind, row in places:
                name = sheet_name(kind, self._localizer)
                place = (row, entry_column(kind, "category"))
                look = marked[name]
                marked[name] = replace(
                    look, styles={**look.styles, place: "unlisted"}, comments={**look.comments, place: text}
                )
        return marked

    def _unlisted_places(self) -> Iterator[tuple[str, list[tuple[str, int]]]]:
        """Yield each note on a category that is not in the library, with the kind and the row of its entries."""
        build = self._document.build
        entries = (
            *(("component", row, part.category) for row, part in enumerate(build.components, start=1)),
            *(("labor", row, entry.category) for row, entry in enumerate(build.labor, start=1)),
        )
        for note in self._statement.estimate.notes:
            if note.code in _UNLISTED:
                yield note.text, [(kind, row) for kind, row, category in entries if category == note.about]

    def _heading(self, figure: Figure) -> str:
        return self._text({"historical_cost": "paid", "age_years": "age"}.get(figure, figure))

    def _add_settlements(self, rows: list[Row], styles: dict[Place, Style], formulas: dict[Place, str]) -> Chart | None:
        """Add what each policy pays for each loss, and where the rest goes; return the chart of it."""
        settlements = self._statement.settlements
        if not settlements:
            return None
        causes = dict.fromkeys((part.cause, part.label) for each in settlements for part in each.gap_breakdown)
        head = len(rows)
        names = ("payable", "gap", "payable_now", "recoverable_depreciation", "replacement_cost")
        rows.append((self._text("settlements"), *map(self._text, names), *(label for _, label in causes)))
        styles |= {(head, column): "head" for column in range(len(rows[head]))}
        for settlement in settlements:
            row = len(rows)
            rows.append((self._named(settlement), *_amounts(settlement, [cause for cause, _ in causes])))
            styles |= {(row, 0): "text", **{(row, column): "money" for column in range(1, len(rows[row]))}}
            formulas |= {(row, 1): f"D{row + 1}+E{row + 1}", (row, 2): f"F{row + 1}-B{row + 1}"}
        last = len(rows) - 1
        return Chart(
            title=self._text("settlements"),
            place=(last + 2, 0),
            head=head,
            first_row=head + 1,
            last_row=last,
            categories=0,
            series=(1, 2),
        )

    def _named(self, settlement: Settlement) -> str:
        return self._text("named", name=settlement.policy, value=settlement.loss)

    def line_values(self) -> tuple[Table, Look]:
        """Return the sheet with every line, whose formulas need the sheets of the build and its entries."""
        head = (
            self._localizer.translate(texts().columns["component"]["id"]),
            self._text("item"),
            self._text("category"),
            *(self._heading(figure) for figure in _LINE),
            self._text("schedule"),
        )
        rows: list[Row] = [head]
        styles: dict[Place, Style] = {}
        formulas: dict[Place, str] = {}
        cells = EntryFormulas(self._document.build, self._localizer, self._places)
        for line in self._estimate.lines:
            row = len(rows)
            working = {each.figure: each for each in line.workings}
            rows.append(self._line(line, working))
            own = self._formulas(line, working, row + 1, cells)
            formulas |= {(row, _column(name)): formula for name, formula in own}
        total = len(rows)
        splits = list(self._splits(cells))
        if total > 1:
            sums = {column: getattr(self._estimate.totals, figure) for figure, column in _MONEY.items()}
            rows.append((self._text("total"), *(sums.get(column_name(at)) for at in range(1, len(head)))))
            styles |= {(total, at): "total_money" if column_name(at) in sums else "total" for at in range(len(head))}
            formulas |= {(total, _column(name)): f"SUM({name}2:{name}{total})" for name in sums}
        for split in splits:
            self._add_split(split, rows, styles, formulas)
        more = [13 for _ in splits for _ in ("base", "left over")]
        look = Look(
            widths=wide_enough((20, 44, 20, 13, 13, 12, 12, 12, 13, 9, 12, 13, 13, 26, *more), rows[:1]),
            columns={
                **{at: _line_style(column_name(at)) for at in range(len(head))},
                **{_column(split.base): "money" for split in splits},
                **{_column(split.left_over): "number" for split in splits},
            },
            styles=styles,
            formulas=formulas,
            frozen_columns=1,
        )
        return Table(name=self._lines, rows=tuple(rows)), look

    def _splits(self, cells: EntryFormulas) -> Iterator[SplitColumns]:
        """Yield overhead, profit and a sales tax on the total, as far as the lines bear them."""
        if self._document.options.rounding == "half_up":  # a spreadsheet has no other
            yield from split_columns(
                self._estimate.lines, self._document.build, cells, self._localizer, places=self._places, after=_LAST
            )

    def _add_split(
        self, split: SplitColumns, rows: list[Row], styles: dict[Place, Style], formulas: dict[Place, str]
    ) -> None:
        """Add the two columns of a split, and the formulas of its amounts."""
        name = self._heading(split.figure)
        rows[0] = (*rows[0], self._text("split_base", name=name), self._text("split_left_over", name=name))
        for row, (base, left_over) in enumerate(split.values, start=1):
            rows[row] = (*rows[row], base, left_over)
        for row, texts_of_row in enumerate((*split.formulas, (*split.totals, "")), start=1):
            for column, formula in zip((split.base, split.left_over, split.amount), texts_of_row, strict=True):
                if formula:
                    formulas[row, _column(column)] = formula
        total = len(rows) - 1
        styles |= {(total, _column(split.base)): "total_money", (total, _column(split.left_over)): "total"}

    def _line(self, line: EstimateLine, working: Mapping[Figure, Working]) -> Row:
        shares = (_result(working.get(figure)) for figure in _INDIRECT)
        return (
            line.id,
            line.description,
            self._localizer.label("category", line.category),
            line.historical_cost,
            line.direct_cost,
            *shares,
            line.replacement_cost,
            line.age_years,
            line.percent_good,
            line.depreciation,
            line.actual_cash_value,
            self._text("none") if line.schedule == "none" else self._localizer.label("category", line.schedule),
        )

    def _formulas(
        self, line: EstimateLine, working: Mapping[Figure, Working], row: int, cells: EntryFormulas
    ) -> Iterator[tuple[str, str]]:
        """Yield the formulas of a line by their columns."""
        yield "I", f"E{row}+F{row}+G{row}+H{row}"
        yield "M", f"I{row}-L{row}"
        for figure, name in _SHARES.items():
            formula = _formula(working.get(figure))
            if formula:
                yield name, _with_age(formula, working, row) if figure == "percent_good" else formula
        if self._document.options.rounding != "half_up":  # a spreadsheet has no other
            return
        for figure in _ROUNDED:
            formula = _formula(working.get(figure))
            if formula:
                yield _MONEY[figure], f"ROUND({formula},{self._places})"
        yield from cells.formulas(line, working, row)
        if "depreciation" in working:
            yield "L", self._depreciation(line, working["depreciation"], row)

    def _depreciation(self, line: EstimateLine, working: Working, row: int) -> str:
        lost = f"I{row}*(1-K{row})" if working.rule == "depreciation" else _formula(working) or str(line.depreciation)
        more = f"+{line.obsolescence}" if line.obsolescence else ""
        return f"ROUND({lost},{self._places}){more}"

    def _questions(self) -> tuple[Table, Look]:
        names = ("number", "question", "why", "asked_of", "stake", "about", "answer")
        rows: list[Row] = [tuple(self._text(name) for name in names)]
        for number, question in enumerate(self._statement.questions, start=1):
            rows.append(
                (
                    Decimal(number),
                    question.text,
                    question.why,
                    self._localizer.label("addressee", question.to),
                    question.money_at_stake.high,
                    self._about(question),
                    None,
                )
            )
        look = Look(
            widths=wide_enough((6, 70, 60, 16, 14, 30, 40), rows[:1]),
            columns={0: "number", 1: "text", 2: "text", 3: "text", 4: "money", 5: "text", 6: "text"},
            frozen_columns=1,
        )
        return Table(name=sheet_name("question", self._localizer), rows=tuple(rows)), look

    def _about(self, question: Question) -> str:
        settles = question.settles
        term = settles.term and self._localizer.label("term", settles.term)
        fact = settles.fact and self._localizer.label("fact", settles.fact)
        return "\n".join(filter(None, (settles.policy, settles.loss, term, fact)))


def _amounts(settlement: Settlement, causes: Sequence[Cause]) -> tuple[Cell, ...]:
    parts = {part.cause: part.amount for part in settlement.gap_breakdown}
    return (
        settlement.payable,
        settlement.gap,
        settlement.payable_now,
        settlement.recoverable_depreciation,
        settlement.replacement_cost,
        *(parts.get(cause) for cause in causes),
    )


def _result(working: Working | None) -> Decimal:
    """Return the result of a working of an amount; 0 without one."""
    return Decimal(0) if working is None else Decimal(working.formula.rpartition("=")[2].strip())


def _formula(working: Working | None) -> str:
    """Return the working as a formula of its numbers; empty where it is more than arithmetic, or a share of a split."""
    if working is None or working.rule in _SPLIT:
        return ""
    expression = working.formula.rpartition("=")[0].strip()
    return expression.replace("x", "*").replace(" ", "") if _ARITHMETIC.fullmatch(expression) else ""


def _with_age(formula: str, working: Mapping[Figure, Working], row: int) -> str:
    """Return the formula of percent good with the cell of the age in place of its number."""
    age = working.get("age_years")
    if age is None or not _formula(age):
        return formula
    number = age.formula.rpartition("=")[2].strip()
    return re.sub(rf"(?<![0-9.]){re.escape(number)}(?![0-9.])", f"{_SHARES['age_years']}{row}", formula)


def _column(name: str) -> int:
    return ord(name) - ord("A")


def _line_style(name: str) -> Style:
    if name in _MONEY.values():
        return "money"
    return "number" if name == "J" else "share" if name == "K" else "text"
