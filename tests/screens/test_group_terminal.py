"""Eight people at one real terminal: everybody presses within the same moment, and nobody's key is lost."""

import fcntl
import json
import os
import pty
import select
import struct
import subprocess
import sys
import termios
import time
from pathlib import Path

import pytest

from tests.screens.opened import someone
from trainer.paths import HOME_VARIABLE, Home
from trainer.records.clock import read_clock

NAMES = ("Ada", "Ben", "Cem", "Dov", "Eli", "Fay", "Gus", "Hal")
ROOT = Path(__file__).parents[2]
PATIENCE = 90.0
"""Seconds to wait for what must come; it is there much sooner unless the machine is busy."""


class Terminal:
    """The program in a pseudo-terminal; what it paints is read away all the time."""

    def __init__(self, home: Home) -> None:
        self.master, slave = pty.openpty()
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        environ = os.environ | {HOME_VARIABLE: str(home.root), "TERM": "xterm-256color", "LINES": "24", "COLUMNS": "80"}
        command = [sys.executable, "-m", "trainer.cli.main"]
        self.process = subprocess.Popen(
            command, stdin=slave, stdout=slave, stderr=slave, env=environ, cwd=ROOT, close_fds=True
        )
        os.close(slave)
        self.painted = b""

    def until(self, wanted: bytes) -> None:
        """Read until something was painted."""
        end = time.monotonic() + PATIENCE
        while wanted not in self.painted:
            assert time.monotonic() < end, f"{wanted!r} was never painted: {self.painted[-800:]!r}"
            self.read(0.1)

    def read(self, seconds: float) -> None:
        """Read what is painted for some time."""
        if select.select([self.master], [], [], seconds)[0]:
            try:
                self.painted += os.read(self.master, 65_536)
            except OSError:  # the program has gone, and with it the other end
                pytest.fail(f"the program ended: {self.painted[-2000:]!r}")

    def press(self, keys: str) -> None:
        """Let keys come in one piece, as from several hands at once."""
        self.painted = b""
        os.write(self.master, keys.encode())

    def close(self) -> None:
        self.process.terminate()
        end = time.monotonic() + PATIENCE
        while self.process.poll() is None and time.monotonic() < end:
            time.sleep(0.05)
        self.process.kill()
        self.process.wait()
        os.close(self.master)


def steps(home: Home) -> list[dict[str, object]]:
    found = list(home.evenings.glob("*.jsonl")) if home.evenings.is_dir() else []
    return [json.loads(line) for path in found for line in path.read_text("ascii").splitlines()]


@pytest.mark.skipif(not hasattr(os, "openpty"), reason="no pseudo-terminals here")
def test_eight_people_press_at_once(tmp_path: Path) -> None:
    home = Home(tmp_path / "home")
    someone(home, moment=read_clock()).close()
    terminal = Terminal(home)
    try:
        terminal.until(b"grade a run")
        terminal.until(b"Weakest")
        terminal.press("g")
        terminal.until(b"Who sits here?")
        terminal.press(",".join(NAMES) + "\r")
        terminal.until(b"All kinds of round")
        terminal.press("\x1b[B\x1b[B\r")  # performances that the program plays: all eight grade
        terminal.until(b"Everybody watches")
        terminal.press("\r")
        terminal.until(b"still to choose")
        terminal.press("q" + "s" + "e" + "f" + "t" + "j" + "i" + "l")  # GO and NO-GO in turns, one piece
        terminal.until(b"In truth")
    finally:
        terminal.close()
    (grade,) = [step for step in steps(home) if step["step"] == "grade"]
    assert grade["gave"] == {name: place % 2 == 0 for place, name in enumerate(NAMES)}
