"""The words of an estimate: its notes, the rules of its workings, and what is published on labor."""

from msgspec.structs import replace

from hitchworth.model.estimate import Estimate, EstimateLine, LaborRuleOfPlace
from hitchworth.wording.notes import worded_note
from hitchworth.wording.texts import texts
from hitchworth.wording.voice import Voice


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


def _worded_line(line: EstimateLine, voice: Voice) -> EstimateLine:
    rules = texts().workings
    workings = (replace(working, text=voice.translated(rules[working.rule])) for working in line.workings)
    return replace(line, workings=tuple(workings))


def _worded_rule(rule: LaborRuleOfPlace, voice: Voice) -> LaborRuleOfPlace:
    return replace(rule, text=voice.translated(rule.text), citation=voice.translated(rule.citation))
