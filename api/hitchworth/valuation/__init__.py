"""What a build costs to replace on a date, and what it is worth after depreciation. Pure: same input, same output."""
