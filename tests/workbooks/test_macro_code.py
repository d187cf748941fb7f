"""The code of the macros: made from one description, short, and right in its grammar as far as that can be read.

The macros for LibreOffice, Excel and web spreadsheets are run besides, in endtoend/. That in Power Query M is not: no
program here understands it, so its brackets, its `let ... in` and its names are checked.
"""

import re
from collections.abc import Iterator
from typing import get_args

import pytest
from msgspec.structs import fields

from hitchworth.localization.locales import available
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.macro import MacroProgram
from hitchworth.model.sheet_values import SheetRow
from hitchworth.web.http import ProblemRow
from hitchworth.web.problems import KEY_REQUIRED
from hitchworth.web.sheets import OPERATIONS
from hitchworth.workbooks.macros import description, macro

PROGRAMS = get_args(MacroProgram)
SERVER = "https://values.example:8443/shop"
MACROS = [
    pytest.param(macro(program, SERVER, localizer_for(locale)), id=f"{program} {locale}")
    for program in PROGRAMS
    for locale in available()
]
BASIC = [case for case in MACROS if str(case.id).startswith(("libreoffice", "excel"))]
QUERIES = [case for case in MACROS if str(case.id).startswith("power-query")]

TOKEN = re.compile(r'"(?:[^"]|"")*"|\'[^\n]*|[A-Za-z_][\w.]*|\n|[^\s\w]|\d+')
BLOCKS = {"if": "end if", "sub": "end sub", "function": "end function", "for": "next", "do": "loop"}


@pytest.mark.parametrize("code", MACROS)
def test_a_macro_is_short_and_asks_its_server(code: str) -> None:
    assert code.count("\n") < 120
    assert code.endswith("\n")
    assert SERVER in code
    assert "/v1/sheet-values?format=tsv&faults=in-body&mark_faults=true&locale=" in code
    assert not re.search(r"{{|{%|}}\s*$|%}", code)


def test_all_macros_write_the_same_headings() -> None:
    for locale in available():
        localizer = localizer_for(locale)
        names = [localizer.translate(text) for text in ("Percent good", "Actual cash value", "Remark")]
        for program in PROGRAMS:
            code = re.sub(r'" & ChrW\((\d+)\) & "', lambda found: chr(int(found[1])), macro(program, SERVER, localizer))
            assert [name for name in names if f'"{name}"' not in code] == []


def test_the_description_is_that_of_the_server() -> None:
    described = description()
    assert described.path.partition("?")[0] in {operation.path for operation in OPERATIONS}
    names = [field.name for field in fields(ProblemRow)]
    assert {name: names[place] for name, place in described.problem.items()} == {
        "kind": "problem",
        "detail": "detail",
        "expected": "expected",
    }
    assert KEY_REQUIRED.type.endswith(f"/{described.key_problem}")
    assert list(SheetRow.__struct_fields__)[3:] == ["replacement_cost", "percent_good", "actual_cash_value", "remark"]


def lines_of(code: str) -> Iterator[list[str]]:
    """The tokens of each statement of Basic, in lower case, without comments; texts become a mark."""
    for line in code.splitlines():
        tokens = [token for token in TOKEN.findall(line) if not token.startswith("'")]
        words = ['""' if token.startswith('"') else token.lower() for token in tokens]
        while ":" in words and words[0] != "if":  # labels, and several statements in a line
            place = words.index(":")
            yield words[:place]
            words = words[place + 1 :]
        if words:
            yield words


def blocks_of(code: str) -> list[str]:
    """The blocks that are open at the end: none, or AssertionError where one ends that is not the last open one."""
    open_blocks: list[str] = []
    for words in lines_of(code):
        first = [word for word in words if word not in ("private", "public")]
        ending = " ".join(first[:2]) if first[:1] == ["end"] else first[0] if first else ""
        if ending in BLOCKS.values():
            assert open_blocks, f"{ending} ends nothing"
            assert BLOCKS[open_blocks.pop()] == ending
        elif first and first[0] in BLOCKS and not (first[0] == "if" and first[-1] != "then"):
            open_blocks.append(first[0])
    return open_blocks


@pytest.mark.parametrize("code", BASIC)
def test_every_block_of_basic_ends(code: str) -> None:
    assert blocks_of(code) == []


@pytest.mark.parametrize("line", ["    Next\n", "  End If\n", "End Sub\n"], ids=["loop", "condition", "routine"])
def test_the_check_of_blocks_sees_one_that_is_missing(line: str) -> None:
    code = macro("libreoffice", SERVER, localizer_for("en-US"))
    assert line in code
    try:
        left = blocks_of(code.replace(line, "", 1))
    except AssertionError:
        return
    assert left != []


WORDS = """
and or not if then else elseif end sub function for each to next do while loop exit on error goto dim as object
long string variant boolean const option explicit private public byval redim set nothing true false in
chr trim str val format replace split join left len iif ubound clng array createunoservice createunostruct
thiscomponent activesheet activeworkbook vbtab vblf vbcr vbdate vbstring vbboolean vartype iserror isempty
createobject chrw attribute vb_name
"""
KNOWN = set(WORDS.split())
"""What Basic, VBA and their programs know."""


def undeclared(code: str) -> set[str]:
    """The names in Basic that are declared nowhere in their routine or in the module, and are none of the language."""
    module = set(re.findall(r"(?:Const|Sub|Function) (\w+)", code))
    module |= {"answer", "failed"}
    found: set[str] = set()
    for routine in re.findall(r"^(?:(?:Private|Public) )?(?:Sub|Function) .*?^End ", code, re.MULTILINE | re.DOTALL):
        plain = re.sub(r'"(?:[^"]|"")*"|^\s*\'.*$|\.\w+|com\.sun[\w.]*', '""', routine, flags=re.MULTILINE)
        declared = set(re.findall(r"(\w+)(?:\(\))? As ", plain)) | module
        names = {name.lower() for name in re.findall(r"[A-Za-z_]\w*", plain)}
        found |= names - {name.lower() for name in declared} - KNOWN
    return found


@pytest.mark.parametrize("code", BASIC)
def test_every_name_of_basic_is_declared(code: str) -> None:
    assert "\nOption Explicit\n" in code
    assert undeclared(code) == set()
    assert undeclared(code.replace("own As Long", "other As Long")) == {"own"}


@pytest.mark.parametrize("code", [case for case in MACROS if str(case.id).startswith("excel")])
def test_the_macro_for_excel_is_plain_letters(code: str) -> None:
    """Its editor reads a file in the code page of the machine."""
    own = [line for line in code.splitlines() if not line.startswith("'")]
    assert [line for line in own if not line.isascii()] == []


PAIRS = {")": "(", "]": "[", "}": "{"}


def without_texts(query: str) -> str:
    """The query without its comments; a text becomes 0, and a quoted name a name."""
    marks = {"#": "name", '"': "0", "/": ""}
    return re.sub(r'#?"(?:[^"]|"")*"|//[^\n]*', lambda found: marks[found[0][0]], query)


def open_brackets(query: str) -> list[str]:
    brackets: list[str] = []
    for letter in without_texts(query):
        if letter in PAIRS.values():
            brackets.append(letter)
        elif letter in PAIRS:
            assert brackets, f"{letter} closes nothing"
            assert brackets.pop() == PAIRS[letter]
    return brackets


@pytest.mark.parametrize("code", QUERIES)
def test_every_bracket_of_a_query_closes(code: str) -> None:
    assert open_brackets(code) == []
    for place in (place for place, letter in enumerate(code) if code.startswith("]),", place)):
        with pytest.raises(AssertionError):
            open_brackets(code[:place] + code[place + 1 :])


@pytest.mark.parametrize("code", QUERIES)
def test_every_let_of_a_query_has_its_in_and_commas_between(code: str) -> None:
    plain = without_texts(code)
    words = re.findall(r"\blet\b|\bin\b", plain)
    depth = 0
    for word in words:
        depth += 1 if word == "let" else -1
        assert depth >= 0
    assert depth == 0
    assert not re.search(r",\s*\bin\b", plain)  # none after the last
    steps = re.findall(r"^  (\w+) =", plain, re.MULTILINE)
    for step in steps[1:]:
        before = plain[: re.search(rf"^  {step} =", plain, re.MULTILINE).start()].rstrip()  # type: ignore[union-attr]
        assert before.endswith(","), step


@pytest.mark.parametrize("code", QUERIES)
def test_every_name_of_a_query_is_a_step_of_it(code: str) -> None:
    plain = re.sub(r"\[[A-Za-z]+( = )?", " ", without_texts(code))
    steps = set(re.findall(r"^ +(\w+) =", plain, re.MULTILINE)) | set(re.findall(r"\((\w+)\) =>", plain))
    used = set(re.findall(r"(?<![\w.#])[A-Za-z]\w*(?![\w.])", plain))
    words = {
        "let",
        "in",
        "if",
        "then",
        "else",
        "each",
        "try",
        "otherwise",
        "and",
        "or",
        "null",
        "type",
        "number",
        "date",
    }
    assert used - steps - words - {"datetime", "table", "name", "_"} == set()
