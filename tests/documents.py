"""The documents that people read, and how to find the examples in them, wherever in a document they are."""

import re
from pathlib import Path

ROOT = Path(__file__).parents[1]
DOCUMENTS = (
    "README.md",
    "DEVELOPERS.md",
    "api/README.md",
    "api/CHANGELOG.md",
    "api/docs/method.md",
    "api/docs/running.md",
    "api/docs/command-line.md",
    "api/docs/kept-builds.md",
    "api/docs/compatibility.md",
    "api/docs/claim-pack.md",
    "api/docs/evidence.md",
    "api/docs/macros.md",
    "api/docs/quotes.md",
    "api/docs/jurisdictions.md",
    "api/docs/webhooks.md",
    "api/docs/practice.md",
    "sdk/README.md",
)


def text_of(document: str) -> str:
    return (ROOT / document).read_text("utf-8")


def blocks(text: str, language: str) -> list[str]:
    """The code blocks of a language, without the indent of the list item that they are in."""
    found = re.findall(rf"^( *)```{language}\n(.*?)^ *```", text, re.MULTILINE | re.DOTALL)
    return [re.sub(rf"^{indent}", "", block, flags=re.MULTILINE) for indent, block in found]


def shell_commands(text: str) -> list[str]:
    """The commands of the shell examples. A command goes on over lines inside quotes."""
    commands: list[str] = []
    for line in "".join(blocks(text, "sh")).splitlines():
        if commands and commands[-1].count("'") % 2:
            commands[-1] += f"\n{line}"
        elif line.strip():
            commands.append(line)
    return commands


def only(commands: list[str], end: str) -> str:
    """The only command that ends so."""
    (command,) = (command for command in commands if command.endswith(end))
    return command
