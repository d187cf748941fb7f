"""Definitions that the trailer meets in all but one condition."""

from collections.abc import Iterator, Sequence

from hitchworth.classification.judgment import element_result
from hitchworth.classification.verdict import Judged
from hitchworth.model.assessment import NearMiss


def near_misses(judged: Sequence[Judged]) -> Iterator[NearMiss]:
    """Every definition of at least two conditions of which all hold but one, with the one."""
    for one in judged:
        elements = one.judgment.parts
        missed = [element for element in elements if not element.holds]
        if one.judgment.condition.rule == "all" and len(elements) > 1 and len(missed) == 1 and one.holds is False:
            yield NearMiss(
                definition=one.definition.id,
                class_=one.definition.class_,
                title=one.definition.title,
                element=element_result(missed[0], one.definition.citation),
            )
