"""What the standards cover that a label on the trailer names."""

import re

from hitchworth.classification.readings import Readings
from hitchworth.model.assessment import StandardNamed
from hitchworth.reference.standards import standards


def standards_named(facts: Readings) -> tuple[StandardNamed, ...]:
    """Every standard whose number stands in the text of the label, whatever its edition."""
    label = str(facts["certified_to_standard"].value or "")
    return tuple(
        StandardNamed(
            name=entry.name, covers=entry.covers, source=entry.source, verified=entry.provenance == "published"
        )
        for entry in standards()
        if re.search(_written(entry.name), label, flags=re.IGNORECASE)
    )


def _written(name: str) -> str:
    """The number as a whole, with or without its spaces, before any edition."""
    number = r"\s*".join(map(re.escape, name.split()))
    return rf"\b{number}(?!\d)"
