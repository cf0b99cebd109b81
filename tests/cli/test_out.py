"""The one way to print: data stays data, talk stays harmless."""

import io
import json
import sys

import pytest

from trainer.cli import out


def test_talk_cannot_act_on_a_terminal(capsys: pytest.CaptureFixture[str]) -> None:
    out.say("one\x1b[2J\ntwo\r")
    out.trouble("\x07")
    assert capsys.readouterr() == ("one<U+001B>[2J\ntwo<U+000D>\n", "<U+0007>\n")


def test_data_are_one_line_of_ascii(capsys: pytest.CaptureFixture[str]) -> None:
    value = {"a": ["\x1b\n\u202e標", 1, 2.5, None, True]}
    out.data(value)
    printed = capsys.readouterr().out
    assert printed.isascii()
    assert printed.count("\n") == 1
    assert printed.rstrip("\n").isprintable()
    assert json.loads(printed) == value


def test_data_hold_no_number_that_json_does_not_know() -> None:
    with pytest.raises(ValueError, match=r"nan|JSON"):
        out.data(float("nan"))


def test_letters_that_a_stream_cannot_take_are_named(monkeypatch: pytest.MonkeyPatch) -> None:
    raw = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(raw, encoding="ascii"))
    out.say("“eben”")
    assert raw.getvalue() == b"\\u201ceben\\u201d\n"


def test_trouble_without_a_listener_is_no_trouble(monkeypatch: pytest.MonkeyPatch) -> None:
    class Gone(io.StringIO):
        encoding = "utf-8"

        def write(self, _: str) -> int:
            raise BrokenPipeError

    monkeypatch.setattr(sys, "stderr", Gone())
    out.trouble("x")
    monkeypatch.setattr(sys, "stdout", Gone())
    with pytest.raises(BrokenPipeError):
        out.say("x")
