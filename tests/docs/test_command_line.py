"""The document on the command line: its exit codes, its example and its shells are those of the code."""

import argparse
import re
from pathlib import Path

import pytest
import shtab

from documents import GUIDE, blocks, text_of
from hitchworth.cli import main
from hitchworth.cli.exit_codes import MEANINGS
from hitchworth.cli.parser import build_parser

DOCUMENT = text_of(f"{GUIDE}/command-line.md")


def test_the_exit_codes_are_those_of_the_code() -> None:
    listed = dict(re.findall(r"^\| (\d+) \| (.+) \|$", DOCUMENT, re.MULTILINE))
    assert listed == {str(code): meaning for code, meaning in MEANINGS.items()}


def test_the_example_is_a_document(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "camper.yaml"
    file.write_text(blocks(DOCUMENT, "yaml")[0])
    assert main(["estimate", str(file), "--as-of", "2026-03-14", "--format", "csv"]) == 0
    assert ",189.00," in capsys.readouterr().out


def test_every_shell_has_a_line_that_is_understood() -> None:
    listed = re.findall(r"^\| \w+ \| `(hitchworth completion (\w+)) >", DOCUMENT, re.MULTILINE)
    assert {shell for _, shell in listed} == set(shtab.SUPPORTED_SHELLS)
    for line, shell in listed:
        assert build_parser().parse_args(line.split()[1:]).shell == shell


def test_the_options_that_are_named_exist() -> None:
    parser = build_parser(whole=True)
    (commands,) = (one for one in parser._actions if isinstance(one, argparse._SubParsersAction))
    actions = [action for command in commands.choices.values() for action in command._actions]
    known = {option for action in actions for option in action.option_strings}
    assert set(re.findall(r"`(--[\w-]+)", DOCUMENT)) <= known
