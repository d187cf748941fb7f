"""Quotes: a build and how a workshop prices it to lines, options, tax and payments, and what became of them."""
