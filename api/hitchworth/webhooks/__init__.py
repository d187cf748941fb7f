"""Messages to webhooks: signed, sent to addresses outside the network only, and sent again by a schedule."""
