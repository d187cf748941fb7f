"""What documents a trailer: its numbers, and the records of each part. Pure."""
