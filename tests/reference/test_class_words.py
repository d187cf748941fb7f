"""Every place has its own word for a trailer to stay in and one for a trailer for goods, or the data say why not."""

import pytest

from hitchworth.model.assessment import TrailerKind
from hitchworth.reference.class_words import class_words, kind_of_class, words_of_place
from hitchworth.reference.definitions import definitions
from hitchworth.reference.jurisdictions import UnknownJurisdictionError, jurisdictions

STATES = (
    "AL AK AZ AR CA CO CT DE FL GA HI ID IL IN IA KS KY LA ME MD MA MI MN MS MO MT NE NV NH NJ NM NY NC ND OH OK OR PA "
    "RI SC SD TN TX UT VT VA WA WV WI WY DC AS GU MP PR VI"
)
"""ISO 3166-2:US: fifty states, the district, and five outlying areas that register vehicles (codes from memory)."""

PLACES = tuple(f"US-{code}" for code in STATES.split())
KINDS: tuple[TrailerKind, ...] = ("goods", "living")


def _defined(code: str, kind: TrailerKind) -> bool:
    return any(
        one.jurisdiction == code and one.role == "class" and not one.valid_to and kind_of_class(one.class_) == kind
        for one in definitions()
    )


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("code", PLACES)
def test_every_place_defines_the_class_or_an_entry_says_what_is_known(code: str, kind: TrailerKind) -> None:
    recorded = [entry for entry in class_words() if (entry.jurisdiction, entry.kind) == (code, kind)]
    assert _defined(code, kind) != bool(recorded)


def test_the_list_of_places_is_that_of_the_jurisdictions() -> None:
    assert set(PLACES) == {code for code in jurisdictions() if code.startswith("US-")}


def test_an_entry_says_where_the_word_was_read_or_sought() -> None:
    for entry in class_words():
        assert entry.jurisdiction in jurisdictions(), entry
        assert entry.status != "defined", entry
        assert bool(entry.word) is (entry.status == "named"), entry
        assert bool(entry.source) is (entry.status != "not_looked_up"), entry
        assert entry.class_ is None or kind_of_class(entry.class_) == entry.kind, entry


def test_a_definition_gives_the_word_of_the_place() -> None:
    words = words_of_place("US-CA", "living")
    assert [word.class_ for word in words] == ["camp_trailer", "trailer_coach"]
    assert all(word.status == "defined" and word.definition and word.source for word in words)


def test_a_place_without_an_entry_was_not_looked_up() -> None:
    assert [word.status for word in words_of_place("AT", "goods")] == ["not_looked_up"]
    with pytest.raises(UnknownJurisdictionError):
        words_of_place("XX", "goods")
