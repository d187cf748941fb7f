"""Which language answers which request."""

import pytest

from hitchworth.localization.locales import ResolvedLocale, catalog, resolve_locale


@pytest.mark.parametrize(
    ("asked", "texts", "formats"),
    [
        ("en-US", "en-US", "en-US"),
        ("de-DE", "de-DE", "de-DE"),
        ("de", "de-DE", "de-DE"),
        ("de-AT", "de-DE", "de-AT"),
        ("en-GB", "en-GB", "en-GB"),
        ("en", "en-US", "en-US"),
        ("en-AU", "en-GB", "en-AU"),
        ("en-CA", "en-US", "en-CA"),
        ("en-PH", "en-US", "en-PH"),
        ("es", "es-US", "es-US"),
        ("es-MX", "es-US", "es-MX"),
        ("fr-CA", "fr-CA", "fr-CA"),
        ("fr-FR", "fr-CA", "fr-FR"),
        ("en-ZZ", "en-US", "en-US"),
        ("ja-JP", "en-US", "en-US"),
        ("xx", "en-US", "en-US"),
        ("../../etc", "en-US", "en-US"),
        ("", "en-US", "en-US"),
    ],
)
def test_the_nearest_locale_answers(asked: str, texts: str, formats: str) -> None:
    assert resolve_locale(asked) == ResolvedLocale(texts, formats)


def test_a_catalog_is_compiled_once() -> None:
    assert catalog("de-DE") is catalog("de-DE")
    assert catalog("de-DE").gettext("Deductible") == "Selbstbeteiligung"
