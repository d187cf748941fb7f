"""The names of perils: they are free words, so the same one may be written with capitals, spaces or hyphens."""


def peril_key(text: str) -> str:
    """The one form by which perils are compared and looked up: small letters, words joined by underscores."""
    return "_".join(text.casefold().replace("_", " ").replace("-", " ").split())


def same_peril(a: str, b: str) -> bool:
    """Whether two names are of one peril."""
    return peril_key(a) == peril_key(b)
