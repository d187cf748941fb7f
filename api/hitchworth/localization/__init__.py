"""Sentences, labels and formats: what the core says in codes and numbers, said in the reader's language."""
