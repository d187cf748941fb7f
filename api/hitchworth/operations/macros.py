"""The macros of spreadsheet programs, made for a server and in a language.

The docstrings of the functions are the descriptions of the API.
"""

from typing import Annotated

from msgspec import Meta

from hitchworth.localization.localizer import localizer_for
from hitchworth.model.document import Locale
from hitchworth.model.fault import Fault
from hitchworth.model.macro import Macro, MacroProgram
from hitchworth.model.strings import CurrencyCode
from hitchworth.validation import InvalidInputError, read_text
from hitchworth.validation.build_rules import unknown_currency
from hitchworth.workbooks.macros import description, macro

DEFAULT_SERVER = "http://127.0.0.1:8000"

Program = Annotated[
    MacroProgram, Meta(description="The program in which the macro is installed.", examples=["libreoffice"])
]
ServerAddress = Annotated[
    str,
    Meta(
        pattern=r"^https?://([A-Za-z0-9._-]+|\[[0-9A-Fa-f:]+\])(:[0-9]{1,5})?(/[A-Za-z0-9._~-]+)*$",
        max_length=200,
    ),
]
AskedServer = Annotated[
    ServerAddress | None,
    Meta(
        description="The address of the server that the macro asks, without a slash at its end. Default: the one that "
        "was asked for the macro.",
        examples=[DEFAULT_SERVER],
    ),
]
MacroLocale = Annotated[
    Locale, Meta(description="Language of the headings and sentences that the macro writes.", examples=["en-US"])
]
MacroCurrency = Annotated[
    CurrencyCode | None,
    Meta(description="Currency of the amounts in a table of receipts. Default: as POST /v1/sheet-values finds it."),
]


def get_macro(
    program: Program,
    server_url: AskedServer = None,
    locale: MacroLocale = "en-US",
    currency: MacroCurrency = None,
    address: str = DEFAULT_SERVER,
) -> Macro:
    """Get a macro for a spreadsheet.

    A module of code to install in a spreadsheet program: it sends the rows of the open spreadsheet to
    POST /v1/sheet-values, and writes replacement cost, percent good and actual cash value beside them, or in words what
    is wrong in a row.
    """
    if currency is not None and (faults := [*unknown_currency(currency, "/currency")]):
        raise InvalidInputError(faults)
    server = server_url or _server_at(address)
    localizer = localizer_for(locale)
    file = description().programs[program].file
    return Macro(locale=localizer.locale.formats, file=file, text=macro(program, server, localizer, currency))


def _server_at(address: str) -> str:
    """Return the address that was asked. Raises InvalidInputError for one that does not belong into code."""
    try:
        return str(read_text(address, ServerAddress))
    except InvalidInputError:
        expected = "the address of the server, as the one that was asked cannot stand in a macro"
        fault = Fault(pointer="/server_url", detail="Missing parameter", expected=expected, found="nothing")
        raise InvalidInputError([fault]) from None
