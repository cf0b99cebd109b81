"""Synthetic pupils: ways of choosing questions tried on worlds of memory, by `python -m tests.simulation`."""
