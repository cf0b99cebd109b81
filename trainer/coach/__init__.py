"""Where drill, questions, memory and records meet."""
