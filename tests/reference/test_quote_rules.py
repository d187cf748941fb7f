"""What places tax, and yardsticks for deposits: each with its source, each place known, nothing twice."""

from hitchworth.reference.currencies import exponent_of
from hitchworth.reference.jurisdictions import jurisdictions
from hitchworth.reference.quote_rules import deposit_yardstick, quote_rules, tax_rule


def test_every_rule_has_a_source_and_a_known_place() -> None:
    rules = quote_rules()
    assert rules.taxes
    assert rules.deposits
    named = [(rule.place, rule.source) for rule in rules.taxes] + [(rule.place, rule.source) for rule in rules.deposits]
    for place, source in named:
        assert len(source) > 20
        assert place in jurisdictions()


def test_a_place_says_one_thing_about_a_kind() -> None:
    keys = [(rule.place, rule.kind) for rule in quote_rules().taxes]
    assert len(set(keys)) == len(keys)
    assert len({(rule.place, rule.currency) for rule in quote_rules().deposits}) == len(quote_rules().deposits)


def test_labor_is_what_may_be_untaxed_where_it_is_stated_apart() -> None:
    apart = {rule.kind for rule in quote_rules().taxes if rule.taxed == "unless_stated_apart"}
    assert apart <= {"fabrication", "repair", "installation"}


def test_a_yardstick_is_an_amount_in_a_currency_and_a_share() -> None:
    for rule in quote_rules().deposits:
        assert rule.amount > 0
        assert 0 < rule.share < 1
        assert exponent_of(rule.currency) is not None


def test_what_was_not_read_has_no_rule() -> None:
    assert tax_rule("US-ID", "installation") is None
    assert tax_rule(None, "materials") is None
    assert tax_rule("US-TX", "materials") is not None
    assert deposit_yardstick("US-CA", "EUR") is None
    assert deposit_yardstick("US-ID", "USD") is None
