"""The sponsor: graded runs, the roster, taskings."""
