"""What is kept of a release, for every later one to be compared with: its description, and the examples in it.

PYTHONPATH=tests .venv/bin/python tests/keep_release.py 0.1      keep the present description as that of a release
"""

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Literal

import msgspec

Part = Literal["body", "answer"]
DESCRIPTION = Path(__file__).parents[1] / "openapi" / "hitchworth.json"
RELEASES = Path(__file__).parent / "sdk" / "releases"
DESCRIPTIONS = Path(__file__).parent / "contract" / "releases"
DOCUMENT = msgspec.json.decode(DESCRIPTION.read_bytes())
KEPT_ITEMS = 2
"""Of a long list, the first say what the others do."""


def examples() -> Iterator[tuple[Part, str, Any]]:
    """Yield the JSON examples of the present description: which part, the operation, the example."""
    for item in DOCUMENT["paths"].values():
        for operation in item.values():
            if isinstance(operation, dict) and "operationId" in operation:
                answers = (operation["responses"].get(status, {}) for status in ("200", "201"))
                for each in _json_examples(operation.get("requestBody", {})):
                    yield "body", operation["operationId"], each
                for answer in answers:
                    yield from (("answer", operation["operationId"], each) for each in _json_examples(answer))


def _json_examples(body: Any) -> Iterator[Any]:
    content = _resolved(body).get("content", {}).get("application/json", {})
    for example in (
        content.get("example"),
        *(_resolved(each)["value"] for each in content.get("examples", {}).values()),
    ):
        if isinstance(example, dict):
            yield example


def _resolved(part: Any) -> Any:
    for step in part.get("$ref", "#").split("/")[1:]:
        part = DOCUMENT[step] if step == "components" else part[step]
    return part


def _shortened(value: Any) -> Any:
    if isinstance(value, dict):
        return {name: _shortened(member) for name, member in value.items()}
    return [_shortened(item) for item in value[:KEPT_ITEMS]] if isinstance(value, list) else value


if __name__ == "__main__":
    kept = [(part, name, _shortened(example) if part == "answer" else example) for part, name, example in examples()]
    (DESCRIPTIONS / f"{sys.argv[1]}.json").write_bytes(msgspec.json.encode(DOCUMENT) + b"\n")
    (RELEASES / f"{sys.argv[1]}.json").write_bytes(b"[\n" + b",\n".join(map(msgspec.json.encode, kept)) + b"\n]\n")
