"""The texts of an import: its notes and its questions."""

from msgspec.structs import replace

from hitchworth.localization.localizer import Localizer
from hitchworth.localization.texts import texts
from hitchworth.model.note import Note
from hitchworth.model.receipt_import import ImportQuestion, ReceiptImport


def localize_receipt_import(imported: ReceiptImport, localizer: Localizer) -> ReceiptImport:
    """Return the import with the texts of its notes and questions."""
    notes = tuple(_with_text(note, localizer) for note in imported.notes)
    questions = tuple(_with_text_of_question(question, localizer) for question in imported.questions)
    return replace(imported, notes=notes, questions=questions)


def _with_text(note: Note, localizer: Localizer) -> Note:
    text = localizer.format(texts().import_notes[note.code], about=note.about, **note.parameters)
    return replace(note, text=text)


def _with_text_of_question(question: ImportQuestion, localizer: Localizer) -> ImportQuestion:
    return replace(question, text=localizer.format(texts().import_questions[question.code], **question.parameters))
