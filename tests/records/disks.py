"""Disks and files for the tests of what goes wrong, and what a sentence for the user must be."""

import os
from pathlib import Path

import pytest

from tests.records.samples import CANDIDATE, DEVICE, moment, question
from trainer.records.errors import LogError
from trainer.records.log import Log


def cannot(reason: str) -> None:
    """Skip, but never silently on CI."""
    if os.environ.get("CI") == "true":
        pytest.fail(reason)
    pytest.skip(reason)


def fill(path: Path) -> None:
    with Log.create(path, CANDIDATE, DEVICE) as log:
        for number in range(10):
            log.append_many(question(number), moment(number))


def assert_sentence(error: LogError, path: Path, *parts: str) -> None:
    text = str(error)
    assert str(path) in text
    assert "\n" not in text
    assert text.endswith(".")
    assert text.count(". ") == 0  # one sentence
    assert ";" in text or "," in text  # what is wrong, and what to do
    assert "Error" not in text.replace(str(path), "")
    assert "Traceback" not in text
    for part in parts:
        assert part in text
