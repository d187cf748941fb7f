"""Every place has its own word for a trailer to stay in and one for a trailer for goods, or the data say why not."""

from collections import Counter
from datetime import date

import pytest

from hitchworth.model.assessment import TrailerKind
from hitchworth.reference.class_words import class_words, nearest_words
from hitchworth.reference.definitions import definitions, definitions_for
from hitchworth.reference.jurisdictions import UnknownJurisdictionError, jurisdictions
from hitchworth.reference.registration_documents import class_families, family_of_class

STATES = (
    "AL AK AZ AR CA CO CT DE FL GA HI ID IL IN IA KS KY LA ME MD MA MI MN MS MO MT NE NV NH NJ NM NY NC ND OH OK OR PA "
    "RI SC SD TN TX UT VT VA WA WV WI WY DC AS GU MP PR VI"
)
"""ISO 3166-2:US: fifty states, the district, and five outlying areas (codes from memory)."""

US_PLACES = tuple(f"US-{code}" for code in STATES.split())

PROVINCES = "AB BC MB NB NL NS NT NU ON PE QC SK YT"
CANADA = tuple(f"CA-{code}" for code in PROVINCES.split())
"""ISO 3166-2:CA: ten provinces and three territories."""

AUSTRALIAN_STATES = "ACT NSW NT QLD SA TAS VIC WA"
AUSTRALIA = tuple(f"AU-{code}" for code in AUSTRALIAN_STATES.split())
"""ISO 3166-2:AU: six states and two territories."""

MEMBER_STATES = "AT BE BG HR CY CZ DK EE FI FR DE GR HU IE IT LV LT LU MT NL PL PT RO SK SI ES SE"
EUROPEAN_UNION = tuple(MEMBER_STATES.split())
"""The 27 member states, by their ISO 3166-1 codes."""

OTHERS = ("CH", "GB", "GB-NIR", "NO", "NZ", "ZA")

WORLD = (*CANADA, *AUSTRALIA, *EUROPEAN_UNION, *OTHERS)
PLACES = (*US_PLACES, *WORLD)
"""The places that have to have a word or an entry."""

KINDS: tuple[TrailerKind, ...] = ("goods", "living")


TODAY = date(2026, 11, 27)


def _kind(class_key: str | None) -> TrailerKind | None:
    family = family_of_class(class_key)
    return family.name if family else None


def _defined(code: str, kind: TrailerKind) -> bool:
    return any(
        one.jurisdiction == code and one.role == "class" and one.in_force(TODAY) and _kind(one.class_) == kind
        for one in definitions()
    )


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("code", PLACES)
def test_every_place_defines_the_class_or_an_entry_says_what_is_known(code: str, kind: TrailerKind) -> None:
    recorded = [entry for entry in class_words() if (entry.jurisdiction, entry.kind) == (code, kind)]
    assert _defined(code, kind) != bool(recorded)


def test_the_list_of_places_is_that_of_the_jurisdictions() -> None:
    assert set(US_PLACES) == {code for code in jurisdictions() if code.startswith("US-")}


def test_most_states_have_a_word_of_their_own_for_a_trailer_to_stay_in() -> None:
    """Of the fifty states and the district, nine were searched in vain, and one was not looked up."""
    statuses = Counter(nearest_words(code, "living", TODAY)[0].status for code in US_PLACES[:51])
    assert statuses == {"defined": 36, "named": 5, "not_found": 9, "not_looked_up": 1}


def test_no_place_outside_the_united_states_is_forgotten() -> None:
    """The federal levels, the Union, and a region that goes by its country's decree have no words of their own."""
    without_words = {"CA", "AU", "US", "EU", "INT", "INS", "BE-BRU"}
    assert set(WORLD) == {code for code in jurisdictions() if not code.startswith("US-")} - without_words


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("code", WORLD)
def test_a_class_of_each_kind_can_be_read_there(code: str, kind: TrailerKind) -> None:
    """A class without a definition is read by the nearest class of its kind, or by a standard."""
    classes = {one.class_ for one in definitions_for(code, TODAY) if one.role == "class"}
    family = next(family for family in class_families() if family.name == kind)
    standards = [one for one in family.standards if one.jurisdiction in jurisdictions()[code].chain]
    assert classes & {*family.classes, *(name for standard in standards for name in standard.classes)}


def test_an_entry_says_where_the_word_was_read_or_sought() -> None:
    for entry in class_words():
        assert entry.jurisdiction in jurisdictions(), entry
        assert entry.status != "defined", entry
        assert bool(entry.word) is (entry.status == "named"), entry
        assert bool(entry.source) is (entry.status != "not_looked_up"), entry
        assert entry.class_ is None or _kind(entry.class_) == entry.kind, entry


def test_a_definition_gives_the_word_of_the_place() -> None:
    words = nearest_words("US-CA", "living", TODAY)
    assert [word.class_ for word in words] == ["camp_trailer", "trailer_coach"]
    assert all(word.status == "defined" and word.definition and word.source for word in words)


def test_a_former_definition_gives_no_word() -> None:
    assert [word.definition for word in nearest_words("US-VA", "living", date(2010, 1, 1))] == [
        "us-va-camping-trailer",
        "us-va-travel-trailer-before-2015",
    ]
    assert [word.definition for word in nearest_words("US-VA", "living", TODAY)] == ["us-va-camping-trailer"]


def test_without_a_word_of_its_own_the_wider_words_follow() -> None:
    """Austria falls back to the European Union; of a state of the United States there is no wider class."""
    assert [(word.jurisdiction, word.status) for word in nearest_words("AT", "goods", TODAY)][-1] == ("EU", "defined")
    (coach,) = nearest_words("US-NY", "living", TODAY)
    assert (coach.status, coach.word, coach.verified) == ("named", "house coach", True)
    (unknown,) = nearest_words("US-GU", "living", TODAY)
    assert (unknown.status, unknown.word, unknown.verified) == ("not_looked_up", "", False)
    with pytest.raises(UnknownJurisdictionError):
        nearest_words("XX", "goods", TODAY)
