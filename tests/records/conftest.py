"""A record with ten questions, and a small medium of our own."""

import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.records.disks import cannot, fill


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A record with ten questions."""
    path = tmp_path / "record.db"
    fill(path)
    return path


@pytest.fixture
def medium(tmp_path: Path) -> Iterator[Path]:
    """A file system of 256 KiB of our own."""
    place = tmp_path / "medium"
    place.mkdir()
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=256k", "tmpfs", str(place)], capture_output=True, text=True, check=False
    )
    if mounted.returncode:
        cannot(f"mounting is not possible here: {mounted.stderr.strip()}")
    yield place
    subprocess.run(["umount", "-l", str(place)], check=True)
