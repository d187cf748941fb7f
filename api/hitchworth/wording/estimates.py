"""The words of an estimate: its notes, its on-costs, the rules of its workings, and what is published on labor."""

from msgspec.structs import replace

from hitchworth.model.estimate import Estimate, EstimateLine, LaborRuleOfPlace, OnCostTerms
from hitchworth.wording.notes import worded_note
from hitchworth.wording.texts import texts
from hitchworth.wording.voice import Voice

RATE_PLACES = 10
"""Decimals of a rate in percent: as it was entered."""


def worded_estimate(estimate: Estimate, voice: Voice) -> Estimate:
    """The estimate with its sentences. Labels of categories are made where they are shown."""
    rule = estimate.labor_rule_of_place
    worked = any(line.workings for line in estimate.lines)
    return replace(
        estimate,
        lines=tuple(_worded_line(line, voice) for line in estimate.lines) if worked else estimate.lines,
        labor_rule_of_place=None if rule is None else _worded_rule(rule, voice),
        notes=tuple(worded_note(note, voice) for note in estimate.notes),
    )


def on_cost_labels(terms: OnCostTerms, voice: Voice) -> dict[str, str]:
    """Overhead, profit and sales tax, each with its rate, its base and its basis; alone where the rate is 0."""
    profit = f"profit_{terms.profit_basis}_{'compounded' if terms.compounded else 'additive'}"
    return {
        name: voice.say(texts().sheet[text if rate else name], rate=voice.formats.percent(rate, RATE_PLACES), base=base)
        for name, text, rate, base in (
            ("overhead", "overhead_of", terms.overhead_rate, terms.overhead_base),
            ("profit", profit, terms.profit_rate, terms.profit_base),
            ("sales_tax", f"sales_tax_{terms.sales_tax_basis}", terms.sales_tax_rate, terms.sales_tax_base),
        )
    }


def _worded_line(line: EstimateLine, voice: Voice) -> EstimateLine:
    rules = texts().workings
    workings = (replace(working, text=voice.translated(rules[working.rule])) for working in line.workings)
    return replace(line, workings=tuple(workings))


def _worded_rule(rule: LaborRuleOfPlace, voice: Voice) -> LaborRuleOfPlace:
    return replace(rule, text=voice.translated(rule.text), citation=voice.translated(rule.citation))
