"""The developers' document describes the house that stands."""

import re
from pathlib import Path

ROOT = Path(__file__).parents[2]
DOCUMENT = (ROOT / "DEVELOPERS.md").read_text("utf-8")


def test_every_room_is_in_the_plan() -> None:
    plan = DOCUMENT.partition("```\n")[2].partition("```")[0]
    listed = set(re.findall(r"^  (\w+)(?:/|\.py) ", plan, re.MULTILINE))
    package = ROOT / "api" / "hitchworth"
    rooms = {path.stem for path in package.iterdir() if path.name != "__init__.py" and (path / "__init__.py").exists()}
    assert listed == rooms | {"appraisal", "exchange_rates"}


def test_every_path_that_is_named_exists() -> None:
    named = re.findall(r"`((?:api|sdk|tests|reference|wording|model|web|cover)/[\w./-]+)`", DOCUMENT)
    roots = (ROOT, ROOT / "api" / "hitchworth")
    assert named
    assert [path for path in named if not any((root / path).exists() for root in roots)] == []
