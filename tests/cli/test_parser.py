"""The parser: what it imports, what it says of a mistyped word, its help, and completion for shells."""

import argparse
import re
import shlex
import subprocess
import sys
from itertools import chain
from shutil import which

import pytest
import shtab

from hitchworth.cli import main
from hitchworth.cli.commands import ENTRIES, Entry
from hitchworth.cli.parser import build_parser

ALL = tuple(chain.from_iterable(ENTRIES.values()))
HEAVY = ("litestar", "uvicorn", "typst", "docx", "jinja2", "sqlalchemy", "rich", "msgspec", "yaml", "hitchworth_sdk")
WEB = ("litestar", "uvicorn", "hitchworth.web.app")


def imported(*arguments: str) -> set[str]:
    """The modules that a command has imported when it ends, in a process of its own."""
    code = (
        "import sys; from hitchworth.cli import main\n"
        "try: main(sys.argv[1:])\n"
        "finally: print([*sys.modules], file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code, *arguments], capture_output=True, text=True, check=False)
    return set(re.findall(r"'([\w.]+)'", done.stderr))


def ended(arguments: list[str]) -> int | str | None:
    with pytest.raises(SystemExit) as end:
        main(arguments)
    return end.value.code


@pytest.mark.parametrize("arguments", [["--help"], ["--version"], ["estimat"]])
def test_the_program_itself_imports_nothing_that_only_a_command_needs(arguments: list[str]) -> None:
    found = imported(*arguments)
    assert "hitchworth.cli.parser" in found
    assert found.isdisjoint(HEAVY)


@pytest.mark.parametrize("command", ["serve", "demo"])
def test_the_help_of_what_serves_does_not_wait_for_the_web_framework(command: str) -> None:
    found = imported(command, "--help")
    assert f"hitchworth.cli.{command}" in found
    assert found.isdisjoint(WEB)


@pytest.mark.parametrize(
    ("arguments", "meant"),
    [
        (["estimte", "x"], "did you mean estimate or"),
        (["estimate", "x", "--formt", "json"], "did you mean --format?"),
        (["estimate", "x", "--form=json"], "did you mean --format?"),
        (["estimate", "x", "--format", "jsn"], "did you mean json?"),
        (["keys", "lst"], "did you mean list?"),
        (["report", "inventry", "x", "-o", "y.pdf"], "did you mean inventory?"),
        (["completion", "zzz"], "one of: bash, zsh"),
        (["qqq"], "one of: start, import"),
    ],
)
def test_a_mistyped_word_brings_what_may_have_been_meant(
    arguments: list[str], meant: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert ended(arguments) == 2
    printed = capsys.readouterr()
    assert meant in printed.err
    assert "See: hitchworth" in printed.err
    assert printed.out == ""


@pytest.mark.parametrize("entry", ALL, ids=lambda entry: entry.name)
def test_every_command_has_an_example_that_is_understood(entry: Entry, capsys: pytest.CaptureFixture[str]) -> None:
    program, *arguments = shlex.split(entry.example)
    assert (program, arguments[0]) == ("hitchworth", entry.name)
    assert build_parser().parse_args(arguments).command == entry.name
    assert ended([entry.name, "--help"]) == 0
    assert f"Example:\n  {entry.example}\n" in capsys.readouterr().out


@pytest.mark.parametrize("columns", ["40", "80", "200"])
def test_the_help_fits_the_terminal_and_names_every_command_and_exit_code(
    columns: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("COLUMNS", columns)
    assert ended(["--help"]) == 0
    printed = capsys.readouterr().out
    lines = printed.splitlines()
    assert max(map(len, lines)) <= int(columns)
    words = " ".join(printed.split())
    for entry in ALL:
        assert f"{entry.name} {entry.purpose}" in words
    for code, meaning in (
        (0, "done"),
        (1, "the input has faults"),
        (2, "the command was used wrongly"),
        (130, "interrupted"),
    ):
        assert f"{code} {meaning}" in words


@pytest.mark.parametrize("columns", [40, 80])
def test_the_help_of_every_command_fits_with_whole_names_and_choices(
    columns: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    for command, parser in commands(build_parser(whole=True)):
        text = parser.format_help().partition("Example:")[0]  # which is to be copied, and stays on its line
        assert max(map(len, text.splitlines())) <= columns, command
        for action in parser._actions:
            words = [action.option_strings[-1], *map(str, action.choices or ())] if action.option_strings else []
            assert all(word in re.sub(r"-\n +", "-", text) for word in words), command
            if "HITCHWORTH_" in (action.help or ""):
                assert re.search(r"HITCHWORTH_\w+", action.help or "")[0] in text  # type: ignore[index]


def test_the_usage_has_what_is_required(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    for arguments, usage in (
        (["import"], "Usage: hitchworth import [OPTION ...] FILE --into DOCUMENT\n"),
        (["workbook"], "Usage: hitchworth workbook [OPTION ...] [FILE] --output OUT\n"),
        (["builds"], "Usage: hitchworth builds ACTION ...\n"),
        (["builds", "show"], "Usage: hitchworth builds show [OPTION ...] ID\n"),
    ):
        assert ended([*arguments, "--help"]) == 0
        assert capsys.readouterr().out.startswith(usage)


def test_every_command_says_what_each_option_is_for() -> None:
    for command, parser in commands(build_parser(whole=True)):
        for action in parser._actions:
            assert action.help or isinstance(action, argparse._SubParsersAction), (command, action.dest)


def commands(parser: argparse.ArgumentParser) -> list[tuple[str, argparse.ArgumentParser]]:
    found = [(parser.prog, parser)]
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            found.extend(chain.from_iterable(commands(each) for each in action.choices.values()))
    return found


@pytest.mark.parametrize("shell", shtab.SUPPORTED_SHELLS)
def test_completion_is_printed_for_every_shell(shell: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["completion", shell]) == 0
    printed = capsys.readouterr().out
    for word in ("estimate", "as-of", "schedules"):
        assert word in printed
    if (program := which(shell)) and shell in ("bash", "zsh", "fish"):
        assert (
            subprocess.run([program, "-n"], input=printed, text=True, capture_output=True, check=False).returncode == 0
        )


def test_bash_completes_a_command_an_option_and_its_values(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["completion", "bash"]) == 0
    script = capsys.readouterr().out

    def completed(*words: str) -> set[str]:
        quoted = " ".join(f"'{word}'" for word in words)
        ask = f"COMP_WORDS=(hitchworth {quoted}); COMP_CWORD={len(words)}; "
        function = re.findall(r"^complete .*-F (\w+)", script, re.MULTILINE)[0]
        done = subprocess.run(
            ["bash", "-c", f'{script}\n{ask}{function}; printf "%s\\n" "${{COMPREPLY[@]}}"'],
            capture_output=True,
            text=True,
            check=False,
        )
        return {word.strip() for word in done.stdout.splitlines()}

    assert completed("esti") == {"estimate"}
    assert "--format" in completed("gap", "--fo")
    assert completed("gap", "--format", "") >= {"table", "json", "csv"}


def test_an_interrupted_command_ends_as_shells_expect(monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupt(_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("hitchworth.cli.completion.run", interrupt)
    assert main(["completion", "bash"]) == 130


def test_help_describes_the_program_a_command_and_an_action(capsys: pytest.CaptureFixture[str]) -> None:
    for arguments in ([], ["estimate"], ["keys", "create"]):
        assert ended(["help", *arguments]) == 0
        told = capsys.readouterr().out
        assert ended([*arguments, "--help"]) == 0
        assert told == capsys.readouterr().out
    assert ended(["help", "estimte"]) == 2
    assert "did you mean estimate" in capsys.readouterr().err
