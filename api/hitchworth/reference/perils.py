"""The names of perils. They are free text: the same peril may be written with capitals, spaces or hyphens."""


def peril_key(text: str) -> str:
    """Return the form in which perils are compared and looked up: lowercase words joined by underscores."""
    return "_".join(text.casefold().replace("_", " ").replace("-", " ").split())


def same_peril(a: str, b: str) -> bool:
    """Return whether two names mean the same peril."""
    return peril_key(a) == peril_key(b)
