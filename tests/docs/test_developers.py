"""The developers' document describes the house that stands."""

import re
from pathlib import Path
from textwrap import dedent

import msgspec

from hitchworth.reference.condition import parse
from hitchworth.reference.definitions import Definition
from hitchworth.reference.jurisdictions import JurisdictionEntry, jurisdictions

ROOT = Path(__file__).parents[2]
DOCUMENT = (ROOT / "DEVELOPERS.md").read_text("utf-8")


def test_every_room_is_in_the_plan() -> None:
    plan = DOCUMENT.partition("```\n")[2].partition("```")[0]
    listed = set(re.findall(r"^  (\w+)(?:/|\.py) ", plan, re.MULTILINE))
    package = ROOT / "api" / "hitchworth"
    rooms = {path.stem for path in package.iterdir() if path.name != "__init__.py" and (path / "__init__.py").exists()}
    assert listed == rooms | {"appraisal"}


def test_every_path_that_is_named_exists() -> None:
    named = re.findall(r"`((?:api|sdk|tests|reference|localization|model|operations|web|coverage)/[\w./-]+)`", DOCUMENT)
    roots = (ROOT, ROOT / "api" / "hitchworth")
    assert named
    assert [path for path in named if not any((root / path).exists() for root in roots)] == []


def test_the_jurisdiction_of_the_example_would_be_read() -> None:
    blocks = re.findall(r"^ *```yaml\n(.*?)^ *```", DOCUMENT, re.MULTILINE | re.DOTALL)
    place, entry = (dedent(block) for block in blocks)
    (jurisdiction,) = msgspec.yaml.decode(place, type=list[JurisdictionEntry])
    (definition,) = msgspec.yaml.decode(entry, type=list[Definition])
    assert jurisdiction.code not in jurisdictions(), "made up, and not in the way of a real one"
    assert set(jurisdiction.chain[1:]) <= set(jurisdictions())
    assert definition.jurisdiction == jurisdiction.code
    assert [part.rule for part in parse(definition.elements).parts] == ["test", "test", "at_least", "not"]
