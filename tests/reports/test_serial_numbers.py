"""The register of serial numbers, and pictures of kept evidence on it and on the inventory, in every format."""

from base64 import b64encode
from datetime import date
from io import BytesIO
from zipfile import ZipFile

import pytest
from msgspec.structs import replace
from PIL import Image

from hitchworth.demo import demo_request
from hitchworth.model.evidence import Evidence
from hitchworth.model.request import GapRequest
from hitchworth.operations.reports import AS_USUAL, report_on
from hitchworth.reports import docx, html, markdown, pdf, pictures
from hitchworth.reports.content import Content, Facts, GroupedTable, Heading, Paragraph, Table, Thumbnail, is_short
from hitchworth.reports.context import PictureOf


def file(name: str, *subjects: str, kind: str | None = "photo", media_type: str = "image/jpeg") -> Evidence:
    return Evidence(
        id=name,
        sha256=f"{name.encode().hex():0<64}",
        media_type=media_type,  # type: ignore[arg-type]
        size=1,
        kind=kind,  # type: ignore[arg-type]
        file_name=f"{name}.jpg",
        subjects=subjects,
    )


EVIDENCE = (
    file("plate", "identification_plate"),
    file("label", "number:stove", "stove"),
    file("bill", "number:stove", "stove", kind="receipt"),
    file("front", "stove"),
    file("awning", "awning"),
    file("inside", "number:inverter", kind=None),
    file("manual", "number:fridge", media_type="application/pdf"),
)


def request(*evidence: Evidence) -> GapRequest:
    """The demo, whose inverter has no number on record."""
    found = demo_request()
    parts = tuple(
        replace(part, serial_number=None)
        if part.id == "inverter"
        else replace(part, number_location="label under the left burner")
        if part.id == "stove"
        else part
        for part in found.build.components
    )
    build = replace(found.build, components=parts, vin_location="plate on the tongue")
    return replace(found, build=build, evidence=evidence, as_of=date(2026, 11, 1))


def jpeg(side: int, tone: int = 0, *, upright: bool = False) -> bytes:
    size = (side * 3 // 4, side) if upright else (side, side * 3 // 4)
    saved = BytesIO()
    Image.new("RGB", size, (tone % 256, tone // 256, 90)).save(saved, "JPEG")
    return saved.getvalue()


def picture_of(entry: Evidence, side: int) -> bytes | None:
    """A picture of its own for each file."""
    return jpeg(side, sum(entry.sha256.encode()), upright=entry.id == "front")


def made(report: str, *evidence: Evidence, picture_of: PictureOf | None = picture_of, locale: str = "en-US") -> Content:
    return report_on(replace(request(*evidence), locale=locale), report, AS_USUAL, picture_of=picture_of)


def register(content: Content) -> Table:
    return next(block for block in content.blocks if isinstance(block, Table))


def rows(content: Content) -> dict[str, tuple[str, ...]]:
    return {row[0]: row[1:] for row in register(content).rows}


def thumbnails(content: Content) -> list[Thumbnail]:
    """The pictures of a report, in the order in which they are printed."""
    rows = [row for block in content.blocks if isinstance(block, Table) for row in block.pictures]
    for block in content.blocks:
        rows += [row for group in block.groups for row in group.pictures] if isinstance(block, GroupedTable) else []
    return [one for row in rows for one in row]


def test_the_register_says_whose_trailer_it_is_and_what_bears_which_number() -> None:
    content = made("serial-numbers", *EVIDENCE)
    facts = {fact.label: fact.value for block in content.blocks if isinstance(block, Facts) for fact in block.rows}
    assert facts["Owner"] == "Robin Alder"
    assert facts["Identification number"] == "4ZZFB142XS1000231"
    assert facts["Where the number is"] == "plate on the tongue"
    assert content.subtitle == "Register of serial numbers, as of November 1, 2026"
    found = rows(content)
    assert found["Standing-height birch camper"] == (
        "4ZZFB142XS1000231\nIdentification number",
        "–",
        "plate on the tongue",
        "plate.jpg",
    )
    stove = found["Two-burner gas stove with glass lid, flame failure cut-off"]
    assert stove == (
        "GS2-60418",
        "–",
        "label under the left burner",
        "label.jpg\nbill.jpg\nPhoto of it, not said to show the number: front.jpg",
    )
    assert found["Bag awning 8 ft with legs"][3] == "Photo of it, not said to show the number: awning.jpg"
    assert found["Rigid solar panels 200 W (× 2)"][0] == "M200-55017, M200-55031"
    inverter = found["Pure sine inverter 1,000 W, 12 V to 120 V"]
    assert inverter[0] == "not on record; the file beside it shows it"
    assert "Inventory" not in [block.text for block in content.blocks if isinstance(block, Heading)]


def test_a_trailer_without_anything_on_record_says_so() -> None:
    bare = request()
    bare = replace(bare, build=replace(bare.build, components=(), vin=None, vin_location=None, owner=None))
    content = report_on(bare, "serial-numbers", AS_USUAL)
    assert list(rows(content).values()) == [("not on record", "–", "–", "–")]
    assert thumbnails(content) == []


def test_a_quantity_in_another_unit_names_it() -> None:
    wanted = request()
    parts = tuple(replace(part, unit="set") if part.id == "solar-panels" else part for part in wanted.build.components)
    content = report_on(replace(wanted, build=replace(wanted.build, components=parts)), "serial-numbers", AS_USUAL)
    assert "Rigid solar panels 200 W (2 set)" in rows(content)


def test_pictures_of_numbers_are_legible_and_stand_at_their_rows() -> None:
    """A receipt and a PDF are named and not printed; the awning has a photo, which is small."""
    table = register(made("serial-numbers", *EVIDENCE))
    shown = {row[0].split(" ")[0]: pictures for row, pictures in zip(table.rows, table.pictures, strict=True)}
    assert {name: [one.width_mm for one in found] for name, found in shown.items() if found} == {
        "Standing-height": [48],
        "Two-burner": [48],
        "Pure": [48],
        "Bag": [24],
    }
    (stove,) = shown["Two-burner"]
    assert stove.description.startswith("What shows the number of Two-burner gas stove")
    assert stove.description.endswith(": label.jpg")
    assert (stove.width_mm, stove.height_mm) == (48, 36)
    assert shown["Bag"][0].description == "Photo of Bag awning 8 ft with legs: awning.jpg"


def test_of_one_number_two_pictures_are_printed() -> None:
    more = tuple(file(f"more{number}", "number:stove") for number in range(3))
    assert len(thumbnails(made("serial-numbers", *more))) == 2


def test_the_inventory_shows_each_line_with_the_photo_of_the_thing() -> None:
    """The stove by its front and not by its label; what nobody called a photo is none. The front is upright."""
    found = thumbnails(made("inventory", *EVIDENCE[2:]))
    assert [one.description.rpartition(": ")[2] for one in found] == ["front.jpg", "awning.jpg"]
    assert [(one.width_mm, one.height_mm) for one in found] == [(18, 24), (24, 18)]
    only_label = thumbnails(made("inventory", file("label", "number:stove")))
    assert [one.description.rpartition(": ")[2] for one in only_label] == ["label.jpg"]


@pytest.mark.parametrize("report", ["inventory", "serial-numbers", "comparison", "after-loss"])
def test_reports_of_a_posted_document_have_no_pictures(report: str) -> None:
    assert thumbnails(made(report, *EVIDENCE, picture_of=None)) == []


def test_an_inventory_without_evidence_is_as_it_would_be_without_files() -> None:
    assert made("inventory") == made("inventory", picture_of=None)


def test_every_format_that_can_shows_the_pictures_and_the_same_bytes_each_time() -> None:
    content = made("serial-numbers", *EVIDENCE)
    found = thumbnails(content)
    page = html.render(content)
    assert all(b64encode(one.data).decode() in page for one in found)
    assert page.count('class="thumbnail"') == len(found) == 4
    word = docx.render(content)
    with ZipFile(BytesIO(word)) as archive:
        files = {archive.read(name) for name in archive.namelist() if name.startswith("word/media/")}
        body = archive.read("word/document.xml").decode()
    assert files == {one.data for one in found}
    assert body.count('descr="What shows the number of ') == 3
    printed = pdf.render(content)
    assert printed.count(b"/Subtype /Image") + printed.count(b"/Subtype/Image") == len(found)
    assert (docx.render(content), pdf.render(content)) == (word, printed)
    text = markdown.render(content)
    assert "<br>*Photo of Bag awning 8 ft with legs: awning.jpg*" in text


def test_a_report_of_other_languages_describes_its_pictures_in_them() -> None:
    (one,) = thumbnails(made("inventory", EVIDENCE[4], locale="de-DE"))
    assert one.description == "Foto von Bag awning 8 ft with legs: awning.jpg"


def remarks(content: Content) -> list[str]:
    return [block.text for block in content.blocks if isinstance(block, Paragraph) and "ictures that" in block.text]


def test_a_file_that_is_missing_or_damaged_is_said_and_the_others_are_printed() -> None:
    def some(entry: Evidence, side: int) -> bytes | None:
        return None if entry.id == "plate" else picture_of(entry, side)

    content = made("serial-numbers", *EVIDENCE, picture_of=some)
    assert len(thumbnails(content)) == 3
    assert remarks(content) == [
        "Pictures that could not be printed, because their file is missing or not as it was: 1."
    ]
    assert remarks(made("serial-numbers", *EVIDENCE)) == []


@pytest.mark.parametrize(("limit", "value"), [("MAX_PICTURES", 3), ("MAX_BYTES", 0)])
def test_a_report_carries_only_so_many_pictures(monkeypatch: pytest.MonkeyPatch, limit: str, value: int) -> None:
    size = sum(len(one.data) for one in thumbnails(made("serial-numbers", *EVIDENCE))[:3])
    monkeypatch.setattr(pictures, limit, value or size)
    content = made("serial-numbers", *EVIDENCE)
    assert len(thumbnails(content)) == 3
    assert remarks(content) == ["Pictures that are not printed here, because a report carries only so many: 1."]


def test_a_picture_that_no_longer_fits_is_counted(monkeypatch: pytest.MonkeyPatch) -> None:
    """The last is larger by a byte than what the others leave."""
    whole = thumbnails(made("serial-numbers", *EVIDENCE))
    monkeypatch.setattr(pictures, "MAX_BYTES", sum(len(one.data) for one in whole) - 1)
    content = made("serial-numbers", *EVIDENCE)
    assert thumbnails(content) == whole[:-1]
    assert remarks(content) == ["Pictures that are not printed here, because a report carries only so many: 1."]


def test_no_picture_is_made_after_the_limit(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[str] = []

    def noted(entry: Evidence, side: int) -> bytes | None:
        asked.append(entry.id)
        return picture_of(entry, side)

    monkeypatch.setattr(pictures, "MAX_PICTURES", 2)
    made("serial-numbers", *EVIDENCE, picture_of=noted)
    assert len(asked) == 2


def test_a_table_with_pictures_is_short_only_as_long_as_they_leave_room() -> None:
    """18 lines: a row with a picture of 36 mm takes its line and nine more."""
    picture = Thumbnail(b"", "", 48, 36)
    table = Table("", (), (("a",),) * 2)
    assert is_short(table)
    assert is_short(replace(table, rows=(("a",),) * 9, pictures=((picture,),)))
    assert not is_short(replace(table, pictures=((picture,), (picture, picture))))


def test_the_inventory_says_how_the_parts_are_documented_and_of_photos_only_with_evidence() -> None:
    def sentence(content: Content) -> str:
        texts = [block.text for block in content.blocks if isinstance(block, Paragraph)]
        return next(text for text in texts if text.startswith("Of the replacement cost of the parts"))

    assert "photo" not in sentence(made("inventory"))
    assert "2.5% a photo" in sentence(made("inventory", EVIDENCE[4]))


def test_the_comparison_names_the_records_to_find_first_for_the_builder() -> None:
    content = made("comparison", EVIDENCE[5])
    table = next(b for b in content.blocks if isinstance(b, Table) and b.caption.startswith("The records most worth"))
    assert table.rows[0] == (
        "Stainless screws, bolts and angle brackets, bought over the build",
        "Receipt or invoice",
        "–",
        "$532.30",
    )
    assert len(table.rows) == 10
    texts = [block.text for block in content.blocks if isinstance(block, Paragraph)]
    assert "Further records that are missing: 5." in texts
    assert any(text.startswith("Files of evidence whose kind nobody stated: 1.") for text in texts)
    assert "Records to find first" not in str(made("inventory", EVIDENCE[5]).blocks)
