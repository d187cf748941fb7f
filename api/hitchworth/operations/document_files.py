"""Documents from files that people have: JSON, YAML, TOML or a workbook in; the document out.

The docstrings of the functions are the descriptions of the API.
"""

from codecs import BOM_UTF16_BE, BOM_UTF16_LE

from hitchworth import validation
from hitchworth.model.request import GapRequest
from hitchworth.operations.clock import today
from hitchworth.operations.requests import completed
from hitchworth.operations.text_documents import TOML, YAML, UnreadableTextError, read_text_document
from hitchworth.operations.workbooks import read_document_workbook
from hitchworth.workbooks.table import UnreadableFileError

_ZIP = b"PK"
"""How a workbook begins."""


def create_document(request: bytes) -> GapRequest:
    """Read a document from a file.

    A document or a build alone in JSON, YAML or TOML, or a workbook (XLSX, ODS), is the body; its content says which it
    is. The response is the document as every computation takes it: of the present format, fields at their defaults left
    out, with the valuation date where the file has one. A fault of a workbook names its cell.
    """
    if request.startswith(_ZIP):
        return read_document_workbook(request)
    content = _as_json(_as_utf8(request))
    document = validation.read(content, GapRequest, today())
    completed(document)
    return document


def _as_utf8(content: bytes) -> bytes:
    """Return a text that some programs of Windows write in UTF-16 as UTF-8; other content as it is."""
    if not content.startswith((BOM_UTF16_LE, BOM_UTF16_BE)):
        return content
    return content.decode("utf-16", "replace").encode()


def _as_json(content: bytes) -> bytes:
    """Return a text as the JSON that it stands for. What is neither YAML nor TOML is told as YAML."""
    if content.removeprefix(b"\xef\xbb\xbf").lstrip().startswith((b"{", b"[{", b"\x00")):
        return content
    try:
        return read_text_document(content, YAML[0]).content
    except UnreadableTextError as error:
        try:
            return read_text_document(content, TOML[0]).content
        except UnreadableTextError:
            raise UnreadableFileError(str(error)) from None
