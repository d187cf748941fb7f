"""The formats of a report that need the extra `reports`: PDF and Word. Their libraries load with the first."""

from collections.abc import Iterator
from contextlib import contextmanager

from hitchworth.extras import MissingExtraError
from hitchworth.reports.content import Content


class NoTypesetterError(MissingExtraError):
    """The extra `reports` is not installed."""

    def __init__(self) -> None:
        super().__init__("PDF and Word documents need what is not installed: install hitchworth[reports]")


def render_pdf(content: Content) -> bytes:
    """Return the report as PDF. Raises NoTypesetterError, and InvalidInputError when its tables have too many rows."""
    with _of_the_extra():
        from hitchworth.reports import pdf  # noqa: PLC0415  (it draws in the typesetter)
    return pdf.render(content)


def render_docx(content: Content) -> bytes:
    """Return the report as a Word document. Raises NoTypesetterError."""
    with _of_the_extra():
        from hitchworth.reports import docx  # noqa: PLC0415  (it draws in the typesetter and the writer of documents)
    return docx.render(content)


@contextmanager
def _of_the_extra() -> Iterator[None]:
    try:
        yield
    except ModuleNotFoundError as error:
        raise NoTypesetterError from error
