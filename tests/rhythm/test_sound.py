"""Sounds are where their samples are counted to be: mixed by hand, and by the device that plays to nobody."""

import random
import sys
import time
from array import array
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.rhythm.calling import made
from trainer.drill.unrolling import score
from trainer.rhythm.clock import stamp_clock
from trainer.rhythm.grid import grid_from
from trainer.rhythm.sound import (
    DOUBLE,
    MISSING,
    NO_DEVICE,
    RATE,
    SINGLE,
    STEP,
    STRONG,
    Due,
    Mixer,
    Silence,
    beat_sounds,
    open_sound,
    samples,
    sounds_of,
)


def onsets(heard: "array[int]", quiet: int = RATE // 20) -> list[int]:
    """Return the samples at which something sounds after a silence."""
    found, silent = [], quiet
    for number, value in enumerate(heard):
        if value:
            if silent >= quiet:
                found.append(number)
            silent = 0
        else:
            silent += 1
    return found


def run(mixer: Mixer, seconds: float, block: int = 441, start: float = 100.0) -> "array[int]":
    heard = array("h")
    while mixer.position < seconds * mixer.rate:
        heard.extend(mixer.frames(block, start + mixer.position / mixer.rate))
    return heard


@settings(max_examples=25)
@given(st.lists(st.integers(0, 190).map(lambda tenth: tenth * 10), max_size=5), st.sampled_from([64, 441, 1764]))
def test_mixed_it_is_the_sum_of_its_sounds(times_ms: list[int], block: int) -> None:
    mixer = Mixer()
    mixer.play(Due(100.0 + ms / 1000, STEP) for ms in times_ms)
    heard = run(mixer, 2.0, block)
    wanted = [0] * len(heard)
    for ms in times_ms:
        # A hundredth of a second is 441 samples.
        for number, value in enumerate(samples(STEP)):
            place = round(ms / 1000 * RATE) + number
            if place < len(wanted):
                wanted[place] += value
    assert list(heard) == [max(-32767, min(value, 32767)) for value in wanted]


def test_beats_are_exact_to_the_sample_for_minutes() -> None:
    """At 120 a minute a beat is 22,050 samples; a click begins with the first sample that is not zero."""
    mixer = Mixer()
    mixer.play(Due(100.0 + beat * 0.5, STEP) for beat in range(1, 20))
    found = onsets(run(mixer, 10.2))
    assert found == [22_050 * beat + 1 for beat in range(1, 20)]


def test_samples_are_asked_for_as_early_as_they_are_heard_late() -> None:
    mixer = Mixer(latency=0.04)
    mixer.play([Due(100.5, STEP)])
    assert onsets(run(mixer, 1.0)) == [round(0.46 * RATE) + 1]


def test_one_late_call_moves_nothing_but_a_clock_that_runs_off_is_followed() -> None:
    mixer = Mixer()
    mixer.frames(441, 100.0)
    mixer.frames(441, 100.2)
    assert mixer.sample_of(101.0) == RATE
    for _ in range(40):
        mixer.frames(441, 100.02 + mixer.position / RATE)
    assert mixer.sample_of(101.0) == pytest.approx(0.98 * RATE, abs=1)


def test_what_is_much_too_late_is_left_out_and_what_is_a_little_late_is_not() -> None:
    mixer = Mixer()
    mixer.frames(441, 100.0)
    mixer.play([Due(99.9, STEP), Due(99.99, STRONG)])
    assert list(mixer.frames(2000, 100.01))[: len(samples(STRONG))] == list(samples(STRONG))


def test_what_is_forgotten_is_not_heard() -> None:
    mixer = Mixer()
    mixer.play([Due(100.2, STEP), Due(100.4, STEP)])
    heard = run(mixer, 0.3)
    mixer.forget()
    assert onsets(heard) == [round(0.2 * RATE) + 1]
    assert not any(run(mixer, 1.0))


def test_sounds_differ_and_end_and_a_double_is_two_strokes() -> None:
    sounds = {name: samples(name) for name in (STEP, STRONG, SINGLE, DOUBLE)}
    assert len({tuple(sound) for sound in sounds.values()}) == 4
    assert all(sound[0] == 0 and max(map(abs, sound[-40:])) < 1200 for sound in sounds.values())
    assert all(3000 < max(map(abs, sound)) <= 32767 for sound in sounds.values())
    assert len(sounds[DOUBLE]) == len(sounds[SINGLE]) + int(0.13 * RATE)
    assert samples("roll") == samples(SINGLE)


def test_an_exercise_sounds_strong_on_the_left_foot_and_fades() -> None:
    done = made("flank", "marching", 4)._replace(first="right")
    grid = grid_from(10.0, 120.0)
    heard = list(beat_sounds(done, grid, 9.9, 15.0))
    assert heard == [Due(10.0, STEP), Due(10.5, STRONG), Due(11.0, STEP), Due(11.5, STRONG)]


def test_the_drum_goes_on_when_the_steps_have_faded() -> None:
    done = made("drum", "half step", 4)._replace(first="left", cue_at=9)
    grid = grid_from(0.0, 120.0)
    assert list(beat_sounds(done, grid, 2.0, 9.0)) == [Due(4.5, "single"), Due(5.0, "double")]


@given(st.lists(st.floats(0.0, 12.0), min_size=1, max_size=8), st.integers(1, 4))
def test_sounds_asked_for_bit_by_bit_are_the_same_as_at_once(ends: list[float], level: int) -> None:
    done = made("drum", "half step", level)
    grid = grid_from(1.0, done.cadence)
    at_once = list(beat_sounds(done, grid, 0.0, max(ends)))
    bits, since = [], 0.0
    for until in sorted(ends):
        bits += list(beat_sounds(done, grid, since, until))
        since = until
    assert bits == at_once


def test_a_score_sounds_as_its_feet_and_its_drum() -> None:
    deck = made("drum", "half step").deck
    played = score(deck, deck.movement("drum"))
    assert {beat.beat: sounds_of(beat) for beat in played.beats} == {
        -1: (STRONG,),
        0: ("single",),
        1: ("double",),
        2: (STEP,),
        3: (STRONG,),
        4: (),
    }


def test_without_the_extra_it_is_silent_and_says_how_to_get_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "miniaudio", None)
    sound = open_sound(stamp_clock())
    assert isinstance(sound, Silence)
    assert sound.trouble == MISSING
    sound.play([Due(0.0, STEP)])
    sound.forget()
    sound.close()


def test_without_a_device_it_is_silent_and_says_so() -> None:
    pytest.importorskip("miniaudio", reason="the sound extra is not installed")
    # A back end of another system than any: no machine has both.
    other = "COREAUDIO" if sys.platform != "darwin" else "WASAPI"
    sound = open_sound(stamp_clock(), [other])
    assert isinstance(sound, Silence)
    assert sound.trouble == NO_DEVICE


def test_nothing_is_written_over_the_screen_when_a_device_is_opened(capfd: pytest.CaptureFixture[str]) -> None:
    """On a machine without a sound card the system's library complains at length, unless it is kept from it."""
    pytest.importorskip("miniaudio", reason="the sound extra is not installed")
    open_sound(stamp_clock()).close()
    assert capfd.readouterr().err == ""


class _Kept(Mixer):
    """Keeps all that was played."""

    def __init__(self) -> None:
        super().__init__()
        self.heard = array("h")

    def frames(self, count: int, now: float) -> "array[int]":
        mixed = super().frames(count, now)
        self.heard.extend(mixed)
        return mixed


def test_a_device_that_plays_to_nobody_plays_to_the_sample() -> None:
    """Real time, real thread, no speaker: clicks lie as many samples apart as their times are."""
    pytest.importorskip("miniaudio", reason="the sound extra is not installed")
    clock, mixer = stamp_clock(), _Kept()
    sound = open_sound(clock, ["NULL"], mixer)
    assert sound.trouble == ""
    rng = random.Random(3)
    start = clock() + 0.3
    times = [start, start + 0.15, start + 0.15 + rng.uniform(0.1, 0.2)]
    sound.play(Due(at, STEP) for at in times)
    while len(mixer.heard) < RATE and clock() < start + 5:
        time.sleep(0.02)
    sound.close()
    found = onsets(mixer.heard)
    assert len(found) == 3
    for due, heard in zip(pairwise(times), pairwise(found), strict=True):
        assert heard[1] - heard[0] == pytest.approx((due[1] - due[0]) * RATE, abs=1.0)
