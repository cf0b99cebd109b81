"""What happened: events and the append-only log."""
