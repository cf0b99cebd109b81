"""A small file system for packets too."""

from tests.records.conftest import medium

__all__ = ["medium"]
