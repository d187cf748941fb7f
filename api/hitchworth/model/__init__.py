"""What a build, a policy, an estimate and a settlement are: frozen records, one vocabulary for every package.

The records hold data and compute nothing. `timeline` holds the few rules that every package must apply alike.

The source is also the reference of the API: `web.openapi` prints each field's description, and for an enumeration the
lines `value: what it means` of the docstring below its alias. A record without them fails tests/contract.
"""
