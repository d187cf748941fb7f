"""The vocabulary of measures and the practice of circuits: every row is complete, and names its source."""

from itertools import pairwise
from typing import get_args

import pytest

from hitchworth.localization.texts import texts
from hitchworth.model.protection import Ask, Layer
from hitchworth.reference.protections import ProtectionMeasure, protection_measures

each = pytest.mark.parametrize("measure", protection_measures(), ids=lambda measure: measure.name)


@each
def test_a_measure_has_its_evidence_and_its_source(measure: ProtectionMeasure) -> None:
    assert measure.title
    assert measure.evidence
    assert measure.source
    assert set(measure.slows) <= set(texts().labels["peril"])


@each
def test_what_slows_no_peril_says_what_it_is_for(measure: ProtectionMeasure) -> None:
    assert measure.slows or measure.caution


def test_names_are_given_once_and_layers_stand_together() -> None:
    measures = protection_measures()
    assert len({measure.name for measure in measures}) == len(measures)
    layers = [measure.layer for measure in measures]
    changes = [layers[0], *(after for before, after in pairwise(layers) if before != after)]
    assert changes == list(get_args(Layer))


def test_every_kind_of_question_is_asked_of_some_measure() -> None:
    assert {measure.ask for measure in protection_measures()} == set(get_args(Ask))
