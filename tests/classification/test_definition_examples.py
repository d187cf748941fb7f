"""For each definition that was read: a trailer inside it, and the same trailer changed so that it is outside."""

from pathlib import Path

import msgspec
import pytest
from msgspec import Struct

from hitchworth.classification.build_facts import parse_facts
from hitchworth.classification.judgment import judge
from hitchworth.reference.definitions import condition_of, definitions

Facts = dict[str, bool | int | float | str]


class Example(Struct, frozen=True, forbid_unknown_fields=True):
    """A trailer that meets the definition, the facts that change, and the words or figure of the text that decide."""

    id: str
    meets: Facts
    misses_by: Facts
    why: str


EXAMPLES = msgspec.yaml.decode(
    Path(__file__).with_name("definition_examples_world.yaml").read_bytes(), type=list[Example]
)


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: f"{example.id}: {example.why}")
def test_one_trailer_is_inside_and_the_changed_one_outside(example: Example) -> None:
    condition = condition_of(example.id)
    assert judge(condition, parse_facts(example.meets)).holds is True
    assert judge(condition, parse_facts({**example.meets, **example.misses_by})).holds is False


def test_every_definition_read_outside_the_united_states_has_an_example() -> None:
    read = {
        definition.id
        for definition in definitions()
        if not definition.jurisdiction.startswith("US") and "read 2026-11-27" in definition.text_source
    }
    assert read - {example.id for example in EXAMPLES} == set()
