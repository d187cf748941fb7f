"""The text of a document that begins: YAML with a comment on what each field means, and examples to fill in."""

from collections.abc import Iterator, Mapping
from typing import Any

from msgspec import json

from hitchworth.localization.localizer import Localizer
from hitchworth.localization.texts import texts

_EXAMPLES = """\
  # components:
  #   - id: stove
  #     description: Two-burner stove  # {component_description}
  #     category: stove  # {component_category}
  #     quantity: 1
  #     unit_cost: 189.00
  #     acquired_on: 2026-03-14
"""
_LABOR = """\
  # labor:
  #   - id: walls
  #     task: Walls and roof
  #     hours: 40
  #     rate: 0
  #     hired: false  # {labor_hired}
  #     performed_on: 2026-04-01
"""
_POLICIES = """\
# policies:
#   - name: {policy_name}
#     kind: recreational_vehicle
#     basis: actual_cash_value
#     limit: 15000
#     deductible: 500
"""
_LOSSES = """\
# losses:
#   - {{name: {loss_name}, peril: theft, extent: total}}
"""


def starting_text(content: Mapping[str, Any], assumed: Mapping[str, Any], file: str, localizer: Localizer) -> str:
    """Return the text of a document that begins. `assumed`: what of it nobody stated; the rest was answered."""
    words = {key: localizer.format(text, file=file, choices="") for key, text in texts().start.items()}
    return "".join(_lines(content, assumed, words))


def _lines(content: Mapping[str, Any], assumed: Mapping[str, Any], words: Mapping[str, str]) -> Iterator[str]:
    build = content["build"]
    yield f"# {words['header']}\n"
    if "locale" in content:
        yield f"locale: {content['locale']}\n"
    yield f"\n# {words['build_header']}\nbuild:\n"
    for name in ("name", "currency", "jurisdiction", "registered_class"):
        remark = f"  # {words['assumed']}" if name in assumed else ""
        yield f"  # {words[name]}\n  {name}: {_value(build.get(name))}{remark}\n"
    yield f"  # {words['vin']}\n  vin: null\n"
    yield f"  # {words['owner']}\n  owner: null\n"
    base = build.get("base")
    yield f"  # {words['base']}\n"
    yield f"  base: {{kind: {_value(base['kind'])}}}\n" if base else "  base: null\n"
    yield f"\n  # {words['facts_header']}\n  facts:\n"
    for name in ("sleeping_berths", "has_cooking"):
        yield f"    # {words[name]}\n    {name}: {_value(build.get('facts', {}).get(name))}\n"
    yield f"\n  # {words['components_header']}\n{_EXAMPLES.format_map(words)}"
    yield f"\n  # {words['labor_header']}\n{_LABOR.format_map(words)}"
    yield f"\n# {words['policies_header']}\n"
    yield from _entries("policies", content, _POLICIES.format_map(words))
    yield f"\n# {words['losses_header']}\n"
    yield from _entries("losses", content, _LOSSES.format_map(words))


def _entries(name: str, content: Mapping[str, Any], example: str) -> Iterator[str]:
    """Yield what was answered as entries; where nothing was, an example that is not read."""
    if name not in content:
        yield example
        return
    yield f"{name}:\n"
    for entry in content[name]:
        for start, (key, value) in zip(("  - ", *["    "] * len(entry)), entry.items(), strict=False):
            yield f"{start}{key}: {_value(value)}\n"


def _value(value: Any) -> str:
    """Return a value as YAML has it, which JSON is."""
    return json.encode(value).decode()
