"""Compare the facts of a build with published definitions, by three-valued logic."""
