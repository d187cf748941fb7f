"""The comparison of the client and the API with common practice: each row names a test that there is."""

import ast
import re

import pytest

from documents import ROOT, text_of

ROWS = [
    [cell.strip() for cell in line.strip("|").split("|")]
    for line in text_of("api/docs/practice.md").splitlines()
    if line.startswith("| ") and not line.startswith("| Practice")
]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row[0])
def test_each_row_names_a_test_that_there_is(row: list[str]) -> None:
    _, _, here, shown = row
    assert here
    told = re.fullmatch(r"`(tests/\S+\.py)::(test_\w+)`", shown)
    assert told is not None
    module = ast.parse((ROOT / told[1]).read_text("utf-8"))
    assert told[2] in {
        node.name for node in ast.walk(module) if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
    }


def test_no_two_rows_are_shown_by_the_same_test() -> None:
    shown = [row[3] for row in ROWS]
    assert len(set(shown)) == len(shown) > 50
