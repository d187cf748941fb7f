"""A report as Markdown (CommonMark with tables), for an email, a wiki or a ticket. A chart is described in words."""

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
    Group,
    Heading,
    Listing,
    Logo,
    Paragraph,
    QuestionBox,
    Table,
)

_MARKUP = re.compile(r"([\\`*_\[\]<>#|~&])")
_LINE_START = re.compile(r"^(\s*)([-+=]|\d+[.)](?!\S))", re.MULTILINE)
_BLANK = "_" * 20


def render(content: Content) -> str:
    """Return the text. Anything in a value that could be read as markup is escaped."""
    opening = (f"# {_escaped(content.title)}", _escaped(content.subtitle))
    return "\n\n".join((*opening, *(_block(block) for block in content.blocks), _escaped(content.footer))) + "\n"


def _block(block: AnyBlock) -> str:
    match block:
        case Heading(text, level):
            return f"{'#' * (level + 1)} {_escaped(text)}"
        case Paragraph(text):
            return _escaped(text)
        case Logo(photo):
            return f"*{_escaped(photo.description)}*"
        case Facts(rows):
            return _list(f"**{_escaped(fact.label)}:** {_escaped(fact.value)}" for fact in rows)
        case Figure(_, description, caption):
            return f"*{_escaped(caption)}.* {_escaped(description)}"
        case Listing(items):
            return _list(map(_escaped, items))
        case Caution(title, items):
            return f"## {_escaped(title)}\n\n{_list(map(_escaped, items))}"
        case Blanks(labels):
            return _blanks(labels)
        case QuestionBox():
            return _question(block)
    return _table(block)


def _table(block: AnyTable) -> str:
    head = [_cell(column.title) for column in block.columns]
    lines = ["---:" if column.align == "right" else "---" for column in block.columns]
    body = [*_rows(block), *([_bold(block.foot)] if block.foot else [])]
    table = "\n".join(f"| {' | '.join(row)} |" for row in (head, lines, *body))
    return f"**{_escaped(block.caption)}**\n\n{table}"


def _rows(block: AnyTable) -> Iterable[list[str]]:
    if isinstance(block, Table):
        return _pictured_rows(block)
    return [row for group in block.groups for row in (_bold((group.title, *group.subtotals)), *_pictured_rows(group))]


def _pictured_rows(block: Table | Group) -> list[list[str]]:
    """Return the rows; what a picture shows is said below the first cell."""
    rows = [_cells(row) for row in block.rows]
    for row, pictures in zip(rows, block.pictures, strict=False):
        row[0] = "<br>".join((row[0], *(f"*{_cell(picture.description)}*" for picture in pictures)))
    return rows


def _question(block: QuestionBox) -> str:
    remarks = tuple(_escaped(remark) for remark in (block.money, *block.remarks) if remark)
    opening = f"### {block.number}. {_escaped(block.text)}"
    return f"{opening}\n\n{_list(remarks)}\n\n{_blanks((block.answer, *block.signed))}"


def _blanks(labels: tuple[str, ...]) -> str:
    return "  \n".join(f"{_escaped(label)}: {_escaped(_BLANK)}" for label in labels)


def _list(items: Iterable[str]) -> str:
    return "\n".join(f"- {item}" for item in items)


def _cells(row: tuple[str, ...]) -> list[str]:
    return [_cell(text) for text in row]


def _bold(row: tuple[str, ...]) -> list[str]:
    return [f"**{_cell(text)}**" if text else "" for text in row]


def _cell(text: str) -> str:
    return _escaped(text).replace("\n", "<br>")


def _escaped(text: str) -> str:
    """Return the text with a backslash before markup, and before what would start a list or a heading on a line."""
    return _LINE_START.sub(lambda match: f"{match[1]}{match[2][:-1]}\\{match[2][-1]}", _MARKUP.sub(r"\\\1", text))
