"""The document on running a server: its settings, metrics, operations and commands are those of the code."""

import re
from typing import get_type_hints

from msgspec import structs

from documents import GUIDE, blocks, text_of
from hitchworth.cli.parser import build_parser
from hitchworth.cli.settings import option
from hitchworth.operations.settings import Settings, variable
from hitchworth.web.metrics import Metrics
from hitchworth.web.problems import PROBLEM_TYPES
from hitchworth.web.server_state import ServerState

DOCUMENT = text_of(f"{GUIDE}/running.md")


def settings_table() -> str:
    """The table of the settings, as the document has it."""
    kinds = get_type_hints(Settings, include_extras=True)
    rows = [
        f"| `{option(field.name)}` | `{variable(field.name)}` | {written(field.default)} | "
        f"{kinds[field.name].__metadata__[0].description} |"
        for field in structs.fields(Settings)
    ]
    return "\n".join(["| Option | Variable | Default | What it sets |", "|---|---|---|---|", *rows, ""])


def written(default: object) -> str:
    if default is None or default == "":
        return "none"
    if isinstance(default, bool):
        return "on" if default else "off"
    return (
        f"{default:,}" if isinstance(default, int) else f"{default:g}" if isinstance(default, float) else f"{default}"
    )


def test_the_table_of_settings_is_that_of_the_code() -> None:
    assert settings_table() in DOCUMENT


def test_the_metrics_are_those_that_are_counted() -> None:
    names = set(re.findall(r"^# TYPE (hitchworth_\w+) ", Metrics(ServerState()).text().decode(), re.MULTILINE))
    counted = {name.removesuffix("_created") for name in names}
    assert set(re.findall(r"`(hitchworth_\w+)`", DOCUMENT)) == counted


def test_every_problem_that_is_named_exists() -> None:
    kinds = {kind.type.rpartition("/")[2] for kind in PROBLEM_TYPES}
    named = set(re.findall(r"\(`([a-z]+(?:-[a-z]+)+)`\)", DOCUMENT))
    assert named
    assert named <= kinds


def test_the_commands_can_be_parsed() -> None:
    lines = [line for line in "".join(blocks(DOCUMENT, "sh")).splitlines() if "hitchworth " in line]
    assert len(lines) > 8
    for line in lines:
        arguments = line.partition("hitchworth ")[2].split()
        parsed = build_parser().parse_args([argument.strip('"') for argument in arguments])
        assert parsed.run


def test_every_option_of_serve_is_a_setting_or_help() -> None:
    (serve,) = re.findall(r"hitchworth serve (.*)", "".join(blocks(DOCUMENT, "sh")).replace("\\\n", ""))[:1]
    options = set(re.findall(r"--[a-z-]+", serve))
    assert options <= {option(name) for name in Settings.__struct_fields__}
