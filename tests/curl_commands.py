"""The commands of curl that the documents show, sent to a server without curl: of its options only these are known."""

import argparse
import shlex
from pathlib import Path

import httpx2

SHOWN = "http://127.0.0.1:8000"
"""The address of the server in the documents."""


def sent(command: str, address: str, folder: Path) -> httpx2.Response:
    """Return the answer of the server at an address to a command; files of its body are in the folder."""
    parser = argparse.ArgumentParser(exit_on_error=False)
    parser.add_argument("-s", action="store_true")
    parser.add_argument("-X", dest="method")
    parser.add_argument("-H", action="append", default=[], dest="headers")
    parser.add_argument("-d", "--data-binary", dest="body")
    parser.add_argument("url")
    told = parser.parse_args(shlex.split(command.replace("\\\n", " "))[1:])
    headers = [tuple(header.split(": ", 1)) for header in told.headers]
    from_file = (told.body or "").startswith("@")
    content = (folder / told.body[1:]).read_bytes() if from_file else told.body
    method = told.method or ("POST" if told.body else "GET")
    return httpx2.request(method, told.url.replace(SHOWN, address), headers=headers, content=content)
