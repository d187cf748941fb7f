"""The API over HTTP: one module a resource, and one road that every operation takes. Thin: it computes nothing."""
