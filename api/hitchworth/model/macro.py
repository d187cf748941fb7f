"""The macro of a spreadsheet program."""

from typing import Literal, TypeAlias

from msgspec import Struct

MacroProgram: TypeAlias = Literal["libreoffice", "excel", "power-query", "web-spreadsheet"]
"""A program in which a macro is installed.

libreoffice: LibreOffice Calc, in Basic
excel: Excel, in VBA
power-query: Excel's query language, Power Query M
web-spreadsheet: a spreadsheet in the browser, in its JavaScript
"""


class Macro(Struct, frozen=True, kw_only=True):
    """The macro of one program."""

    locale: str
    file: str
    """Name of the file that holds it."""
    text: str
    """Its code."""
