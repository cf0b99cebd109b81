"""Worlds of memory that pupils live in; none of them knows the memory model of the program."""
