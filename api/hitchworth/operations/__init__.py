"""What the interfaces offer, as plain functions: a request in, a result in the caller's language out.

The API and the command line call these functions and compute nothing themselves.
"""
