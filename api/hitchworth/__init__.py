"""Hitchworth: replacement value, class and insurance gap of a self-built camping trailer.

The rooms, and the way down through them, are described in DEVELOPERS.md: cli and web call `appraisal`, which calls
the pure core (`valuation`, `classing`, `cover`); `model` is the vocabulary they share.
"""
