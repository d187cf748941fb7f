"""The blocks of a report, with texts ready to print. Every output format reads these and formats nothing itself.

Each block is tagged with its kind, so that the PDF template can read it as JSON.
"""

from datetime import date
from typing import Literal, TypeAlias

from msgspec import Struct

Paper: TypeAlias = Literal["letter", "a4"]
"""A size of paper.

letter: 8.5 x 11 inches
a4: 210 x 297 millimeters
"""

LETTER_REGIONS = frozenset(["US", "CA", "MX", "PH", "CL", "CO", "VE", "CR", "GT", "PA", "SV", "NI", "PR", "BZ"])
"""Regions that print on Letter (common practice); all others print on A4, ISO 216."""


def default_paper(region: str | None) -> Paper:
    """Return the paper that a region prints on. `region`: a territory of ISO 3166, or None."""
    return "letter" if region in LETTER_REGIONS else "a4"


MAX_FOOTER_NAME = 48
"""Characters of the build's name in the footer, so that the footer fits on one line."""


def footer_name(name: str) -> str:
    """Return the name of the build as it stands in the footer: cut short where it is long."""
    return name if len(name) <= MAX_FOOTER_NAME else f"{name[: MAX_FOOTER_NAME - 1]}…"


class Block(Struct, frozen=True, tag_field="kind"):
    """A part of a report."""


class Heading(Block, frozen=True, tag="heading"):
    """A heading: level 1 opens a section, level 2 a subsection."""

    text: str
    level: Literal[1, 2] = 1
    new_page: bool = False


class Paragraph(Block, frozen=True, tag="paragraph"):
    """Running text. `small`: a footnote."""

    text: str
    small: bool = False


class Fact(Struct, frozen=True):
    """A label and its value."""

    label: str
    value: str


class Photo(Struct, frozen=True):
    """A picture in JPEG, and what it shows, in words."""

    data: bytes
    description: str


class Thumbnail(Struct, frozen=True):
    """A small picture in JPEG as large as it is printed, and what it shows, in words."""

    data: bytes
    description: str
    width_mm: float
    height_mm: float


class Logo(Block, frozen=True, tag="logo"):
    """The mark of whoever sends the report: small, and whole whatever its shape."""

    photo: Photo


class Facts(Block, frozen=True, tag="facts"):
    """Labels and values, one pair per line, in one or two columns; a photo stands beside them."""

    rows: tuple[Fact, ...]
    columns: Literal[1, 2] = 1
    photo: Photo | None = None


class Column(Struct, frozen=True):
    """A column of a table. Width 0: as narrow as its cells; otherwise its share of the remaining width."""

    title: str
    width: int = 0
    align: Literal["left", "right"] = "left"


class Table(Block, frozen=True, tag="table"):
    """A table. The first cell of a row is its header. After a line break in a cell, the text is small.

    `pictures`: below the first cell of each row, in the order of the rows; empty where no row has any.
    """

    caption: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    foot: tuple[str, ...] = ()
    pictures: tuple[tuple[Thumbnail, ...], ...] = ()


class Group(Struct, frozen=True):
    """Rows of a grouped table under their own title. `subtotals`: one cell for each column after the first.

    `pictures`: as those of a table.
    """

    title: str
    rows: tuple[tuple[str, ...], ...]
    subtotals: tuple[str, ...] = ()
    pictures: tuple[tuple[Thumbnail, ...], ...] = ()


class GroupedTable(Block, frozen=True, tag="grouped"):
    """A long table in groups, whose columns align throughout."""

    caption: str
    columns: tuple[Column, ...]
    groups: tuple[Group, ...]
    foot: tuple[str, ...] = ()


class Figure(Block, frozen=True, tag="figure"):
    """A chart as SVG. `description`: what it shows, in words."""

    svg: str
    description: str
    caption: str


class Listing(Block, frozen=True, tag="listing"):
    """A bulleted list."""

    items: tuple[str, ...]


class Caution(Block, frozen=True, tag="caution"):
    """Warnings to the reader, in a box."""

    title: str
    items: tuple[str, ...]


class Blanks(Block, frozen=True, tag="blanks"):
    """Labels side by side, each with a line to write on."""

    labels: tuple[str, ...]


class QuestionBox(Block, frozen=True, tag="question"):
    """A question, the money at stake, and space to write the answer, who gave it and when. `money` may be empty."""

    number: str
    text: str
    money: str
    remarks: tuple[str, ...]
    answer: str
    signed: tuple[str, ...]
    new_page: bool = False


SHORT = 18
"""Printed lines of what is kept on one page: a quarter of it, so that no page is left half empty."""

LINE_MM = 4
"""About how high a line of a table is."""

LETTERS_PER_LINE = 60
"""Letters that about fit on a line of a cell."""


def is_short(block: Table | Group | Listing) -> bool:
    """Return whether a table, a group of rows or a list is kept on one page."""
    rows = [(item,) for item in block.items] if isinstance(block, Listing) else block.rows
    pictures = () if isinstance(block, Listing) else block.pictures
    lines = sum(max(map(_printed_lines, row), default=1) for row in rows)
    return lines + sum(map(_lines_of_pictures, pictures)) <= SHORT


def _lines_of_pictures(pictures: tuple[Thumbnail, ...]) -> int:
    """Return how many lines the pictures of a row take: they stand side by side as long as there is room."""
    return round(max((picture.height_mm for picture in pictures), default=0) / LINE_MM)


def _printed_lines(text: str) -> int:
    return sum(1 + len(line) // LETTERS_PER_LINE for line in text.split("\n"))


AnyTable: TypeAlias = Table | GroupedTable
AnyBlock: TypeAlias = Heading | Paragraph | Logo | Facts | AnyTable | Figure | Listing | Caution | Blanks | QuestionBox


class Content(Struct, frozen=True):
    """The content of one report."""

    title: str
    subtitle: str
    language: str
    paper: Paper
    dated: date
    footer: str
    blocks: tuple[AnyBlock, ...]
    shows_title: bool = True
    """False for a letter, which begins with its sender."""
