"""`hitchworth webhooks`: send the messages to webhooks once, for a scheduler, where no server does."""

from argparse import ArgumentParser, Namespace

from hitchworth.cli import settings
from hitchworth.cli.command_parser import add_actions, add_command
from hitchworth.cli.database import opened
from hitchworth.cli.exit_codes import UsageError
from hitchworth.operations.webhook_delivery import deliver_due, sender_of


def add_options(parser: ArgumentParser) -> None:
    """Add the actions of `hitchworth webhooks`."""
    actions = add_actions(parser)
    once = add_command(actions, "deliver", "look through the builds and send every message that is due, once")
    settings.add_options(once, "database", "webhook_seconds", "webhook_networks", "webhook_http")
    once.set_defaults(run=deliver)


def deliver(arguments: Namespace) -> None:
    """Send what is due, and print what came of it."""
    try:
        sender = sender_of(settings.settings_of(arguments))
    except ValueError as error:
        raise UsageError(f"webhook_networks: {error}") from None
    with opened(arguments) as store:
        counts = deliver_due(store, sender)
    print(f"delivered {counts['delivered']}, to be sent again {counts['failed']}, given up {counts['dead']}")
