"""A sheet as Markdown (CommonMark with tables): for a mail, a wiki, a ticket. The drawing is told in words."""

import re
from collections.abc import Iterable

from hitchworth.reports.content import (
    AnyBlock,
    AnyTable,
    Blanks,
    Caution,
    Content,
    Facts,
    Figure,
    Heading,
    Listing,
    Paragraph,
    QuestionBox,
    Table,
)

_MARKUP = re.compile(r"([\\`*_\[\]<>#|~&])")
_LINE_START = re.compile(r"^(\s*)([-+=]|\d+[.)])", re.MULTILINE)
_LINE = "_" * 20


def render(content: Content) -> str:
    """The text. Whatever in a value could be read as markup is escaped."""
    opening = (f"# {_escaped(content.title)}", _escaped(content.subtitle))
    return "\n\n".join((*opening, *(_text(block) for block in content.blocks), _escaped(content.footer))) + "\n"


def _text(block: AnyBlock) -> str:
    match block:
        case Heading(text, level):
            return f"{'#' * (level + 1)} {_escaped(text)}"
        case Paragraph(text):
            return _escaped(text)
        case Facts(rows):
            return _points(f"**{_escaped(fact.label)}:** {_escaped(fact.value)}" for fact in rows)
        case Figure(_, described, caption):
            return f"*{_escaped(caption)}.* {_escaped(described)}"
        case Listing(items):
            return _points(map(_escaped, items))
        case Caution(title, items):
            return f"## {_escaped(title)}\n\n{_points(map(_escaped, items))}"
        case Blanks(labels):
            return _blanks(labels)
        case QuestionBox():
            return _question(block)
    return _table(block)


def _table(block: AnyTable) -> str:
    head = [_cell(column.title) for column in block.columns]
    lines = ["---:" if column.align == "right" else "---" for column in block.columns]
    body = [*_rows(block), *([_strong(block.foot)] if block.foot else [])]
    table = "\n".join(f"| {' | '.join(row)} |" for row in (head, lines, *body))
    return f"**{_escaped(block.caption)}**\n\n{table}"


def _rows(block: AnyTable) -> Iterable[list[str]]:
    if isinstance(block, Table):
        return [_plain(row) for row in block.rows]
    return [row for group in block.groups for row in (_strong((group.title, *group.sums)), *map(_plain, group.rows))]


def _question(block: QuestionBox) -> str:
    remarks = tuple(_escaped(remark) for remark in (block.money, *block.remarks) if remark)
    opening = f"### {block.number}. {_escaped(block.text)}"
    return f"{opening}\n\n{_points(remarks)}\n\n{_blanks((block.answer, *block.signed))}"


def _blanks(labels: tuple[str, ...]) -> str:
    return "  \n".join(f"{_escaped(label)}: {_escaped(_LINE)}" for label in labels)


def _points(items: Iterable[str]) -> str:
    return "\n".join(f"- {item}" for item in items)


def _plain(row: tuple[str, ...]) -> list[str]:
    return [_cell(text) for text in row]


def _strong(row: tuple[str, ...]) -> list[str]:
    return [f"**{_cell(text)}**" if text else "" for text in row]


def _cell(text: str) -> str:
    return _escaped(text).replace("\n", "<br>")


def _escaped(text: str) -> str:
    """Backslashes before all that is markup, and before what would start a list or a heading at the start of a line."""
    return _LINE_START.sub(lambda match: f"{match[1]}{match[2][:-1]}\\{match[2][-1]}", _MARKUP.sub(r"\\\1", text))
