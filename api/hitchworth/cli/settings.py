"""The settings of the server as options of a command. An option overrides the variable of the same setting."""

import os
from argparse import ArgumentParser, BooleanOptionalAction, Namespace
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, get_type_hints

from msgspec import Meta, structs

from hitchworth import validation
from hitchworth.cli.exit_codes import UsageError
from hitchworth.cli.options import value_of
from hitchworth.model.pricing import Workshop
from hitchworth.operations.settings import Settings, read_settings, variable
from hitchworth.operations.workshop import workshop_of


def add_options(parser: ArgumentParser, *names: str) -> None:
    """Give a command the options of the settings with these names; without names, of all settings."""
    kinds = get_type_hints(Settings, include_extras=True)
    for field in structs.fields(Settings):
        if names and field.name not in names:
            continue
        (meta,) = kinds[field.name].__metadata__
        if isinstance(field.default, bool):
            how: dict[str, Any] = {"action": BooleanOptionalAction}
        else:
            how = {"type": value_of(kinds[field.name]), "metavar": field.name.rpartition("_")[2].upper()}
        parser.add_argument(option(field.name), dest=field.name, default=None, help=_help(field, meta), **how)


def option(name: str) -> str:
    """Return the option of a setting."""
    return f"--{name.replace('_', '-')}"


def settings_of(arguments: Namespace) -> Settings:
    """Return the settings of the environment, with those of the command line. Raises UsageError with every fault."""
    overrides = {name: getattr(arguments, name, None) for name in Settings.__struct_fields__}
    with _setting_errors():
        return read_settings(os.environ, **overrides)


def workshop_of_settings(arguments: Namespace) -> Workshop | None:
    """Return the workshop of the settings. Raises UsageError with every fault of it."""
    with _setting_errors():
        return workshop_of(settings_of(arguments))


@contextmanager
def _setting_errors() -> Iterator[None]:
    """Turn what is wrong with settings into an error of usage."""
    try:
        yield
    except validation.InvalidInputError as error:
        lines = (f"{fault.pointer}: {fault.detail}; expected: {fault.expected}" for fault in error.faults)
        raise UsageError("the settings have faults\n" + "\n".join(lines)) from None


def _help(field: structs.FieldInfo, meta: Meta) -> str:
    default = "none" if field.default in ("", None) else str(field.default)
    return f"{meta.description} Variable: {variable(field.name)}; default: {default}"
