"""The macros of spreadsheet programs, made for a server and in a language.

The docstrings of the functions are the descriptions of the API.
"""

from typing import Annotated

from msgspec import Meta

from hitchworth.localization.localizer import localizer_for
from hitchworth.model.document import Locale
from hitchworth.model.macro import Macro, MacroProgram
from hitchworth.workbooks.macros import description, macro

DEFAULT_SERVER = "http://127.0.0.1:8000"

Program = Annotated[
    MacroProgram, Meta(description="The program in which the macro is installed.", examples=["libreoffice"])
]
ServerAddress = Annotated[
    str,
    Meta(
        pattern=r"^https?://[A-Za-z0-9._-]+(:[0-9]{1,5})?(/[A-Za-z0-9._~-]+)*$",
        max_length=200,
        description="The address of the server that the macro asks, without a slash at its end.",
        examples=[DEFAULT_SERVER],
    ),
]
MacroLocale = Annotated[
    Locale, Meta(description="Language of the headings and sentences that the macro writes.", examples=["en-US"])
]


def get_macro(program: Program, server_url: ServerAddress = DEFAULT_SERVER, locale: MacroLocale = "en-US") -> Macro:
    """Get a macro for a spreadsheet.

    A module of code to install in a spreadsheet program: it sends the rows of the open spreadsheet to
    POST /v1/sheet-values, and writes replacement cost, percent good and actual cash value beside them, or in words what
    is wrong in a row.
    """
    localizer = localizer_for(locale)
    file = description().programs[program].file
    return Macro(locale=localizer.locale.formats, file=file, text=macro(program, server_url, localizer))
