"""What is remembered: recall model, choice of points, readiness."""
