"""A program that keeps one revision after another, and prints the digest of each once the store has acknowledged it.

python acknowledging_writer.py WHERE
"""

import os
import sys

from hitchworth.store import open_store
from store_changes import change


def main(where: str) -> None:
    """Write until killed: a new build of ten revisions, then the next."""
    store = open_store(where)
    while True:
        seen = store.builds.create("default", change(os.urandom(20_000)))
        tell(seen.digest)
        for _ in range(9):
            seen = store.builds.change("default", seen, change(os.urandom(20_000)))
            tell(seen.digest)


def tell(digest: str) -> None:
    """Print a line at once, by a single write."""
    os.write(sys.stdout.fileno(), f"{digest}\n".encode())


if __name__ == "__main__":
    main(sys.argv[1])
