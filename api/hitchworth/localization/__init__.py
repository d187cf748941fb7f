"""Texts, labels and formats: the codes and numbers of the core in the reader's language."""
