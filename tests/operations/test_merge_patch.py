"""JSON Merge Patch, against the test cases of RFC 7396, appendix A.

The text of the RFC was not at hand: the cases are from memory, and agree with those that several libraries test with.
"""

import json
from copy import deepcopy

import pytest

from hitchworth.operations.merge_patch import merged

CASES = [
    ('{"a":"b"}', '{"a":"c"}', '{"a":"c"}'),
    ('{"a":"b"}', '{"b":"c"}', '{"a":"b","b":"c"}'),
    ('{"a":"b"}', '{"a":null}', "{}"),
    ('{"a":"b","b":"c"}', '{"a":null}', '{"b":"c"}'),
    ('{"a":["b"]}', '{"a":"c"}', '{"a":"c"}'),
    ('{"a":"c"}', '{"a":["b"]}', '{"a":["b"]}'),
    ('{"a":{"b":"c"}}', '{"a":{"b":"d","c":null}}', '{"a":{"b":"d"}}'),
    ('{"a":[{"b":"c"}]}', '{"a":[1]}', '{"a":[1]}'),
    ('["a","b"]', '["c","d"]', '["c","d"]'),
    ('{"a":"b"}', '["c"]', '["c"]'),
    ('{"a":"foo"}', "null", "null"),
    ('{"a":"foo"}', '"bar"', '"bar"'),
    ('{"e":null}', '{"a":1}', '{"e":null,"a":1}'),
    ("[1,2]", '{"a":"b","c":null}', '{"a":"b"}'),
    ("{}", '{"a":{"bb":{"ccc":null}}}', '{"a":{"bb":{}}}'),
]


@pytest.mark.parametrize(("target", "patch", "result"), CASES)
def test_the_cases_of_the_rfc(target: str, patch: str, result: str) -> None:
    before, change = json.loads(target), json.loads(patch)
    kept = deepcopy((before, change))
    assert merged(before, change) == json.loads(result)
    assert (before, change) == kept


def test_the_example_of_the_rfc() -> None:
    """Section 3: an author renamed, a family name removed, a tag list replaced, a telephone number added."""
    before = {
        "title": "Goodbye!",
        "author": {"givenName": "John", "familyName": "Doe"},
        "tags": ["example", "sample"],
        "content": "This will be unchanged",
    }
    patch = {"title": "Hello!", "phoneNumber": "+01-123-456-7890", "author": {"familyName": None}, "tags": ["example"]}
    assert merged(before, patch) == {
        "title": "Hello!",
        "author": {"givenName": "John"},
        "tags": ["example"],
        "content": "This will be unchanged",
        "phoneNumber": "+01-123-456-7890",
    }
