"""The settings of the server: read once, every fault at once."""

import pytest

from hitchworth.operations.settings import Settings, read_settings, variable
from hitchworth.validation import InvalidInputError


def test_without_variables_each_setting_has_its_default() -> None:
    assert read_settings({}) == read_settings({"PATH": "/bin", "HITCHWORTH_PORT": " "}) == Settings()


def test_a_variable_is_read_as_the_type_of_its_setting() -> None:
    environment = {
        "HITCHWORTH_PORT": " 9000 ",
        "HITCHWORTH_ACCESS_LOG": "false",
        "HITCHWORTH_DRAIN_SECONDS": "2.5",
        "HITCHWORTH_HOST": "::1",
    }
    assert read_settings(environment) == Settings(port=9000, access_log=False, drain_seconds=2.5, host="::1")


def test_an_override_counts_more_than_the_variable() -> None:
    environment = {"HITCHWORTH_PORT": "9000", "HITCHWORTH_HOST": "::1"}
    assert read_settings(environment, port=0, host=None) == Settings(port=0, host="::1")
    assert read_settings({"HITCHWORTH_PORT": "ninety"}, port=1).port == 1


def test_every_fault_is_named_at_once_by_its_variable() -> None:
    environment = {
        "HITCHWORTH_PORT": "65536",
        "HITCHWORTH_LOG_LEVEL": "loud",
        "HITCHWORTH_STOP_SECONDS": "0",
        "HITCHWORTH_DRAIN_SECONDS": "nan",
        "HITCHWORTH_ANSWER_SECONDS": "inf",
        "HITCHWORTH_METRICS": "maybe",
        "HITCHWORTH_MAX_BODDY_BYTES": "1",
    }
    with pytest.raises(InvalidInputError) as caught:
        read_settings(environment)
    assert {fault.pointer for fault in caught.value.faults} == set(environment)
    assert all(fault.expected for fault in caught.value.faults)
    with pytest.raises(InvalidInputError) as caught:
        read_settings({"HITCHWORTH_WORKSHOP_EMAIL": "shop"})
    assert caught.value.faults[0].expected == "an e-mail address: name@example.com"  # a variable cannot be null


def test_the_variables_of_the_client_are_no_settings_of_the_server() -> None:
    client = {"HITCHWORTH_URL": "http://x", "HITCHWORTH_TIMEOUT": "3", "HITCHWORTH_KEY": "hw_a_b"}
    assert read_settings(client) == Settings()


def test_no_setting_has_the_variable_of_the_client() -> None:
    assert {variable(name) for name in Settings.__struct_fields__}.isdisjoint(
        {"HITCHWORTH_URL", "HITCHWORTH_TIMEOUT", "HITCHWORTH_KEY"}
    )
