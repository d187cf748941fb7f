"""The document for developers describes the code as it is."""

import re
import sys
import tomllib
from importlib.util import find_spec
from pathlib import Path

import msgspec

from documents import ROOT, blocks, text_of
from hitchworth.reference.condition import parse_condition
from hitchworth.reference.definitions import Definition
from hitchworth.reference.jurisdictions import JurisdictionEntry, jurisdictions

DOCUMENT = text_of("DEVELOPERS.md")
PACKAGE = ROOT / "api" / "hitchworth"


def test_every_package_and_module_is_in_the_layout() -> None:
    layout = re.search(r"^api/hitchworth/\n((?:  .*\n)+)", DOCUMENT, re.MULTILINE)
    assert layout is not None
    listed = re.findall(r"^  (\w+(?:/|\.py)) ", layout[1], re.MULTILINE)
    packages = {f"{path.parent.name}/" for path in PACKAGE.glob("*/__init__.py")}
    modules = {path.name for path in PACKAGE.glob("*.py")} - {"__init__.py"}
    assert set(listed) == packages | modules


def test_the_layers_are_those_of_the_import_contract() -> None:
    contracts = tomllib.loads(text_of("pyproject.toml"))["tool"]["importlinter"]["contracts"]
    (layers,) = (contract["layers"] for contract in contracts if contract["type"] == "layers")
    listed = re.findall(r"^\d+\. ((?:`\w+`(?:, )?)+)$", DOCUMENT, re.MULTILINE)
    assert [re.findall(r"\w+", line) for line in listed] == [layer.split(" | ") for layer in layers]


def test_every_path_that_is_named_exists() -> None:
    folders = {path.name for root in (ROOT, PACKAGE) for path in root.iterdir() if path.is_dir()}
    named = [path for path in re.findall(r"`([\w.-]+/[\w./-]+)`", DOCUMENT) if path.partition("/")[0] in folders]
    assert named
    assert [path for path in named if not any((root / path).exists() for root in (ROOT, PACKAGE))] == []


def test_every_command_is_of_a_tool_and_on_files_that_exist() -> None:
    commands = re.findall(r"\.venv/bin/([\w-]+)([^&>\n]*)", "".join(blocks(DOCUMENT, "sh")))
    assert commands
    for tool, rest in commands:
        assert Path(sys.executable).with_name(tool).exists()
        modules = re.findall(r"-m (\S+)", rest)
        assert all(module == "venv" or find_spec(module) for module in modules)
        files = [argument for argument in rest.split() if re.match(r"(?:api|sdk|tests|openapi)\b", argument)]
        assert [file for file in files if not (ROOT / file).exists()] == []


def test_the_jurisdiction_of_the_example_would_be_read() -> None:
    place, entry = blocks(DOCUMENT, "yaml")
    (jurisdiction,) = msgspec.yaml.decode(place, type=list[JurisdictionEntry])
    (definition,) = msgspec.yaml.decode(entry, type=list[Definition])
    assert jurisdiction.code not in jurisdictions(), "it is fictional, and a real one must not have its code"
    assert set(jurisdiction.chain[1:]) <= set(jurisdictions())
    assert definition.jurisdiction == jurisdiction.code
    assert [part.rule for part in parse_condition(definition.elements).parts] == ["test", "test", "at_least", "not"]
