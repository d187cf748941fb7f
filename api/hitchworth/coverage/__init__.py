"""Estimate + policy + loss -> settlement; where the rest goes; and how much money hangs on what is not yet known."""
