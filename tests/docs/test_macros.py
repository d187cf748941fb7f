"""The document on the macros: its commands, its addresses and its pictures are those that there are."""

import re
from pathlib import Path
from typing import get_args

from documents import CHAPTERS, GUIDE, ROOT, blocks, text_of
from hitchworth.cli.parser import build_parser
from hitchworth.model.macro import MacroProgram
from web_server import client

DOCUMENT = text_of(f"{GUIDE}/macros.md")
PICTURES = ROOT / GUIDE / "pictures"


def test_the_commands_can_be_parsed_and_make_every_macro() -> None:
    lines = [line for line in "".join(blocks(DOCUMENT, "sh")).splitlines() if "hitchworth macro" in line]
    parsed = [build_parser().parse_args(line.partition("hitchworth ")[2].split()) for line in lines]
    assert {arguments.program for arguments in parsed} == set(get_args(MacroProgram))


def test_the_addresses_answer() -> None:
    paths = set(re.findall(r"/v1/macros/[a-z-]+(?:\?[\w=&:/.-]+)?", DOCUMENT))
    assert {path.rpartition("/macros/")[2].partition("?")[0] for path in paths} == set(get_args(MacroProgram))
    with client() as api:
        assert {api.get(path).status_code for path in paths} == {200}


def test_every_picture_is_shown_and_small() -> None:
    shown = set(re.findall(r"\]\(pictures/([\w.-]+)\)", "".join(map(text_of, CHAPTERS))))
    there = {path.name: path.stat().st_size for path in Path(PICTURES).iterdir()}
    assert shown == set(there)
    assert max(there.values()) < 100_000


def test_it_says_which_macros_were_not_run() -> None:
    rows = re.findall(r"^\| (\w[^|]+) \| \*\*Not run", DOCUMENT, re.MULTILINE)
    assert rows == ["Excel", "Excel's query language", "A spreadsheet in the browser"]
