"""The version of this package; the same as in its metadata."""

__version__ = "0.1.0"
