"""What a sheet is made of: blocks whose texts are ready to print. Every form is made from these and formats nothing.

The blocks are tagged with their kind, so that the PDF's template can read them as JSON.
"""

from datetime import date
from typing import Literal, TypeAlias

from msgspec import Struct

Paper: TypeAlias = Literal["letter", "a4"]
"""A size of paper.

letter: 8.5 x 11 inches
a4: 210 x 297 millimeters
"""


class Block(Struct, frozen=True, tag_field="kind"):
    """A part of a sheet."""


class Heading(Block, frozen=True, tag="heading"):
    """A heading: level 1 opens a section, level 2 a part of one."""

    text: str
    level: Literal[1, 2] = 1
    new_page: bool = False


class Paragraph(Block, frozen=True, tag="paragraph"):
    """Running text."""

    text: str


class Fact(Struct, frozen=True):
    """One line of facts: what, and how it stands."""

    label: str
    value: str


class Facts(Block, frozen=True, tag="facts"):
    """Label and value, a line each, in one or two columns."""

    rows: tuple[Fact, ...]
    columns: Literal[1, 2] = 1


class Column(Struct, frozen=True):
    """One column. Width 0: as narrow as its cells; else its part of what is left."""

    title: str
    width: int = 0
    align: Literal["left", "right"] = "left"


class Table(Block, frozen=True, tag="table"):
    """A table; the first cell of a row is its head. A line break in a cell is one on paper, what follows is small."""

    caption: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    foot: tuple[str, ...] = ()


class Group(Struct, frozen=True):
    """Rows of a grouped table under a title of their own; their sums stand beside it, one for each further column."""

    title: str
    rows: tuple[tuple[str, ...], ...]
    sums: tuple[str, ...] = ()


class GroupedTable(Block, frozen=True, tag="grouped"):
    """A long table in groups, so that its columns stand in line throughout."""

    caption: str
    columns: tuple[Column, ...]
    groups: tuple[Group, ...]
    foot: tuple[str, ...] = ()


class Figure(Block, frozen=True, tag="figure"):
    """A drawing (SVG) with what it shows in words."""

    svg: str
    described: str
    caption: str


class Listing(Block, frozen=True, tag="listing"):
    """Items, a point each."""

    items: tuple[str, ...]


class Caution(Block, frozen=True, tag="caution"):
    """What the reader has to beware of, in a box."""

    title: str
    items: tuple[str, ...]


class Blanks(Block, frozen=True, tag="blanks"):
    """Labels side by side, each with a line to write on."""

    labels: tuple[str, ...]


class QuestionBox(Block, frozen=True, tag="question"):
    """A question with what hangs on it, and room to write the answer, who gave it and when. `money` may be empty."""

    number: str
    text: str
    money: str
    remarks: tuple[str, ...]
    answer: str
    signed: tuple[str, ...]


AnyTable: TypeAlias = Table | GroupedTable
AnyBlock: TypeAlias = Heading | Paragraph | Facts | AnyTable | Figure | Listing | Caution | Blanks | QuestionBox


class Content(Struct, frozen=True):
    """A whole sheet."""

    title: str
    subtitle: str
    language: str
    paper: Paper
    dated: date
    footer: str
    blocks: tuple[AnyBlock, ...]
