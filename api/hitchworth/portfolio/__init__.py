"""Many builds: a pure function over a part of them, and what runs it in one process, in several, or on a cluster."""
