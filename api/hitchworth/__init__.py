"""Hitchworth: replacement value, class and insurance gap of a self-built camping trailer.

DEVELOPERS.md describes the packages and how they depend on one another. `web` and `cli` offer the `operations`; these
call `appraisal`, which calls `valuation`, `classification`, `coverage` and `protection`; all share the `model`.
"""
