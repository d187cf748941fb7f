"""`hitchworth webhooks`: send the messages to webhooks once, for a scheduler, where no server does."""

from argparse import Namespace

from hitchworth.cli.database import opened
from hitchworth.cli.exit_codes import UsageError
from hitchworth.cli.settings import settings_of
from hitchworth.operations.webhook_delivery import deliver_due, sender_of


def deliver(arguments: Namespace) -> None:
    """Send what is due, and print what came of it."""
    try:
        sender = sender_of(settings_of(arguments))
    except ValueError as error:
        raise UsageError(f"webhook_networks: {error}") from None
    with opened(arguments) as store:
        counts = deliver_due(store, sender)
    print(f"delivered {counts['delivered']}, to be sent again {counts['failed']}, given up {counts['dead']}")
