"""The documents that people read, and how to find the examples in them, wherever in a document they are."""

import re
from pathlib import Path

from hitchworth.guide.chapters import chapter_names

ROOT = Path(__file__).parents[1]
GUIDE = "api/hitchworth/guide"
CHAPTERS = tuple(f"{GUIDE}/{name}.md" for name in chapter_names())
DOCUMENTS = ("README.md", "DEVELOPERS.md", "api/README.md", "api/docs/practice.md", "sdk/README.md", *CHAPTERS)


def text_of(document: str) -> str:
    return (ROOT / document).read_text("utf-8")


def blocks(text: str, language: str) -> list[str]:
    """The code blocks of a language, without the indent of the list item that they are in."""
    found = re.findall(rf"^( *)```{language}(?: \S+)?\n(.*?)^ *```", text, re.MULTILINE | re.DOTALL)
    return [re.sub(rf"^{indent}", "", block, flags=re.MULTILINE) for indent, block in found]


def shell_commands(text: str) -> list[str]:
    """The commands of the shell examples."""
    return commands_of("".join(blocks(text, "sh")))


def commands_of(block: str) -> list[str]:
    """The commands of a shell example. A command goes on over lines inside quotes, and after a backslash."""
    commands: list[str] = []
    for line in block.splitlines():
        if commands and (commands[-1].count("'") % 2 or commands[-1].endswith("\\")):
            commands[-1] = f"{commands[-1]}\n{line}"
        elif line.strip():
            commands.append(line)
    return commands


def only(commands: list[str], end: str) -> str:
    """The only command that ends so."""
    (command,) = (command for command in commands if command.endswith(end))
    return command
