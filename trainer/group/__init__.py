"""The study group: a mock test run on each other, and how far the graders agree."""
