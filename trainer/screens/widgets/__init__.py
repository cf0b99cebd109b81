"""Widgets the screens share."""
