"""What is remembered: recall model, choice of points, readiness.

Every policy and prior here was tried on synthetic learners only; no person has been measured. Whatever shows a
forecast says so.
"""
