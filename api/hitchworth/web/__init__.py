"""The API over HTTP: the operations as resources, and one pipeline that every request passes. It computes nothing."""
