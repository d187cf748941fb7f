"""The columns follow the model: every field is one, or is left out for a reason that somebody wrote down."""

import pytest
from msgspec.structs import fields

from hitchworth.localization.locales import available
from hitchworth.localization.localizer import localizer_for
from hitchworth.localization.texts import texts
from hitchworth.model.policy import Basis
from hitchworth.operations.workbooks import get_workbook_template
from hitchworth.reference.words import words_of
from hitchworth.workbooks.columns import LABELS, LEFT_OUT, RECORDS, Column, columns_of
from hitchworth.workbooks.document_sheets import sheet_name


def column(record: str, field: str) -> Column:
    return next(each for each in columns_of(record) if each.field == field)


@pytest.mark.parametrize("record", RECORDS)
def test_every_field_is_a_column_or_is_left_out_with_its_reason(record: str) -> None:
    columns = {each.field.partition(".")[0] for each in columns_of(record)}
    left_out = LEFT_OUT.get(RECORDS[record], {})
    assert columns | set(left_out) == {field.name for field in fields(RECORDS[record])}
    assert not columns & set(left_out)
    assert all(reason for reason in left_out.values())


@pytest.mark.parametrize("locale", available())
@pytest.mark.parametrize("record", RECORDS)
def test_the_headers_of_a_record_differ_in_every_locale(record: str, locale: str) -> None:
    headers = [words_of(each.header(localizer_for(locale))) for each in columns_of(record)]
    assert all(headers)
    assert len(set(headers)) == len(headers)


def test_no_two_columns_of_a_record_share_a_header_across_locales() -> None:
    """Catégorie is one column in French and no other one in German: a sheet needs no mark of its language."""
    for record in RECORDS:
        by_header: dict[tuple[str, ...], set[str]] = {}
        for locale in available():
            for each in columns_of(record):
                by_header.setdefault(words_of(each.header(localizer_for(locale))), set()).add(each.field)
        assert {header: named for header, named in by_header.items() if len(named) > 1} == {}


def test_a_column_without_a_header_of_its_own_has_the_label_of_a_term() -> None:
    """A name without either would be shown as it is, in English in every language."""
    columns = [(record, each.field) for record in RECORDS for each in columns_of(record)]
    assert [each for each in columns if each[1] not in {**texts().columns[each[0]], **texts().labels["term"]}] == []


def test_no_header_is_left_over() -> None:
    for record, headers in texts().columns.items():
        assert set(headers) <= {each.field for each in columns_of(record)}
    named = {each.field for record in RECORDS for each in columns_of(record)}
    assert set(texts().column_examples) <= named


def test_what_a_column_holds_comes_from_the_type_of_its_field() -> None:
    assert column("component", "unit_cost").kind == "money"
    assert column("component", "quantity").kind == "number"
    assert column("component", "acquired_on").kind == "date"
    assert column("component", "condition").kind == "share"
    assert column("component", "schedule").kind == "text"
    assert column("labor", "hired").kind == "yes_no"
    assert column("build", "model_year").kind == "whole"
    assert column("policy", "basis").kind == "choice"
    assert column("policy", "basis").choices == Basis.__args__  # type: ignore[attr-defined]
    assert column("loss", "situations").kind == "list"
    assert column("answer", "value").kind == "text"
    assert column("component", "effective_age_years").unit == "years"
    assert column("circuit", "length_m").unit == "m"
    assert column("build", "owner.name").header(localizer_for("de-DE")) == "Eigentümer"
    assert column("policy", "limit").header(localizer_for("en-US")) == "Limit"
    assert column("component", "quantity").is_required
    assert not column("build", "owner.name").is_required


def test_every_choice_has_a_label() -> None:
    for record in RECORDS:
        for each in columns_of(record):
            assert set(each.choices) <= set(texts().labels.get(each.labels, {})), (record, each.field)
    assert set(LABELS.values()) <= set(texts().labels)


def test_an_example_is_in_the_words_of_the_locale() -> None:
    german = localizer_for("de-DE")
    assert column("component", "description").example(german) == "Zweiflammiger Kocher"
    assert column("component", "evidence_grade").example(german) == "Beleg"
    assert column("component", "serial_number").example(german) is None
    assert column("labor", "hired").example(german) is True


@pytest.mark.parametrize("locale", available())
def test_what_a_column_means_is_in_the_comment_on_its_header(locale: str) -> None:
    """Every meaning is of a column, and stands before the example."""
    meanings = texts().column_meanings
    for record, of_record in meanings.items():
        assert of_record.keys() <= {column.field for column in columns_of(record)}
    look = get_workbook_template(locale).looks[sheet_name("component", localizer_for(locale))]
    places = {column.field: at for at, column in enumerate(columns_of("component"))}
    said = localizer_for(locale).translate(meanings["component"]["bought_used"])
    assert look.comments[0, places["bought_used"]].startswith(said)
    assert len(look.comments[0, places["condition"]]) > len(localizer_for(locale).translate("Example: {example}"))
