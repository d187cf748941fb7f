"""A document as a workbook: there and back unchanged, filled in, and with what is wrong named by its cell."""

from collections.abc import Callable, Mapping
from datetime import date
from decimal import Decimal
from functools import cache
from io import BytesIO
from typing import Any
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile

import pytest
import xlsxwriter
from msgspec.structs import replace

from hitchworth.demo import demo_request
from hitchworth.localization.locales import available
from hitchworth.localization.localizer import localizer_for
from hitchworth.localization.texts import texts
from hitchworth.model.answer import Answer
from hitchworth.model.build import Build, Measurement
from hitchworth.model.entry import Component
from hitchworth.model.fault import Fault
from hitchworth.model.request import GapRequest
from hitchworth.model.schedule import Schedule
from hitchworth.operations.renderings import AS_WORKBOOK
from hitchworth.operations.workbooks import (
    UnreadableFileError,
    Workbook,
    fill_workbook,
    get_workbook_template,
    read_document_workbook,
    workbook_of,
)
from hitchworth.reference.facts import facts
from hitchworth.reference.words import words_of
from hitchworth.validation import InvalidInputError
from hitchworth.workbooks.archive import repacked, unpacked
from hitchworth.workbooks.cells import Cell, Row, column_name
from hitchworth.workbooks.columns import columns_of
from hitchworth.workbooks.document_sheets import FORM, document_tables, sheet_name
from hitchworth.workbooks.ods_writing import ods_bytes
from hitchworth.workbooks.reading import read_tables
from hitchworth.workbooks.table import Table
from hitchworth.workbooks.writing import xlsx_bytes
from longest_build import longest_request

WRITE: dict[str, Callable[[Workbook], bytes]] = {each.name: each.render for each in AS_WORKBOOK}


def varied() -> GapRequest:
    """The demo with what is awkward in a cell: formulas, line breaks, spaces, units, records, a photo's bytes."""
    demo = demo_request()
    parts = list(demo.build.components)
    parts[0] = replace(parts[0], description="=1+1  two  spaces", note="@first\nsecond\tline", supplier="-x")
    parts[1] = replace(parts[1], schedule=Schedule(method="straight_line", life_years=Decimal(9)), serial_number="007")
    known: dict[str, Any] = {
        **demo.build.facts,
        "width_m": Measurement(value=8, unit="ft"),
        "has_sink": Measurement(value=True, planned=True),
        "height_m": "8' 6\"",
        "sleeping_berths": 2,
        "floor_area_m2": 9.25,
        "has_toilet": None,
    }
    policy = demo.policies[0].name
    answers = (
        Answer(policy=policy, term="deductible", value=250, said_on=date(2026, 10, 2)),
        Answer(policy=policy, term="total_loss_tax_rate", value="0.092"),
        Answer(policy=policy, term="excluded_perils", value=("flood", "hail")),
        Answer(policy=policy, term="limit", value="none"),
        Answer(policy=policy, term="basis", value="replacement_cost"),
        Answer(policy=policy, term="holdback", value=None),
        Answer(fact="has_toilet", value=False),
    )
    build = replace(demo.build, components=tuple(parts), facts=known)
    return replace(demo, build=build, answers=answers, travels_to=("GB", "DE"), as_of=None)


DOCUMENTS = {"demo": demo_request, "longest": longest_request, "varied": varied}


@pytest.mark.parametrize("locale", available())
@pytest.mark.parametrize("form", WRITE)
@pytest.mark.parametrize("name", DOCUMENTS)
def test_a_document_comes_back_from_its_workbook_as_it_was(name: str, form: str, locale: str) -> None:
    document = DOCUMENTS[name]()
    tables = tuple(document_tables(document, localizer_for(locale)).values())
    write = xlsx_bytes if form == "xlsx" else ods_bytes
    assert read_document_workbook(write(tables)) == document


@pytest.mark.parametrize("locale", available())
def test_sheets_and_the_entries_of_the_form_differ_in_every_locale(locale: str) -> None:
    localizer = localizer_for(locale)
    names = [sheet_name(kind, localizer) for kind in texts().labels["workbook_sheet"]]
    assert len(set(map(words_of, names))) == len(names)
    assert all(len(name) <= 31 and not set(name) & set("[]:*?/\\'") for name in names)
    entries = [words_of(column.header(localizer)) for record in FORM for column in columns_of(record)]
    assert len(set(entries)) == len(entries)


@cache
def filled(form: str, locale: str = "en-US") -> bytes:
    """The demo's workbook with its results."""
    return WRITE[form](workbook_of(replace(demo_request(), locale=locale)))


def rows_of(content: bytes, sheet: str) -> tuple[Row, ...]:
    return next(table.rows for table in read_tables(content).tables if table.name == sheet)


@pytest.mark.parametrize("form", WRITE)
def test_the_results_of_the_demo_are_those_of_its_gap_statement(form: str) -> None:
    """64,848.02 and 59,958.02 + 283.16 - 423.83 + 500.00 = 60,317.35, as tests of the settlements have them."""
    rows = rows_of(filled(form), "Results")
    by_label = {row[0]: row[1:] for row in rows if row and isinstance(row[0], str)}
    assert by_label["Replacement cost new"][0] == Decimal("64848.02")
    paid, gap, now, later, cost = by_label["auto extension: theft"][:5]
    assert (paid, gap, now, later, cost) == tuple(map(Decimal, ("4530.67", "60317.35", "4530.67", "0", "64848.02")))


def test_the_percent_good_of_a_line_follows_the_cell_of_its_age() -> None:
    """The chassis: 437 days; over 25 years to a residual of 20 percent."""
    made = workbook_of(demo_request())
    assert rows(made, "Line values")[1][0] == "flatbed-chassis"
    formulas = made.looks["Line values"].formulas
    assert (formulas[1, 9], formulas[1, 10]) == ("437/365.25", "1-(1-0.2)*J2/25")


@pytest.mark.parametrize("form", WRITE)
def test_the_results_end_with_the_cautions(form: str) -> None:
    shown = [row[0] for row in rows_of(filled(form), "Results") if row]
    cautions = shown[shown.index("Cautions") + 1 :]
    assert len(cautions) == 4
    assert str(cautions[0]).startswith("This is a computation from the figures entered. It is not legal advice")
    assert str(cautions[-1]).startswith("Leave gas, line-voltage electrical and structural work")


@pytest.mark.parametrize("form", WRITE)
def test_a_filled_workbook_sent_again_is_the_same_to_the_byte(form: str) -> None:
    once = WRITE[form](fill_workbook(filled(form)))
    assert WRITE[form](fill_workbook(once)) == once


def test_the_language_of_a_workbook_can_be_changed() -> None:
    german = fill_workbook(filled("xlsx"), locale="de-DE")
    assert german.locale == "de-DE"
    assert [table.name for table in german.tables][:4] == ["Ergebnisse", "Werte der Zeilen", "Fragen", "Aufbau"]
    back = read_document_workbook(WRITE["ods"](german))
    assert back == replace(demo_request(), locale="de-DE")


@pytest.mark.parametrize("locale", available())
@pytest.mark.parametrize("form", WRITE)
def test_an_empty_workbook_has_headers_and_every_question_and_asks_for_what_is_required(form: str, locale: str) -> None:
    content = WRITE[form](get_workbook_template(locale))
    localizer = localizer_for(locale)
    questions = [row[1] for row in rows_of(content, sheet_name("fact", localizer))[1:]]
    assert len(questions) == len(facts())
    assert localizer.translate(facts()[0].question) == questions[0]
    build = sheet_name("build", localizer)
    assert [fault.cell for fault in faults(content)] == [f"{build}!B2", f"{build}!B3"]


def test_drop_down_lists_are_those_of_the_columns() -> None:
    template = get_workbook_template("fr-CA")
    look = template.looks["Faits"]
    sink = next(row for row, cells in enumerate(rows(template, "Faits")) if cells[0] == "évier")
    words = next(each.words for each in look.choices if each.first_row == sink and each.column == 2)
    assert words == ("oui", "non", "inconnu") or words[:2] == ("oui", "non")
    evidence = [column.field for column in columns_of("component")].index("evidence_grade")
    closed = next(each for each in template.looks["Composants"].choices if each.column == evidence)
    assert closed.is_closed
    assert len(closed.words) == 3


def rows(workbook: Workbook, sheet: str) -> tuple[Row, ...]:
    return next(table.rows for table in workbook.tables if table.name == sheet)


def faults(content: bytes) -> tuple[Fault, ...]:
    with pytest.raises(InvalidInputError) as caught:
        fill_workbook(content)
    return caught.value.faults


BUILD: tuple[Row, ...] = (("Name of the trailer", "Camper"), ("Currency", "USD"))
HEAD = ("ID", "Description", "Category", "Quantity", "Unit cost", "Bought on")
PART: Row = ("stove", "Stove", "stove", Decimal(1), Decimal("268.00"), date(2026, 2, 14))


def workbook(components: tuple[Row, ...], more: Mapping[str, tuple[Row, ...]] | None = None, **given: Any) -> bytes:
    """A workbook as another program may write it: two sheets, and more."""
    sheets = {"Build": BUILD, "Components": (HEAD, *components), **(more or {})}
    return xlsx_bytes([Table(name=name, rows=rows) for name, rows in sheets.items()], **given)


def test_a_workbook_of_two_sheets_is_enough() -> None:
    document = read_document_workbook(workbook((PART,)))
    (part,) = document.build.components
    assert (part.id, part.unit_cost, part.acquired_on) == ("stove", Decimal(268), date(2026, 2, 14))


def test_lines_without_an_id_have_one_from_their_description_that_stands_in_the_computed_workbook() -> None:
    """Equal names have a number behind them; one that stands in a cell is kept, wherever it stands."""
    parts = tuple((None, text, *PART[2:]) for text in ("Solar panel, 100 W", "Stove", "Kühlbox", "Solar panel 100 W"))
    fields = ("id", "task", "category", "hours", "rate", "performed_on")
    labor = ((name, "Stove", "stove", Decimal(2), Decimal(30), date(2026, 3, 1)) for name in (None, "stove"))
    content = workbook(parts, {"Labor": (fields, *labor)})
    build = read_document_workbook(content).build
    assert [part.id for part in build.components] == [
        *("solar-panel-100-w", "stove-2", "kühlbox", "solar-panel-100-w-2"),
    ]
    assert [work.id for work in build.labor] == ["stove-3", "stove"]
    made = fill_workbook(content)
    assert [row[0] for row in rows(made, "Components")[1:]] == [part.id for part in build.components]
    assert read_document_workbook(WRITE["ods"](made)).build == build
    without = tuple((None, None, *part[2:]) for part in parts[:1])
    assert [fault.cell for fault in faults(workbook(without))] == ["Components!B2"]


def test_the_comment_on_the_id_says_that_it_may_be_left_empty() -> None:
    look = get_workbook_template("en-US").looks["Components"]
    assert look.comments[0, 0] == "Your name for the line. Empty: made from the description."
    assert (0, 0) not in look.styles
    assert look.comments[0, 1].startswith("Required.")


def test_a_partial_loss_without_damage_says_which_row_to_write_and_that_row_is_read() -> None:
    losses = ("Losses", (("Loss", "Peril", "Extent"), ("hail on the roof", "hail", "partial")))
    (fault,) = faults(workbook((PART,), dict([losses])))
    assert fault.detail == "A partial loss needs damage"
    row = (
        "Sheet: losses; ID or name: hail on the roof; Field: damage; "
        'Value (JSON): [{"category":"stove","fraction":0.5}]'
    )
    assert fault.expected == f"a row in the sheet Further entries. {row}"
    head, cells = zip(*(each.split(": ", 1) for each in row.split("; ")), strict=True)
    document = read_document_workbook(workbook((PART,), dict([losses, ("Further entries", (head, cells))])))
    (damage,) = document.losses[0].damage
    assert (damage.category, damage.fraction) == ("stove", Decimal("0.5"))
    marked = fill_workbook(workbook((PART,), dict([losses])), locale="de-DE", mark_faults=True)
    listed = str(rows(marked, "Fehler")[1][2])
    assert listed.startswith("eine Zeile im Blatt Further entries. Sheet: losses")  # its sheets are English


@pytest.mark.parametrize("written", [Decimal(80), "80", "80 %", "80%", Decimal("0.8"), "0,8"])
def test_a_share_may_be_written_as_a_percentage(written: Cell) -> None:
    policies = (("Policy", "Coinsurance percentage"), ("rv", written))
    answers = (("Policy", "Term", "Answer"), ("rv", "coinsurance_rate", Decimal(90)))
    policy = read_document_workbook(workbook((PART,), {"Policies": policies})).policies[0]
    assert policy.coinsurance_rate == Decimal("0.8")
    without = (("Policy", "Limit"), ("rv", Decimal(9000)))
    answered = read_document_workbook(workbook((PART,), {"Policies": without, "Answers": answers})).answers[0]
    assert answered.value == 0.9


@pytest.mark.parametrize("written", [Decimal("1.5"), Decimal(-1), Decimal(800)])
def test_a_number_that_is_no_percentage_says_what_to_write(written: Decimal) -> None:
    """1.5 may be 1.5 percent or one and a half."""
    policies = (("Policy", "Coinsurance percentage"), ("rv", written))
    (fault,) = faults(workbook((PART,), {"Policies": policies}))
    assert (fault.cell, fault.detail) == ("Policies!B2", "Number is out of range")
    assert fault.expected.startswith("a share, such as 0.25 or 25 %")


def test_the_comments_say_how_a_share_and_a_rate_are_written() -> None:
    template = get_workbook_template("en-US")
    at = [column.field for column in columns_of("policy")].index("coinsurance_rate")
    assert "A share: 80, 80 % or 0.8." in template.looks["Policies"].comments[0, at]
    row = next(row for row, cells in enumerate(rows(template, "Build")) if cells[0] == "Overhead rate")
    assert template.looks["Build"].comments[row, 0].endswith("10 alone is ten times the whole.")


@pytest.mark.parametrize(
    ("place", "code", "money", "currency"),
    [
        ("Great Britain", "GB", "British pounds", "GBP"),
        ("UK", "GB", "gbp", "GBP"),
        ("Deutschland", "DE", "Euro", "EUR"),
        ("texas", "US-TX", "US dollars", "USD"),
        ("Québec", "CA-QC", "CAD", "CAD"),
    ],
)
def test_places_and_currencies_may_be_written_by_their_names(place: str, code: str, money: str, currency: str) -> None:
    form = (("Name of the trailer", "Camper"), ("Currency", money), ("Registered in", place), ("Travels to", "France"))
    part = (*PART, "y")
    work = ("fitted", "Fitted it", "stove", "3.5h", Decimal(30), date(2026, 3, 1))
    sheets = {
        "Build": form,
        "Components": ((*HEAD, "bought_used", "replacement_unit_cost"), (*part, Decimal(300))),
        "Labor": (("id", "task", "category", "hours", "rate", "performed_on"), work),
    }
    document = read_document_workbook(xlsx_bytes([Table(name=name, rows=cells) for name, cells in sheets.items()]))
    build = document.build
    assert (build.jurisdiction, build.currency, document.travels_to) == (code, currency, ("FR",))
    assert build.components[0].bought_used is True
    assert build.labor[0].hours == Decimal("3.5")


def test_a_name_of_several_currencies_is_a_fault() -> None:
    content = xlsx_bytes([Table(name="Build", rows=(BUILD[0], ("Currency", "dollars")))])
    assert [fault.cell for fault in faults(content)] == ["Build!B2"]


def test_another_layout_is_found_by_its_headers_and_what_is_not_read_is_named() -> None:
    shuffled = ("Colour", *reversed(HEAD))
    table = (("My trailer",), (), shuffled, ("red", *reversed(PART)))
    more = {"Parts 2026": table, "Holidays": (("a", "b"), ("c", "d"))}
    content = xlsx_bytes([Table(name=name, rows=rows) for name, rows in {"Build": BUILD, **more}.items()])
    assert read_document_workbook(content).build.components[0].id == "stove"
    notes = [row[0] for row in rows(fill_workbook(content), "Results") if row]
    assert "The sheet “Holidays” is not read." in notes
    assert "Sheet “Parts 2026”: the column “Colour” is not read." in notes


def test_categories_that_are_not_in_the_library_are_told_with_their_cells() -> None:
    parts = ((*PART[:2], "frigde", *PART[3:]), ("p2", *PART[1:]), ("p3", PART[1], "frigde", *PART[3:]))
    filled = fill_workbook(workbook(parts))
    notes = [str(row[0]) for row in rows(filled, "Results") if row]
    (note,) = [note for note in notes if "frigde" in note]
    assert "Categories with a similar name: fridge" in note
    assert note.endswith("(Components!C2, Components!C4)")
    look = filled.looks["Components"]
    assert [place for place, style in look.styles.items() if style == "unlisted"] == [(1, 2), (3, 2)]
    assert look.comments[1, 2] == note.removesuffix(" (Components!C2, Components!C4)")


def test_schedules_have_their_labels_in_the_locale() -> None:
    """The schedule of a refrigerator is offered, shown and read as Kühlgerät."""
    stove = replace(demo_request().build.components[2], category="stove", schedule="refrigerator")
    build = Build(name="x", currency="USD", components=(stove,))
    document = GapRequest(build=build, as_of=date(2026, 11, 1), locale="de-DE")
    made = workbook_of(document)
    at = [column.field for column in columns_of("component")].index("schedule")
    assert rows(made, "Bauteile")[1][at] == "Kühlgerät"
    assert rows(made, "Werte der Zeilen")[1][13] == "Kühlgerät"
    words = next(each.words for each in made.looks["Bauteile"].choices if each.column == at)
    assert {"Kühlgerät", "nevada_assessor_3"} <= set(words)
    assert read_document_workbook(WRITE["xlsx"](made)).build.components[0].schedule == "refrigerator"


def test_faults_of_every_sheet_are_told_at_once_by_cell_and_equal_ones_once() -> None:
    wrong: Row = (*PART[:3], Decimal(-1), "many", "2026-02-30")
    parts = tuple((f"p{number}", *wrong[1:]) for number in range(3))
    more = {
        "Facts": (("Fact", "Answer to it"), ("sink", "perhaps"), ("width", "wide")),
        "Policies": (("Policy", "Limit"), ("rv", Decimal(-5))),
        "Further entries": (
            ("Sheet", "ID or name", "Field", "Value (JSON)"),
            ("policies", "rv", "sublimits", '[{"category": "solar", "amount": "lots"}]'),
            ("policies", "other", "sublimits", "[]"),
            ("policies", "rv", "order", "[limit"),
        ),
    }
    found = {fault.cell: fault.also_at for fault in faults(workbook(parts, more))}
    assert found["Components!D2"] == ("Components!D3", "Components!D4")
    assert found["Components!E2"] == ("Components!E3", "Components!E4")
    assert found["Components!F2"] == ("Components!F3", "Components!F4")
    assert {"Facts!B2", "Facts!B3", "Policies!B2"} <= set(found)
    assert {"Further entries!B3", "Further entries!D4"} <= set(found)
    assert "Further entries!D2" in found or any("D2" in place for places in found.values() for place in places)


def test_wrong_cells_come_back_marked_with_a_list() -> None:
    content = workbook(((*PART[:3], "many", *PART[4:]), ("p2", *PART[1:3], "many", *PART[4:])))
    marked = fill_workbook(content, mark_faults=True)
    assert marked.fault_count == 2
    assert rows(marked, "Faults")[1][0] == "Components!D2"
    assert rows(marked, "Faults")[1][4] == "Components!D3"
    look = marked.looks["Components"]
    assert look.styles[1, 3] == look.styles[2, 3] == "wrong"
    assert look.comments[1, 3] == "Not a number; Expected: a number; Found: many"
    assert marked.looks["Faults"].links == {(1, 0): "Components!D2"}
    assert rows(marked, "Components")[1][3] == "many"
    for write in WRITE.values():
        assert [fault.cell for fault in faults(write(marked))] == ["Components!D2"]  # it can be corrected and sent


GERMAN: dict[str, tuple[Row, ...]] = {
    "Aufbau": (
        *(("Name des Anhängers", "Camper"), ("Währung", "USD"), ("Gewinn ist ein Anteil von", "Umsatz")),
        *(("Modelljahr", Decimal(1500)), ("E-Mail", "nö")),
    ),
    "Policen": (
        ("Police", "Entschädigungsgrundlage", "Höchstentschädigung", "Bekanntermaßen nicht enthalten"),
        ("rv", "billig", Decimal(-4), "Grenze für den Inhalt; xx"),
    ),
    "Bauteile": (
        ("Kennung", "Beschreibung", "Kategorie", "Menge", "Stückpreis", "Gekauft am", "Gebraucht gekauft"),
        ("a", "x", "Herd", Decimal(1), "1,234", "03/04/2026", "vielleicht"),
        ("b", "x", None, Decimal(-1), Decimal(3), date(2026, 2, 1), "ja"),
        ("c", "x", None, Decimal(1), Decimal(3), date(2026, 2, 1), "ja"),
    ),
    "Antworten": (("Antwort", "Police", "Vertragsbestimmung", "Gesagt am"), ("x", "rv", "y", date(2030, 1, 1))),
    "Merkmale": (("Merkmal", "Antwort darauf"), ("Spüle", "vielleicht"), ("Breite", "breit")),
}


def test_faults_are_listed_in_order_and_in_the_language_of_the_sheets_with_the_words_that_they_offer() -> None:
    """The sheets say no locale: that of most of their names counts, and numbers are written as there."""
    content = xlsx_bytes([Table(name=name, rows=rows) for name, rows in GERMAN.items()])
    marked = fill_workbook(content, mark_faults=True)
    assert marked.locale == "de-DE"
    said = {str(row[0]): row[1:] for row in rows(marked, "Fehler")[1:]}
    assert [*said] == [
        *("Aufbau!B1", "Aufbau!B3", "Aufbau!B4", "Aufbau!B5", "Policen!B2", "Policen!C2", "Policen!D2"),
        *("Bauteile!E2", "Bauteile!F2", "Bauteile!G2", "Bauteile!C3", "Bauteile!D3"),
        *("Antworten!C2", "Antworten!D2", "Merkmale!B2", "Merkmale!B3"),
    ]
    assert said["Aufbau!B1"][0] == "Dem Blatt fehlt die Überschrift „Eigentümer“"  # an e-mail address is an owner's
    assert said["Aufbau!B3"] == (
        *("Keines der möglichen Wörter", "eins von: den Kosten (Aufschlag), dem Preis (Marge)", "Umsatz", ""),
    )
    expected = {cell: words[1] for cell, words in said.items()}
    assert expected["Aufbau!B4"] == "eine ganze Zahl von 1900 bis 2200, oder eine leere Zelle"
    assert expected["Aufbau!B5"] == "eine E-Mail-Adresse: name@example.com, oder eine leere Zelle"
    assert expected["Bauteile!E2"] == "eine Zahl statt des Texts: 1234 oder 1,234"
    assert expected["Bauteile!F2"] == "der Tag als JJJJ-MM-TT: 2026-04-03 oder 2026-03-04"
    assert expected["Bauteile!G2"] == "ja oder nein, oder eine leere Zelle"
    assert expected["Bauteile!D3"] == (
        "eine Zahl von 0 bis 1.000.000; unter 0 nur bei einer Erstattung, mit „Erstattung von (Kennung)“: "
        "was sie zurücknimmt"
    )
    assert expected["Merkmale!B2"] == "eins von: ja, nein, nicht bekannt"
    assert expected["Policen!C2"] == "eine Zahl von 0 bis 1.000.000.000"
    assert str(expected["Policen!D2"]).startswith("eins oder mehrere, mit Semikolon dazwischen: Höchstentschädigung, ")
    assert expected["Antworten!C2"] == "eine Bestimmung aus der Auswahlliste"
    assert said["Bauteile!C3"][3] == "Bauteile!C4"
    for write in WRITE.values():
        assert len(faults(write(marked))) == len(said)


def test_every_fault_of_the_sheets_has_its_text_in_every_language() -> None:
    """No text of the list is the English one of the API, but for names."""
    for locale in ("de-DE", "es-US", "fr-CA"):
        content = xlsx_bytes([Table(name=name, rows=rows) for name, rows in GERMAN.items()])
        listed = next(iter(fill_workbook(content, locale=locale, mark_faults=True).tables)).rows[1:]
        english = {text for fault in faults(content) for text in (fault.detail, fault.expected)}
        assert not english & {str(cell) for row in listed for cell in row[1:3]}


def by_hand(fill: Callable[[Any, Any, Any], None], **options: Any) -> bytes:
    """A workbook whose component's sheet is filled by the test, after its head and one row."""
    written = BytesIO()
    with xlsxwriter.Workbook(written, {"in_memory": True, **options}) as book:
        for number, row in enumerate(BUILD):
            if number == 0:
                form = book.add_worksheet("Build")
            form.write_row(number, 0, row)
        sheet = book.add_worksheet("Components")
        sheet.write_row(0, 0, HEAD)
        sheet.write_row(1, 0, PART[:3])
        sheet.write_row(1, 3, [1, 268])
        fill(book, sheet, book.add_format({"num_format": "yyyy-mm-dd"}))
    return written.getvalue()


def test_dates_as_numbers_and_from_1904_are_dates() -> None:
    """14 February 2026 is day 46,067 counted from 30 December 1899; from 1904, 1,462 days fewer: 44,605."""
    assert (date(2026, 2, 14) - date(1899, 12, 30)).days == 46_067
    content = by_hand(lambda _, sheet, __: sheet.write_number(1, 5, 46_067))
    assert read_document_workbook(content).build.components[0].acquired_on == date(2026, 2, 14)
    content = by_hand(lambda _, sheet, __: sheet.write_number(1, 5, 44_605), date_1904=True)
    assert read_document_workbook(content).build.components[0].acquired_on == date(2026, 2, 14)
    content = by_hand(lambda _, sheet, day: sheet.write_datetime(1, 5, date(2026, 2, 14), day), date_1904=True)
    assert read_document_workbook(content).build.components[0].acquired_on == date(2026, 2, 14)


def test_formulas_in_place_of_values_count_by_their_value_or_are_faults() -> None:
    def formulas(_: Any, sheet: Any, __: Any) -> None:
        sheet.write_formula(1, 4, "=200+68", None, 268)
        sheet.write_string(1, 5, "2026-02-14")

    assert read_document_workbook(by_hand(formulas)).build.components[0].unit_cost == 268

    def failed(_: Any, sheet: Any, __: Any) -> None:
        sheet.write_formula(1, 4, "=1/0", None, "#DIV/0!")
        sheet.write_string(1, 5, "2026-02-14")

    (fault,) = faults(by_hand(failed))
    assert (fault.cell, fault.detail) == ("Components!E2", "The formula in the cell has failed")


@pytest.mark.parametrize("written", ["", "<v></v>", "<v/>"])
def test_a_formula_that_no_program_has_computed_is_told_as_such(written: str) -> None:
    """A program that writes workbooks without computing them leaves the value out, or writes an empty one."""
    sheet = f"""<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData><row r="1">
        {"".join(f'<c t="inlineStr"><is><t>{header}</t></is></c>' for header in HEAD)}</row><row r="2">
        {"".join(f'<c t="inlineStr"><is><t>{cell}</t></is></c>' for cell in PART[:3])}<c r="D2"><v>1</v></c>
        <c r="E2"><f>200+68</f>{written}</c><c r="F2" t="inlineStr"><is><t>2026-02-14</t></is></c>
        </row></sheetData></worksheet>
        """
    parts = {**unpacked(workbook((PART,))), "xl/worksheets/sheet2.xml": sheet.encode()}
    (fault,) = faults(repacked(parts, is_compressed=True).getvalue())
    assert (fault.cell, fault.detail) == ("Components!E2", "The formula in the cell was never computed")


@pytest.mark.parametrize("form", WRITE)
def test_formulas_of_ones_own_are_named_and_those_of_the_results_are_not(form: str) -> None:
    book = workbook_of(demo_request())
    formulas = {(1, 4): "200+68", (2, 4): "1+1"}
    looks = {**book.looks, "Components": replace(book.looks["Components"], formulas=formulas)}
    sent = fill_workbook(WRITE[form](replace(book, looks=looks)))
    named = "Cells with a formula of your own, which is not kept; its value is: Components!E2, Components!E3."
    assert sent.lost == (named,)
    assert (named,) in rows(sent, "Results")
    assert fill_workbook(WRITE[form](sent)).lost == ()


def test_merged_cells_are_a_fault() -> None:
    def merged(_: Any, sheet: Any, __: Any) -> None:
        sheet.merge_range(1, 4, 1, 5, 268)

    assert [fault.cell for fault in faults(by_hand(merged))] == ["Components!F2"]


def test_hidden_sheets_are_not_read_and_named() -> None:
    def hidden(book: Any, sheet: Any, _: Any) -> None:
        sheet.write_string(1, 5, "2026-02-14")
        other = book.add_worksheet("Policies")
        other.write_row(0, 0, ["Policy", "Limit"])
        other.write_row(1, 0, ["secret", 5])
        other.hide()

    content = by_hand(hidden)
    assert read_document_workbook(content).policies == ()
    notes = [row[0] for row in rows(fill_workbook(content), "Results") if row]
    assert "The sheet “Policies” is not read." in notes


@pytest.mark.parametrize(
    ("name", "part", "reason"),
    [
        ("xl/vbaProject.bin", b"x", "holds macros"),
        ("xl/worksheets/sheet1.xml", b"<worksheet>" + b" " * 200_000_000 + b"</worksheet>", "unpacks to more than"),
        (
            "xl/worksheets/sheet2.xml",
            b'<worksheet><sheetData><row><c r="A200000"><v>1</v></c></row></sheetData></worksheet>',
            "more than 10,000 rows",
        ),
    ],
    ids=["macros", "bomb", "rows"],
)
def test_what_is_not_safe_to_read_is_refused(name: str, part: bytes, reason: str) -> None:
    parts = {**unpacked(workbook((PART,))), name: part}
    with pytest.raises(UnreadableFileError, match=reason):
        fill_workbook(repacked(parts, is_compressed=True).getvalue())


def test_a_workbook_of_something_else_says_what_is_missing() -> None:
    content = xlsx_bytes([Table(name="Holidays", rows=(("a", "b"), ("c", "d")))])
    fault = faults(content)[0]
    assert fault.detail == "No sheet describes the trailer"
    assert "Components" in fault.expected
    assert fault.found == "Holidays"


def test_two_sheets_of_the_same_are_a_fault() -> None:
    content = workbook((PART,), {"Bauteile": ((*HEAD,), ("other", *PART[1:]))})
    assert [(fault.detail, fault.found) for fault in faults(content)] == [("Two sheets hold the same", "Bauteile")]


@pytest.mark.parametrize("form", WRITE)
def test_no_text_becomes_a_formula(form: str) -> None:
    content = WRITE[form](workbook_of(varied()))
    written = b"".join(unpacked(content).values())
    assert b"<f>1+1" not in written
    assert b'formula="of:=1+1' not in written
    texts_there: list[Cell] = [cell for row in rows_of(content, "Line values") for cell in row]
    assert "=1+1  two  spaces" in texts_there


@pytest.mark.parametrize(("cell", "words"), [("B2", "2026-03-04 or 2026-04-03"), ("C2", "1.234 or 1234")])
def test_an_ambiguity_says_what_to_write_in_the_cell(cell: str, words: str) -> None:
    part: Row = ("a", "03/04/2026", "1,234", "x", "stove", Decimal(1))
    head = ("ID", "Bought on", "Unit cost", "Description", "Category", "Quantity")
    content = xlsx_bytes([Table(name="Build", rows=BUILD), Table(name="Components", rows=(head, part))])
    expected = {fault.cell: fault.expected for fault in faults(content)}[f"Components!{cell}"]
    assert set(words.split(" or ")) <= set(expected.replace(":", "").split())


def test_a_sheet_of_which_one_row_is_a_setting_is_read_with_it() -> None:
    """A form with a single row of the settings among those of the build has that one too."""
    content = xlsx_bytes([Table(name="Build", rows=(*BUILD, ("Valuation date", date(2026, 11, 1))))])
    assert read_document_workbook(content).as_of == date(2026, 11, 1)


@pytest.mark.parametrize("form", WRITE)
def test_an_unlisted_category_is_colored_and_faults_are_linked_in_every_form(form: str) -> None:
    parts = ((*PART[:2], "frigde", *PART[3:]),)
    filled = unpacked(WRITE[form](fill_workbook(workbook(parts))))
    wrong = unpacked(WRITE[form](fill_workbook(workbook(((*PART[:3], "many", *PART[4:]),)), mark_faults=True)))
    color, link = {
        "xlsx": (b"FFFFF2CC", b'location="Components!D2"'),
        "ods": (b'table:style-name="unlisted"', b"xlink:href=\"#'Components'.D2\""),
    }[form]
    assert any(color in part for part in filled.values())
    assert any(link in part for part in wrong.values())


def test_a_line_of_which_some_came_back_is_computed_from_its_cells() -> None:
    """Two windows of 142.00 with 25.28 of tax and 9.00 of freight, one taken back: half of each, 159.14."""
    parts = (
        Component(
            id="window",
            description="Window",
            category="windows",
            quantity=Decimal(2),
            unit_cost=Decimal(142),
            tax=Decimal("25.28"),
            freight=Decimal(9),
            acquired_on=date(2026, 4, 11),
        ),
        Component(
            id="back",
            description="Window taken back",
            category="windows",
            quantity=Decimal(-1),
            unit_cost=Decimal(142),
            refund_of="window",
            acquired_on=date(2026, 4, 18),
        ),
    )
    made = workbook_of(GapRequest(build=Build(name="n", currency="USD", components=parts), as_of=date(2026, 6, 1)))
    assert rows(made, "Line values")[1][3] == Decimal("159.14")
    share = "('Components'!D2-ABS('Components'!D3))/'Components'!D2"
    cells = "'Components'!D2*'Components'!F2+'Components'!{tax}2+'Components'!{freight}2"
    names = [column.field for column in columns_of("component")]
    tax, freight, quantity, cost = (
        column_name(names.index(name)) for name in ("tax", "freight", "quantity", "unit_cost")
    )
    written = made.looks["Line values"].formulas[1, 3]
    expected = f"ROUND(({cells.format(tax=tax, freight=freight)})*{share},2)"
    assert written == expected.replace("!D", f"!{quantity}").replace("!F", f"!{cost}")


@pytest.mark.parametrize(("currency", "places"), [("USD", 2), ("JPY", 0), ("KWD", 3)])
def test_money_has_the_decimal_places_of_its_currency(currency: str, places: int) -> None:
    assert workbook_of(GapRequest(build=Build(name="n", currency=currency))).money_places == places


def test_an_archive_says_nothing_of_when_it_was_written() -> None:
    """The same parts are the same bytes; what tells the kind of an OpenDocument file is first, and not compressed."""
    parts = {"content.xml": b"<a/>" * 99, "mimetype": b"application/x"}
    written = repacked(parts, is_compressed=True).getvalue()
    with ZipFile(BytesIO(written)) as archive:
        assert [(part.filename, part.compress_type) for part in archive.infolist()] == [
            ("mimetype", ZIP_STORED),
            ("content.xml", ZIP_DEFLATED),
        ]
        assert {part.date_time for part in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
    assert unpacked(written) == parts
