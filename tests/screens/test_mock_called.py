"""Calls of a mock test on the screen: one attempt, nothing told before the end, and what was missed is played."""

import random
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from textual.app import App
from textual.events import AppBlur
from textual.pilot import Pilot

from tests.coach.mocking import beside, point_of, zero_of
from tests.coach.mocking import sit as take
from tests.screens.beating import Hand, page_text
from tests.screens.conftest import Snapshot
from tests.screens.opened import NOW, opened, shown, small_deck, someone
from trainer.authoring.shelf import open_deck
from trainer.coach.mock import MockTest
from trainer.coach.standing import open_standing
from trainer.coach.terminal import Terminal
from trainer.paths import Home
from trainer.quiz.points import FAULTS
from trainer.records.errors import LogError
from trainer.rhythm.calibration import Calibration
from trainer.rhythm.exercise import Exercise
from trainer.screens.calibrate import CalibrateScreen
from trainer.screens.march import CUT, MARCHING, OVER, READY
from trainer.screens.mock import MockScreen
from trainer.screens.mock_end import MockEndScreen
from trainer.screens.player import PlayerScreen

FOUND = Calibration(-30_000, 22_000, 18)
SET, UNSET = Terminal("here", None, FOUND), Terminal("here")
FAR = Terminal("here", "Over a remote link the delay of the keys varies.")
Made = Callable[..., MockScreen]


@pytest.fixture
def made(tmp_path: Path) -> Iterator[Made]:
    """Return a maker of mock tests on a deck of two measures, of which the halt is called."""
    candidate = someone(Home(tmp_path / "home"), deck=str(small_deck(tmp_path / "pier.toml")))
    deck = open_deck(candidate.profile.deck, candidate.home)

    def make(terminal: Terminal = SET, seed: int = 1) -> MockScreen:
        test = MockTest(candidate, open_standing(candidate, deck, NOW), NOW, random.Random(seed))
        return MockScreen(test, lambda: NOW, lambda: 0.0, terminal, lambda _: SET)

    yield make
    candidate.close()


def kinds(screen: MockScreen) -> list[str]:
    return [event.kind for event in screen.test.candidate.log.events()]


def trials(screen: MockScreen) -> list[tuple[object, object]]:
    events = screen.test.candidate.log.events()
    return [(event.body["measure"], event.body["go"]) for event in events if event.kind == "trial"]


async def to_call(pilot: Pilot[None], screen: MockScreen) -> Exercise:
    """Begin, and answer all that comes before the next call."""
    if screen.question is None and screen.call is None:
        await pilot.press("enter")
    while screen.call is None:
        assert screen.question is not None
        screen.give(screen.question.answer, 2_000)
        await pilot.pause()
    return screen.call


async def call(
    pilot: Pilot[None], hand: Hand, screen: MockScreen, off: dict[int, float] | None = None, most: int = 9
) -> None:
    """Start the beat and strike each word where it belongs, by the delay of the terminal, but for those off."""
    done = screen.call
    assert done is not None
    await pilot.press("space")
    march = screen._march
    assert march.phase == MARCHING
    assert march.grid is not None
    for due in done.dues[:most]:
        at = march.grid.time_of(zero_of(done, 6) + due.beat + (off or {}).get(due.number, 0.0))
        assert at is not None
        hand.go(at + (screen.terminal.delay or 0.0) - hand.now)
        await pilot.press(due.letter)
    await pilot.pause()


async def to_end(pilot: Pilot[None], hand: Hand, screen: MockScreen, wrong: bool = False) -> None:
    """Take the test to its end; with `wrong` every word of execution falls on the wrong foot."""
    for _ in range(60):
        if screen.test.task is None and screen.test.begun:
            return
        if screen.call is not None:
            last = screen.call.dues[-1]
            await call(pilot, hand, screen, {last.number: beside(screen.call, last)} if wrong else None)
        elif screen.question is not None:
            screen.give(screen.question.answer, 2_000)
            await pilot.pause()
        else:
            await pilot.press("enter")
    raise AssertionError("the test does not end")


# ---------------------------------------------------------------- asked or called


async def test_where_the_terminal_was_not_set_feet_are_asked_and_it_says_why(made: Made) -> None:
    hand, screen = Hand(), made(UNSET)
    app = hand.app(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "feet asked" in shown(app)
        told = " ".join(page_text(screen).split())
        assert "Feet are asked, not called on the beat. It is not known how late keys come on this terminal" in told
        await to_end(pilot, hand, screen)
        assert screen.test.calls == []
        await pilot.pause()
        assert "Feet were asked, not called on the beat. It is not known" in " ".join(page_text(app.screen).split())


async def test_tapping_along_there_and_then_lets_them_be_called(made: Made) -> None:
    screen = made(UNSET)
    app = Hand().app(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("c")
        assert isinstance(app.screen, CalibrateScreen)
        app.screen.dismiss(None)
        await pilot.pause()
        assert "feet asked" in shown(app), "nothing was kept"
        await pilot.press("c")
        assert isinstance(app.screen, CalibrateScreen)
        app.screen.dismiss(FOUND)
        await pilot.pause()
        assert "feet called" in shown(app)
        await to_call(pilot, screen)
        assert screen._march.delay == SET.delay


async def test_feet_are_called_where_they_can_be_unless_the_person_says_no(made: Made) -> None:
    hand, screen = Hand(), made()
    app = hand.app(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "feet called" in shown(app)
        await pilot.press("c")
        assert "feet asked" in shown(app)
        await pilot.press("c", "c")
        assert "You chose so." in page_text(screen)
        await pilot.press("enter", "c")
        assert screen.test.asked_why == "You chose so.", "once begun there is no other way"
        await to_end(pilot, hand, screen)
        assert screen.test.calls == []
        await pilot.pause()
        assert "You chose so." in page_text(app.screen)


async def test_over_a_remote_link_there_is_nothing_to_choose(made: Made) -> None:
    screen = made(FAR)
    app = Hand().app(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("c")
        assert app.screen is screen
        assert "feet asked" in shown(app)
        assert "c " not in shown(app).splitlines()[-1].split("begin")[1].split("q esc")[0]
        assert "The keys come over a link whose delay varies" in " ".join(page_text(screen).split())


async def test_today_knows_the_terminal(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("SSH_CONNECTION", "SSH_CLIENT", "SSH_TTY", "MOSH_IP"):
        monkeypatch.delenv(name, raising=False)
    home = Home(tmp_path / "home")
    someone(home, deck=str(small_deck(tmp_path / "pier.toml"))).close()
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("t", "c")
        await pilot.pause()
        assert isinstance(app.screen, CalibrateScreen)
        app.screen.dismiss(FOUND)
        await pilot.pause()
        assert app.terminal().calibration == FOUND, "it is kept for what comes after, too"
        assert "feet called" in shown(app)
        await pilot.press("escape", "t")
        await pilot.pause()
        assert "feet called" in shown(app)


# ---------------------------------------------------------------- the call


async def test_who_calls_on_the_foot_is_go_and_nothing_moves_any_more(made: Made) -> None:
    hand, screen = Hand(), made()
    app = hand.app(screen)
    async with app.run_test(size=(100, 50)) as pilot:
        await to_end(pilot, hand, screen)
        await pilot.pause()
        assert isinstance(app.screen, MockEndScreen)
        text = shown(app)
        assert "2 calls, 2 right" in text
        assert "GO   2 of 2 measures GO" in text
        assert text.count("✓ right; timing: spread 0 ms, on the whole 0 ms") == 2
        assert "Feet were asked" not in text
        assert hand.ticker.due is None
    assert trials(screen) == [(measure, True) for measure, _ in trials(screen)]


async def test_a_word_on_the_wrong_foot_is_told_at_the_end_and_played(made: Made) -> None:
    hand, screen = Hand(), made()
    app = hand.app(screen)
    async with app.run_test(size=(100, 50)) as pilot:
        await to_end(pilot, hand, screen, wrong=True)
        await pilot.pause()
        end = app.screen
        assert isinstance(end, MockEndScreen)
        assert {one for one in trials(screen) if one[0] == "halt"} == {("halt", False)}
        text = " ".join(page_text(end).split())
        assert "“HALT” fell on the left foot, belongs on the right foot" in text
        assert "missed: the foot of “HALT”" in text
        await pilot.press("v")
        assert isinstance(app.screen, PlayerScreen)
        assert app.screen.shown.flawed is None, "the measure as it should be"
        await pilot.press("escape")
        await pilot.press("right")
        assert end.chosen == end.result.calls[0]
        await pilot.press("v")
        assert isinstance(app.screen, PlayerScreen)
        assert app.screen.shown.differences, "the call, as it was given"


async def test_nothing_is_told_between_a_call_and_what_follows(made: Made) -> None:
    hand, screen = Hand(), made()
    app = hand.app(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        done = await to_call(pilot, screen)
        assert done.movement.name in shown(app)
        last = done.dues[-1]
        await call(pilot, hand, screen, {last.number: 1.0})
        assert screen.call is None
        assert screen.question is not None
        text = shown(app)
        for word in ("✗", "✓", "Not right", "belongs", "spread", "late"):
            assert word not in text


async def test_neither_words_nor_feet_are_shown_while_it_is_called(made: Made) -> None:
    hand, screen = Hand(), made()
    app = hand.app(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        done = await to_call(pilot, screen)
        await pilot.press("space")
        hand.go(3.3 * 60 / done.cadence)
        await pilot.pause()
        text = shown(app).lower()
        assert "beat" in text
        for word in ("left", "right", "detail", "call a word"):
            assert word not in text, word


async def test_letters_are_words_while_the_beat_runs_and_no_keys(made: Made) -> None:
    hand, screen = Hand(), made()
    app = hand.app(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        done = await to_call(pilot, screen)
        await pilot.press("space")
        hand.go(6 * 60 / done.cadence)
        await pilot.press("q")
        assert app.screen is screen
        assert len(screen._march.strikes) == 1


async def test_who_does_not_know_gives_the_call_up_and_the_trial_is_no_go(made: Made) -> None:
    hand, screen = Hand(), made()
    async with hand.app(screen).run_test(size=(80, 24)) as pilot:
        done = await to_call(pilot, screen)
        await pilot.press("0")
        await pilot.pause()
        assert screen.call is None
        (one,) = screen.test.calls
        assert len(one.called.missed) == len(done.dues)
        last = point_of(screen.test, done, done.dues[-1])
        events = screen.test.candidate.log.events()
        assert not any(event.body.get("point") == last for event in events), "of its foot nothing was shown"
        while not trials(screen) or trials(screen)[-1][0] != "halt":
            assert screen.question is not None
            screen.give(screen.question.answer, 2_000)
            await pilot.pause()
            if screen.call is not None:
                break
        assert ("halt", False) in trials(screen)


async def test_enter_ends_a_call_that_is_not_whole(made: Made) -> None:
    hand, screen = Hand(), made()
    async with hand.app(screen).run_test(size=(80, 24)) as pilot:
        await to_call(pilot, screen)
        await call(pilot, hand, screen, most=1)
        assert screen.call is not None
        await pilot.press("enter")
        await pilot.pause()
        assert [len(one.called.missed) for one in screen.test.calls] == [1]


async def test_silence_ends_a_call_that_had_begun_and_none_that_had_not(made: Made) -> None:
    hand, screen = Hand(), made()
    async with hand.app(screen).run_test(size=(80, 24)) as pilot:
        await to_call(pilot, screen)
        await pilot.press("space")
        hand.go(60.0)
        assert screen._march.phase == MARCHING, "the march goes on for as long as nothing is called"
        await pilot.press("d")
        hand.go(60.0)
        await pilot.pause()
        assert [len(one.called.missed) for one in screen.test.calls] == [1]


# ---------------------------------------------------------------- interrupted


async def test_keys_lost_before_the_first_word_let_it_begin_anew(made: Made) -> None:
    hand, screen = Hand(), made()
    app = hand.app(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_call(pilot, screen)
        await pilot.press("space")
        app.post_message(AppBlur())
        await pilot.pause()
        assert screen._march.phase == READY
        assert hand.ticker.due is None
        assert "so the beat begins anew" in " ".join(page_text(screen).split())
        await call(pilot, hand, screen)
        assert [one.called.right for one in screen.test.calls] == [True]


async def test_keys_lost_in_a_call_end_it_there_and_there_is_no_second_attempt(made: Made) -> None:
    hand, screen = Hand(), made()
    app = hand.app(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_call(pilot, screen)
        await call(pilot, hand, screen, most=1)
        app.post_message(AppBlur())
        await pilot.pause()
        assert screen._march.phase == CUT
        assert "what was called until then counts" in " ".join(page_text(screen).split())
        hand.go(30.0)
        await pilot.press("h")
        assert screen.test.calls == []
        await pilot.press("space")
        await pilot.pause()
        assert [len(one.called.missed) for one in screen.test.calls] == [1]


async def test_a_test_left_in_a_call_has_no_verdict_and_keeps_what_was_answered(made: Made) -> None:
    hand, screen = Hand(), made()
    app = hand.app(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_call(pilot, screen)
        before = kinds(screen)
        await call(pilot, hand, screen, most=1)
        await pilot.press("escape")
        await pilot.pause()
        assert app.screen is screen, "one key does not end a test that cannot go on"
        assert "That ends the test without a verdict" in page_text(screen)
        await pilot.press("escape")
        await pilot.pause()
        assert isinstance(app.screen, MockEndScreen)
        assert "No verdict" in shown(app)
        hand.go(30.0)
        await pilot.pause()
        assert kinds(screen) == before
        assert hand.ticker.due is None


async def test_a_call_that_could_not_be_kept_waits_and_is_not_called_again(
    made: Made, monkeypatch: pytest.MonkeyPatch
) -> None:
    hand, screen = Hand(), made()
    app = hand.app(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_call(pilot, screen)
        log = screen.test.candidate.log

        def full(*_: object) -> None:
            raise LogError("The disk is full.")

        with monkeypatch.context() as patch:
            patch.setattr(type(log), "append_many", full)
            await call(pilot, hand, screen)
            text = " ".join(shown(app).split())
            assert "Not kept." in text
            assert "The call stays as it was; space tries again to keep it" in text
            assert screen._march.phase == OVER
        before = kinds(screen)
        await pilot.press("space")
        await pilot.pause()
        assert [one.called.right for one in screen.test.calls] == [True]
        assert "timing" in kinds(screen)[len(before) :]


# ---------------------------------------------------------------- what was missed, played


async def test_a_question_about_a_fault_is_played_with_the_fault_beside(tmp_path: Path) -> None:
    candidate = someone(Home(tmp_path / "home"))
    standing = open_standing(candidate, open_deck(candidate.profile.deck, candidate.home), NOW)
    test = MockTest(candidate, standing, NOW, random.Random(4))
    deck = standing.deck
    playable = {
        point.id
        for point in standing.points
        if point.family == FAULTS
        and (fault := next((m.fault(point.place) for m in deck.movements if m.id == point.movement), None))
        and fault.shows
    }
    take(test, playable, most=40)
    app = Hand().app(MockEndScreen(deck, test.result(), standing.points))
    async with app.run_test(size=(80, 24)) as pilot:
        end = app.screen
        assert isinstance(end, MockEndScreen)
        assert end.result.wrong
        for _ in range(60):
            if end.chosen in end.result.wrong:
                break
            await pilot.press("right")
        await pilot.pause()
        rows = [line for line in shown(app).splitlines() if line.startswith(" ▸")]
        assert len(rows) == 1, "what is chosen is in sight"
        await pilot.press("v")
        assert isinstance(app.screen, PlayerScreen)
        assert app.screen.shown.flawed is not None
    candidate.close()


# ---------------------------------------------------------------- looks

SIZES = ((80, 24), (120, 40))


def size_name(size: tuple[int, int]) -> str:
    return f"{size[0]}x{size[1]}"


WORDS = ("enter", *"detail", "space", *"halt", "enter")
"""Keys that begin a test whose lot draws the halt first, up to its call."""


def halt_first(made: Made) -> App[None]:
    for seed in range(20):
        screen = made(seed=seed)
        screen.test.asked_why = None
        screen.test.next_task()
        if screen.test.measure == "halt":
            return Hand().app(made(seed=seed))
    raise AssertionError("no lot draws the halt first")


@pytest.mark.parametrize("size", SIZES)
async def test_looks_of_the_start_and_a_call(made: Made, snapshot: Snapshot, size: tuple[int, int]) -> None:
    of = size_name(size)
    await snapshot(f"mock-feet-called-{of}", lambda: Hand().app(made()), size)
    await snapshot(f"mock-call-ready-{of}", lambda: halt_first(made), size, *WORDS)
    await snapshot(f"mock-call-{of}", lambda: halt_first(made), size, *WORDS, "space")


@pytest.mark.parametrize("size", SIZES)
async def test_looks_of_the_end(made: Made, snapshot: Snapshot, size: tuple[int, int]) -> None:
    screen = made(seed=3)
    test = screen.test
    test.asked_why = None
    feet = {point.id for point in test.standing.points if point.family == "feet" and point.place == "2"}
    take(test, feet)
    result = test.result()

    def ended() -> App[None]:
        return Hand().app(MockEndScreen(test.standing.deck, result, test.standing.points))

    await snapshot(f"mock-end-called-{size_name(size)}", ended, size, "right")
