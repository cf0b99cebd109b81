"""A deck as a file: reading, checking, writing templates."""
