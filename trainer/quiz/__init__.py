"""Questions about a deck and how answers are marked."""
