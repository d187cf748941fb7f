"""Settings of every test: property tests draw the same cases each time, and none is judged by the clock."""

from hypothesis import settings

settings.register_profile("hitchworth", deadline=None, derandomize=True)
settings.load_profile("hitchworth")
