"""What a build, a policy, an estimate, a settlement *is*: frozen records, one vocabulary.

They have no behavior; what holds of them in every room alike stands in `standing`.
"""
