"""The changes of the tables."""
