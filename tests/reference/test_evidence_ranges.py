"""The ranges by evidence grade: the better the evidence, the narrower the range."""

from hitchworth.reference.evidence_ranges import evidence_ranges


def test_better_evidence_narrows_the_range() -> None:
    widths = [evidence_ranges()[grade] for grade in ("receipt", "written_quote", "own_estimate")]
    assert [width.below + width.above for width in widths] == sorted(width.below + width.above for width in widths)
    assert all(0 < width.below < 100 and width.above > 0 for width in widths)
    assert all(bool(width.source) is (width.provenance == "published") for width in widths)
