"""The encodings of terminals and files: every text can be written in each, with a stand-in for what it lacks."""

import codecs
import sys
from io import TextIOWrapper
from unicodedata import combining, normalize

_STAND_INS = {
    "“": '"',
    "”": '"',
    "„": '"',
    "«": '"',
    "»": '"',
    "‘": "'",
    "’": "'",
    "–": "-",
    "—": "-",
    "‑": "-",
    "−": "-",
    "…": "...",
    "×": "x",
    "÷": "/",
    "·": "*",
    "•": "*",
    "→": "->",
    "≤": "<=",
    "≥": ">=",
    "≠": "!=",
    "€": "EUR",
    "£": "GBP",
    "¥": "JPY",
    "ß": "ss",
    "ø": "o",
    "æ": "ae",
    "œ": "oe",
    "\u00a0": " ",
    "\u202f": " ",
    "\u2009": " ",
}
"""What stands for a character that an encoding lacks; letters with accents lose them, and what remains is a ?."""

_HANDLER = "hitchworth.stand_in"


def prepare_streams() -> None:
    """Let standard output and standard error write every text: no character ends the program, whatever the encoding."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper) and not is_unicode(stream.encoding):
            stream.reconfigure(errors=_HANDLER)


def is_unicode(encoding: str | None) -> bool:
    """Return whether an encoding has every character."""
    return (encoding or "ascii").lower().replace("_", "-").startswith("utf")


def printable(text: str, encoding: str) -> str:
    """Return a text with stand-ins for the characters that an encoding lacks."""
    return text if is_unicode(encoding) else text.encode(encoding, _HANDLER).decode(encoding)


def _stand_in(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    missing = error.object[error.start : error.end]
    return "".join(_plain(character, error.encoding) for character in missing), error.end


def _plain(character: str, encoding: str) -> str:
    """Return a character in those that the encoding has."""
    stand_in = _STAND_INS.get(character) or "".join(
        part for part in normalize("NFKD", character) if not combining(part)
    )
    return stand_in.encode(encoding, "replace").decode(encoding) or "?"


codecs.register_error(_HANDLER, _stand_in)
