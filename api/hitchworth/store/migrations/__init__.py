"""How the tables came to be as they are: one module of `versions` for each change, in order.

To make one, change `store.tables` and print the difference:

    python -m hitchworth.store.migrations "what changes"
"""

HEAD = "0006"
"""The newest version of the tables, which this release reads and writes."""
