"""Sound on the beat, as the extra `stepcall[sound]`: a step's click, the drum's single and double, and no voice.

Sounds are made of numbers here, no file is played. Each one starts at a sample, counted from the first that the device
asked for, so that a busy program does not shift it. Without the extra or without a device everything stays silent, and
a sentence says why.
"""

import math
import random
from array import array
from collections import deque
from collections.abc import Callable, Generator, Iterable, Iterator
from functools import lru_cache
from statistics import median
from threading import Lock
from typing import Any, NamedTuple, Protocol

from trainer.drill.movement import BOTH, LEFT
from trainer.drill.score import Beat
from trainer.rhythm.clock import Clock
from trainer.rhythm.exercise import Exercise
from trainer.rhythm.grid import Grid
from trainer.rhythm.quiet import hush

RATE = 44_100
BUFFER_MS = 40
"""Milliseconds that the device is fed ahead, and so by how much a sample is heard after it was asked for."""
APART = 0.005
"""Seconds by which the clock and the counted samples may part before the samples follow."""
TOO_LATE = 0.05
"""Seconds after which a sound that is due is left out rather than played late."""
AHEAD = 0.5
"""Seconds by which sounds should be known before they are due."""
STEP, STRONG, SINGLE, DOUBLE = "step", "strong step", "single", "double"
BETWEEN_STROKES = 0.13
"""Seconds between the strokes of a double: common practice, no source."""
LOUDEST = 32_767
MISSING = "Sound needs a further part, installed with: pip install 'stepcall[sound]'. Without it the beat stays silent."
NO_DEVICE = (
    "No sound device could be opened, so the beat stays silent. Connect one or switch it on, then start Stepcall again."
)


class Due(NamedTuple):
    """A sound and the clock reading at which it is to be heard."""

    time: float
    name: str


@lru_cache(maxsize=8)
def samples(name: str, rate: int = RATE) -> "array[int]":
    """Return a sound as signed 16-bit samples, one channel; a name that is not known sounds as a single stroke."""
    if name == STEP:
        return _whole(_ringing(1800.0, 0.030, 0.006, 0.35, rate))
    if name == STRONG:
        return _whole(_ringing(1200.0, 0.040, 0.009, 0.55, rate))
    stroke = _drum(rate)
    if name != DOUBLE:
        return _whole(stroke)
    second = int(BETWEEN_STROKES * rate)
    both = stroke + [0.0] * second
    for number, value in enumerate(stroke):
        both[second + number] += value * 0.9
    return _whole(both)


class Mixer:
    """Counts samples and puts each sound where its time falls.

    Args:
        rate: samples a second.
        latency: seconds after which a sample that is asked for is heard.
    """

    def __init__(self, rate: int = RATE, latency: float = 0.0) -> None:
        self.rate, self.latency = rate, latency
        self.position = 0
        self._anchor: float | None = None
        self._parted: deque[float] = deque(maxlen=32)
        self._due: list[Due] = []
        self._sounding: list[tuple[int, array[int]]] = []
        self._lock = Lock()

    def play(self, sounds: Iterable[Due]) -> None:
        """Take in sounds that are to come."""
        with self._lock:
            self._due = sorted((*self._due, *sounds))

    def forget(self) -> None:
        """Leave out every sound that has not begun."""
        with self._lock:
            self._due = []

    def sample_of(self, time: float) -> int | None:
        """Return the number of the sample that is heard at a clock reading; None before the device has begun."""
        return None if self._anchor is None else round((time - self.latency - self._anchor) * self.rate)

    def frames(self, count: int, now: float) -> "array[int]":
        """Return the next samples.

        Args:
            count: how many.
            now: the clock reading at which they are asked for.
        """
        with self._lock:
            self._follow(now)
            self._begin(self.position + count)
        end = self.position + count
        if not self._sounding:
            self.position = end
            return array("h", bytes(2 * count))
        mixed = [0] * count
        for start, sound in self._sounding:
            since, until = max(start, self.position), min(start + len(sound), end)
            for number in range(since, until):
                mixed[number - self.position] += sound[number - start]
        self._sounding = [(start, sound) for start, sound in self._sounding if start + len(sound) > end]
        self.position = end
        return array("h", [max(-LOUDEST, min(value, LOUDEST)) for value in mixed])

    def _follow(self, now: float) -> None:
        """Let the samples follow the clock where the two have parted; one call that comes late moves nothing."""
        self._parted.append(now - self.position / self.rate)
        if self._anchor is None:
            self._anchor = now
        elif len(self._parted) == self._parted.maxlen and abs(median(self._parted) - self._anchor) > APART:
            self._anchor = median(self._parted)

    def _begin(self, end: int) -> None:
        """Set in what is due before a sample; what is much too late is left out."""
        waiting = []
        for due in self._due:
            start = self.sample_of(due.time)
            if start is None or start >= end:
                waiting.append(due)
            elif start >= self.position - TOO_LATE * self.rate:
                self._sounding.append((max(start, self.position), samples(due.name, self.rate)))
        self._due = waiting


class Sound(Protocol):
    """What plays sounds, or does not and says why in `trouble`."""

    trouble: str

    def play(self, sounds: Iterable[Due]) -> None:
        """Take in sounds that are to come, best `AHEAD` seconds before they are due."""

    def forget(self) -> None:
        """Leave out every sound that has not begun, as at a pause."""

    def close(self) -> None:
        """Give the device back."""


class Silence:
    """Plays nothing."""

    def __init__(self, trouble: str = "") -> None:
        self.trouble = trouble

    def play(self, sounds: Iterable[Due]) -> None:
        """Play nothing."""

    def forget(self) -> None:
        """Forget nothing."""

    def close(self) -> None:
        """Give nothing back."""


class Device:
    """Plays sounds on a device that is open."""

    trouble = ""

    def __init__(self, mixer: Mixer, close: Callable[[], None]) -> None:
        self._mixer, self._close = mixer, close

    def play(self, sounds: Iterable[Due]) -> None:
        """Take in sounds that are to come."""
        self._mixer.play(sounds)

    def forget(self) -> None:
        """Leave out every sound that has not begun."""
        self._mixer.forget()

    def close(self) -> None:
        """Give the device back."""
        self._close()


def open_sound(clock: Clock, back_ends: Iterable[str] = (), mixer: Mixer | None = None) -> Sound:
    """Open the sound device; without the extra or a device what is returned is silent and says why.

    Args:
        clock: the clock of the beat.
        back_ends: names of the back ends to try, as miniaudio has them; its own choice if none is named.
        mixer: what mixes; a new one if None.
    """
    try:
        import miniaudio
    except (ImportError, OSError):
        return Silence(MISSING)
    mixer = mixer or Mixer(latency=BUFFER_MS / 1000)
    hush()
    try:
        device = miniaudio.PlaybackDevice(
            output_format=miniaudio.SampleFormat.SIGNED16,
            nchannels=1,
            sample_rate=mixer.rate,
            buffersize_msec=BUFFER_MS,
            backends=[miniaudio.Backend[name] for name in back_ends] or None,
            app_name="stepcall",
        )
        stream = _stream(mixer, clock)
        next(stream)
        device.start(stream)
    except miniaudio.MiniaudioError:
        return Silence(NO_DEVICE)
    return Device(mixer, device.close)


def _stream(mixer: Mixer, clock: Clock) -> Generator[Any, int, None]:
    count = yield b""
    while True:
        count = yield mixer.frames(count, clock())


def beat_sounds(done: Exercise, grid: Grid, since: float, until: float) -> Iterator[Due]:
    """Yield the sounds of an exercise after one clock reading up to another: steps, strong on the left foot, and cues.

    Steps fade as the level says; the drum's cues do not.
    """
    cues = {} if done.cue_at is None else {done.cue_at + cue.beat: cue.sound for cue in done.movement.cues}
    first, last = grid.beat_at(since), grid.beat_at(until)
    beats = {float(beat) for beat in range(math.floor(first), math.floor(last) + 1) if beat >= 0}
    for beat in sorted(beats | {beat for beat in cues if first <= beat <= last}):
        time = grid.time_of(beat)
        if time is None or not since < time <= until or grid.stands(time):
            continue
        if beat in cues:
            yield Due(time, cues[beat])
        elif done.level.shows(beat):
            yield Due(time, STRONG if done.strong(int(beat)) else STEP)


def sounds_of(beat: Beat) -> tuple[str, ...]:
    """Return the sounds of one beat of a score: its cues, else the click of the foot that strikes."""
    if beat.cues:
        return beat.cues
    if beat.strikes is None:
        return ()
    return (STRONG if beat.strikes in (LEFT, BOTH) else STEP,)


def _ringing(hertz: float, seconds: float, decay: float, loud: float, rate: int) -> list[float]:
    """Return a sine that dies away; it begins at zero, and so without a crack."""
    return [
        loud * math.sin(2 * math.pi * hertz * number / rate) * math.exp(-number / rate / decay)
        for number in range(int(seconds * rate))
    ]


def _drum(rate: int) -> list[float]:
    """Return one stroke: a low tone that falls and dies away, with the rattle of the head at its beginning."""
    noise = random.Random(1)
    stroke, turns = [], 0.0
    for number in range(int(0.22 * rate)):
        second = number / rate
        rattle = 0.15 * noise.uniform(-1.0, 1.0) * math.exp(-second / 0.012) if number else 0.0
        stroke.append(0.7 * math.sin(2 * math.pi * turns) * math.exp(-second / 0.06) + rattle)
        turns += (85.0 + 75.0 * math.exp(-second / 0.03)) / rate
    return stroke


def _whole(values: list[float]) -> "array[int]":
    return array("h", [round(max(-1.0, min(value, 1.0)) * LOUDEST) for value in values])
