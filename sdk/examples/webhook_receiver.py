"""Receive the messages of a webhook, and print what each says, once.

    HITCHWORTH_WEBHOOK_SECRET=whsec_... python webhook_receiver.py PORT

Behind something that speaks https to the outside. What is done with a message goes where it is printed.
"""

import os
import sys
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

from hitchworth_sdk import WebhookVerificationError, verify_webhook

SECRETS = os.environ["HITCHWORTH_WEBHOOK_SECRET"].split()  # while the secret is changed: the new one and the old one
MAX_BYTES = 1_000_000
seen: set[str] = set()  # a message may come twice; a real receiver keeps the ids where they outlast a restart


class Receiver(BaseHTTPRequestHandler):
    """Answers 204 to a message of the server, 400 to anything else."""

    def do_POST(self) -> None:
        """Verify a message before anything in it is believed."""
        length = int(self.headers.get("content-length") or 0)
        try:
            message = verify_webhook(dict(self.headers), self.rfile.read(min(length, MAX_BYTES)), SECRETS)
        except WebhookVerificationError as error:
            self.send_error(400, str(error))
            return
        self.send_response(204)
        self.end_headers()
        if self.headers["webhook-id"] not in seen:
            seen.add(self.headers["webhook-id"])
            print(told(message), flush=True)

    def log_message(self, *_: object) -> None:
        """Print messages alone."""


def told(message: dict) -> str:
    """What a message says, in a line."""
    data = message["data"]
    if message["type"] == "build.changed":
        return f"{data['name']}: revision {data['revision']['revision']} by {data['revision']['actor']}"
    return f"{data['name']}: {data['text']}" if message["type"].startswith("attention.") else message["type"]


if __name__ == "__main__":
    ThreadingHTTPServer(("127.0.0.1", int(sys.argv[1])), Receiver).serve_forever()
