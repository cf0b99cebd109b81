"""Stepcall: a terminal trainer for a ceremonial marching test."""

__version__ = "0.1.0"
