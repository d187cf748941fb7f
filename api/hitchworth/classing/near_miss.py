"""Definitions that the trailer meets in all but one condition."""

from collections.abc import Iterator, Sequence

from hitchworth.classing.judgement import element_result
from hitchworth.classing.verdict import Judged
from hitchworth.model.assessment import NearMiss


def near_misses(judged: Sequence[Judged]) -> Iterator[NearMiss]:
    """Every definition of at least two conditions of which all hold but one, with the one."""
    for one in judged:
        elements = one.judgement.parts
        missed = [element for element in elements if not element.holds]
        if one.judgement.condition.rule == "all" and len(elements) > 1 and len(missed) == 1 and one.holds is False:
            yield NearMiss(
                definition=one.definition.id,
                class_=one.definition.class_,
                title=one.definition.title,
                element=element_result(missed[0], one.definition.citation),
            )
