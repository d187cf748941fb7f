"""A build on a date: what it costs to replace, and what it is worth after wear. Pure: same input, same output."""
