"""What a build, a policy, an estimate, a settlement *is*: frozen records without behaviour, one vocabulary."""
