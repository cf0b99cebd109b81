"""The beat of the real program, measured through a pseudo-terminal: `python -m tests.benchmarks.beat_terminal`.

The program is opened on the invented unit, led to a call by its keys, and left marching while keys that mean nothing
are struck. What is read: when the bytes of each beat's picture arrive, against the beat's deadline; the stamp of each
key, against the moment before its byte was written; the processor time. All on one clock, the monotonic one, so this
runs where a program's keys are stamped with it (not under Windows). It prints figures and asserts nothing: times
depend on the machine and on what else it does.
"""

import argparse
import json
import os
import pty
import random
import select
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Any

ROWS, COLUMNS = 24, 80
BAR = "╂".encode()
"""The pointer across a staff: painted anew on every beat, and only then."""
TO_A_MARCH = (
    ("b", "I have read them"),
    ("\r", "See the fault"),
    ("\x1b[B", ""),
    ("\r", "called on"),
    ("\x1b[B", ""),
    ("\r", "level 2"),
)
"""The cautions, the beat, one movement, the second of the deck, which is a halt from the march; each key with what
then is to be seen."""
TODAY = "points asked so far"
START, NOTHING, STOP, QUIT = " ", "z", "\x1b", "\x11"
SETTLE = 3.0
PATIENCE = 60.0


class Terminal:
    """The program on a pseudo-terminal, with everything that it wrote and when."""

    def __init__(self, log: Path) -> None:
        command = [sys.executable, "-m", "tests.benchmarks.beat_terminal", "--child", str(log)]
        parent, child = pty.openpty()
        subprocess.run(["stty", "rows", str(ROWS), "cols", str(COLUMNS)], stdin=child, check=True)
        environment = {
            name: value for name, value in os.environ.items() if not name.startswith(("SSH_", "MOSH_", "TMUX"))
        } | {"TERM": "xterm-256color", "COLORTERM": "truecolor"}
        self.process = subprocess.Popen(
            command, stdin=child, stdout=child, stderr=child, env=environment, start_new_session=True
        )
        os.close(child)
        self.file = parent
        self.paints: list[tuple[float, bytes]] = []

    def read(self, seconds: float) -> None:
        """Read for some seconds."""
        end = time.monotonic() + seconds
        while (left := end - time.monotonic()) > 0:
            ready, _, _ = select.select([self.file], [], [], left)
            if not ready:
                break
            now = time.monotonic()
            try:
                self.paints.append((now, os.read(self.file, 65536)))
            except OSError:
                return

    def until(self, text: str) -> None:
        """Read until a text was written.

        Raises:
            TimeoutError: if it does not come.
        """
        self.paints.clear()
        end = time.monotonic() + PATIENCE
        while text.encode() not in b"".join(written for _, written in self.paints):
            if time.monotonic() > end:
                raise TimeoutError(f"the program does not show {text!r}")
            self.read(0.1)
        self.read(SETTLE / 3)

    def strike(self, keys: str) -> float:
        """Write keys and return the moment before."""
        now = time.monotonic()
        os.write(self.file, keys.encode())
        return now

    def cpu(self) -> float:
        """Return the processor time used so far, seconds."""
        fields = Path(f"/proc/{self.process.pid}/stat").read_text("ascii").rsplit(")", 1)[1].split()
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")

    def load(self, seconds: float) -> float:
        """Return the share of one core that is used over some seconds."""
        before, since = self.cpu(), time.monotonic()
        self.read(seconds)
        return (self.cpu() - before) / (time.monotonic() - since)


def control(seconds: float, period: float = 0.1) -> list[float]:
    """Return by how many ms a bare loop wakes late: no program on this machine can be better than that."""
    since, late = time.monotonic(), []
    for number in range(int(seconds / period)):
        due = since + (number + 1) * period
        time.sleep(max(due - time.monotonic(), 0.0))
        late.append((time.monotonic() - due) * 1000)
    return late


def measure(seconds: float, idle: float) -> dict[str, Any]:
    """Open the program, let it march, and return what was read, times in ms."""
    with tempfile.TemporaryDirectory() as folder:
        log = Path(folder) / "log.json"
        terminal = Terminal(log)
        terminal.until(TODAY)
        terminal.read(SETTLE)
        resting = terminal.load(idle)
        for key, seen in TO_A_MARCH:
            terminal.strike(key)
            terminal.until(seen)
        terminal.strike(START)
        terminal.read(SETTLE)
        terminal.paints.clear()
        struck, before, since = [], terminal.cpu(), time.monotonic()
        rng = random.Random(1)
        while time.monotonic() - since < seconds:
            terminal.read(rng.uniform(0.2, 0.6))
            struck.append(terminal.strike(NOTHING))
        busy = (terminal.cpu() - before) / (time.monotonic() - since)
        for key in (STOP, STOP, STOP, QUIT):
            terminal.strike(key)
            terminal.read(1.0)
        terminal.process.wait(20)
        noted = json.loads(log.read_text("ascii"))
    return {
        "paints": _paint_errors(terminal.paints, noted["since"], noted["period"], since, since + seconds),
        "stamps": _stamp_errors(struck, noted["stamps"]),
        "cpu_marching": busy,
        "cpu_idle": resting,
    }


def _paint_errors(
    paints: Sequence[tuple[float, bytes]], since: float, period: float, first: float, last: float
) -> list[float]:
    """Return for each beat by how many ms its picture came late; the first bytes that hold the bar count."""
    came: dict[int, float] = {}
    for at, written in paints:
        if BAR in written and first < at < last:
            beat = round((at - since) / period)
            came.setdefault(beat, (at - since - beat * period) * 1000)
    return list(came.values())


def _stamp_errors(struck: Sequence[float], stamps: Sequence[float]) -> list[float]:
    """Return for each key by how many ms its stamp lies after the moment before it was written."""
    return [(stamp - at) * 1000 for at in struck if (stamp := next((s for s in stamps if s >= at), None)) is not None]


def told(name: str, errors: Sequence[float]) -> str:
    """Return errors in words: the median of their sizes, the 99th and 90th in a hundred, the largest."""
    sizes = sorted(abs(error) for error in errors)
    at = [sizes[min(int(len(sizes) * share), len(sizes) - 1)] for share in (0.5, 0.9, 0.99)]
    mean = statistics.fmean(errors)
    return (
        f"{name}: {len(sizes)}; half within {at[0]:.2f} ms, 90 in 100 within {at[1]:.2f}, 99 within {at[2]:.2f}, "
        f"largest {sizes[-1]:.2f}; mean {mean:+.2f}"
    )


def child(log: Path) -> None:
    """Run the program as it is, and note the grid and the stamps of the keys."""
    from trainer.cli.main import main
    from trainer.screens.beat import BeatScreen

    noted: dict[str, Any] = {"stamps": []}
    usual_key, usual_start = BeatScreen.on_key, BeatScreen._start

    def on_key(self: BeatScreen, event: Any) -> None:
        if event.key == NOTHING:
            noted["stamps"].append(event.time)
        usual_key(self, event)

    def start(self: BeatScreen) -> None:
        usual_start(self)
        if self.grid is not None:
            noted.update(since=self.grid.stretches[0].since, period=self.grid.stretches[0].period)

    BeatScreen.on_key, BeatScreen._start = on_key, start  # type: ignore[method-assign]
    main(["--demo"])
    log.write_text(json.dumps(noted), "ascii")


def run() -> None:
    """Measure, and print the figures."""
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--seconds", type=float, default=120.0)
    arguments.add_argument("--idle", type=float, default=20.0)
    arguments.add_argument("--child", type=Path, help=argparse.SUPPRESS)
    given = arguments.parse_args()
    if given.child:
        child(given.child)
        return
    found = measure(given.seconds, given.idle)
    lines = (
        told("control, a bare loop that sleeps to deadlines", control(given.idle)),
        told("paints against their beat", found["paints"]),
        told("key stamps against the key", found["stamps"]),
        f"processor: {found['cpu_marching']:.1%} of a core marching, {found['cpu_idle']:.2%} idle on Today",
    )
    sys.stdout.write("\n".join((*lines, "")))


if __name__ == "__main__":
    run()
