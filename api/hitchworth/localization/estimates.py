"""The texts of an estimate: its notes, its indirect costs, the rules of its workings, and the labor rule."""

from collections.abc import Mapping

from msgspec.structs import replace

from hitchworth.localization.localizer import Localizer
from hitchworth.localization.notes import localize_note
from hitchworth.localization.texts import texts
from hitchworth.model.estimate import Estimate, EstimateLine, IndirectCostTerms, LaborDepreciationRule
from hitchworth.model.note import Note

RATE_PLACES = 10
"""Decimal places of a rate in percent: enough to show it as it was entered."""


def localize_estimate(estimate: Estimate, localizer: Localizer) -> Estimate:
    """Return the estimate with its texts, and their locale. Labels of categories are looked up where they are shown."""
    rule = estimate.labor_depreciation_rule
    names = {line.id: line.description for line in estimate.lines}
    has_workings = any(line.workings for line in estimate.lines)
    return replace(
        estimate,
        locale=localizer.locale.formats,
        lines=tuple(_localize_line(line, localizer) for line in estimate.lines) if has_workings else estimate.lines,
        labor_depreciation_rule=None if rule is None else _localize_rule(rule, localizer),
        notes=tuple(_localize_note(note, names, localizer) for note in estimate.notes),
    )


def _localize_note(note: Note, names: Mapping[str, str], localizer: Localizer) -> Note:
    """Return the note with its text, which calls an entry by its description; `about` stays its id."""
    named = localize_note(replace(note, about=names.get(note.about, note.about)), localizer)
    return replace(named, about=note.about)


def indirect_cost_labels(terms: IndirectCostTerms, localizer: Localizer) -> dict[str, str]:
    """Return the labels of overhead, profit and sales tax, with rate, base and basis where the rate is not 0."""
    profit = f"profit_{terms.profit_basis}_{'compounded' if terms.compounded else 'additive'}"
    return {
        name: localizer.format(
            texts().sheet[text if rate else name], rate=localizer.formats.percent(rate, RATE_PLACES), base=base
        )
        for name, text, rate, base in (
            ("overhead", "overhead_of", terms.overhead_rate, terms.overhead_base),
            ("profit", profit, terms.profit_rate, terms.profit_base),
            ("sales_tax", f"sales_tax_{terms.sales_tax_basis}", terms.sales_tax_rate, terms.sales_tax_base),
        )
    }


def _localize_line(line: EstimateLine, localizer: Localizer) -> EstimateLine:
    rules = texts().workings
    workings = (replace(working, text=localizer.translate(rules[working.rule])) for working in line.workings)
    return replace(line, workings=tuple(workings))


def _localize_rule(rule: LaborDepreciationRule, localizer: Localizer) -> LaborDepreciationRule:
    return replace(rule, text=localizer.translate(rule.text), citation=localizer.translate(rule.citation))
