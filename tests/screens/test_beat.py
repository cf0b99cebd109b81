"""Call the step on the screen: the march goes on, strikes carry their own time, and the call is executed as given."""

import random
from collections.abc import Iterator
from pathlib import Path

import pytest
from textual.app import App
from textual.events import AppBlur
from textual.pilot import Pilot

from tests.screens.beating import Hand, page_text
from tests.screens.conftest import Snapshot
from tests.screens.opened import NOW, someone
from trainer.authoring.shelf import open_deck
from trainer.coach.beat import BeatPractice
from trainer.coach.standing import open_standing
from trainer.drill.called import AS_IT_SHOULD, OTHER_FOOT
from trainer.paths import Home
from trainer.rhythm.exercise import LEVELS
from trainer.screens.beat import BeatScreen
from trainer.screens.beat_rows import EXECUTING, MARCHING, READY, TOLD
from trainer.screens.player import PlayerScreen
from trainer.screens.widgets.film import Film


@pytest.fixture
def practice(tmp_path: Path) -> Iterator[BeatPractice]:
    candidate = someone(Home(tmp_path / "home"))
    standing = open_standing(candidate, open_deck(candidate.profile.deck, candidate.home), NOW)
    yield BeatPractice(candidate, standing, random.Random(3))
    candidate.close()


def screen_of(practice: BeatPractice, level: int = 2, movement: str = "halt") -> BeatScreen:
    return BeatScreen(practice, lambda: NOW, LEVELS[level - 1], practice.standing.deck.movement(movement))


def period(screen: BeatScreen) -> float:
    return 60.0 / screen.done.cadence


async def call(pilot: Pilot[None], hand: Hand, screen: BeatScreen, right: bool = True) -> None:
    """Strike each word on its foot, or all of them a beat later."""
    assert screen.grid is not None
    first = screen.done.dues[0]
    beat = next(one for one in range(4, 8) if (screen.done.foot_at(one) == first.foot) == right)
    for due in screen.done.dues:
        at = screen.grid.time_of(beat + due.beat - first.beat)
        assert at is not None
        hand.go(at - hand.now)
        await pilot.press(due.letter if screen.done.level.letters else "space")


@pytest.mark.parametrize("level", [1, 2, 3, 4])
async def test_a_right_call_is_executed_and_told_at_every_level(practice: BeatPractice, level: int) -> None:
    hand, screen = Hand(), screen_of(practice, level)
    async with hand.app(screen).run_test(size=(80, 24)) as pilot:
        assert screen.phase == READY
        await pilot.press("space")
        assert screen.phase == MARCHING
        await call(pilot, hand, screen)
        assert screen.phase == EXECUTING
        assert screen.outcome is not None
        assert screen.outcome.came == AS_IT_SHOULD
        hand.go(period(screen) * 20)
        await pilot.pause()
        assert screen.phase == TOLD
        assert "✓ Right." in page_text(screen)
        assert screen.called is not None
        assert screen.called.right
        assert hand.ticker.due is None, "nothing moves any more"


async def test_a_call_on_the_wrong_foot_is_seen_to_go_wrong(practice: BeatPractice) -> None:
    hand, screen = Hand(), screen_of(practice)
    app = hand.app(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("space")
        await call(pilot, hand, screen, right=False)
        assert screen.outcome is not None
        assert screen.outcome.came == OTHER_FOOT
        hand.go(period(screen) * 20)
        await pilot.pause()
        assert "every count was done by the other foot" in page_text(screen).replace("\n", " ")
        await pilot.press("v")
        assert isinstance(app.screen, PlayerScreen)
        assert app.screen.shown.differences


async def test_the_march_goes_on_for_as_long_as_nothing_is_called(practice: BeatPractice) -> None:
    hand, screen = Hand(), screen_of(practice)
    async with hand.app(screen).run_test(size=(80, 24)) as pilot:
        await pilot.press("space")
        hand.go(period(screen) * 103.1)
        assert screen.phase == MARCHING
        assert screen.stage is not None
        beat = screen.stage.beats[int(str(screen.query_one("#strip", Film).key))]
        assert beat.strikes == screen.done.foot_at(101), "two beats pass before the first"


async def test_a_key_that_comes_late_counts_for_the_time_it_carries(practice: BeatPractice) -> None:
    hand, screen = Hand(), screen_of(practice)
    app: App[None] = hand.app(screen, late=0.4)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("space")
        assert screen.grid is not None
        due = screen.grid.time_of(4.0)
        assert due is not None
        hand.go(due + 0.4 - hand.now)
        await pilot.press("space")
        assert screen.strikes[0].time == pytest.approx(due)


async def test_the_beat_stands_while_the_window_has_no_keys_and_goes_on_at_a_whole_beat(practice: BeatPractice) -> None:
    hand, screen = Hand(), screen_of(practice)
    app = hand.app(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("space")
        hand.go(period(screen) * 4.3)
        await pilot.press("space")
        app.post_message(AppBlur())
        await pilot.pause()
        assert screen.grid is not None
        stood = screen.grid.beat_at(hand.now)
        hand.go(50.0)
        assert screen.grid.beat_at(hand.now) == stood
        assert screen.strikes == [], "a call that was begun begins anew"
        await pilot.press("space")
        assert screen.strikes == [], "the key that goes on is no word"
        assert screen.grid.time_of(int(stood) + 1.0) == pytest.approx(hand.now + period(screen))


async def test_letters_of_words_are_no_keys_of_the_program_while_they_are_called(practice: BeatPractice) -> None:
    hand, screen = Hand(), screen_of(practice, 3)
    app = hand.app(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("space")
        hand.go(period(screen) * 4)
        await pilot.press("r", "v", "q")
        assert app.screen is screen
        assert len(screen.strikes) == 3


async def test_a_stopped_beat_keeps_nothing(practice: BeatPractice) -> None:
    hand, screen = Hand(), screen_of(practice)
    async with hand.app(screen).run_test(size=(80, 24)) as pilot:
        before = len(practice.candidate.log.events())
        await pilot.press("space")
        hand.go(period(screen) * 5)
        await pilot.press("space", "escape")
        assert screen.phase == READY
        assert len(practice.candidate.log.events()) == before


async def test_q_stops_the_beat_and_leaves_where_no_letters_are_called(practice: BeatPractice) -> None:
    hand, screen = Hand(), screen_of(practice, 2)
    app = hand.app(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("space", "q")
        assert screen.phase == READY
        await pilot.press("q")
        await pilot.pause()
        assert app.screen is not screen
        assert app.is_running


@pytest.mark.parametrize("level", [1, 2, 3, 4])
async def test_at_the_halt_nothing_is_told_of_feet(practice: BeatPractice, level: int) -> None:
    deck = practice.standing.deck
    movement = next(one for one in deck.movements if one.from_stances == ("halted",) and len(one.call) > 1)
    hand, screen = Hand(), screen_of(practice, level, movement.id)
    async with hand.app(screen).run_test(size=(80, 24)) as pilot:
        told = page_text(screen)
        await pilot.press("space")
        assert screen.grid is not None
        at = screen.grid.time_of(4)
        assert at is not None
        hand.go(at - hand.now)
        await pilot.press(screen.done.dues[0].letter if screen.done.level.letters else "space")
        hand.go(60.0)
        await pilot.pause()
        assert screen.phase == TOLD
        told += page_text(screen)
        assert "No word of execution was called, so nothing was executed." in told
        assert f"1 of {len(screen.done.dues)} words called." in told
        for word in ("foot", "march", "belongs on"):
            assert word not in told.replace("halt", ""), word


async def test_feet_are_not_shown_where_only_the_beat_is(practice: BeatPractice) -> None:
    hand, screen = Hand(), screen_of(practice, 4)
    async with hand.app(screen).run_test(size=(80, 24)) as pilot:
        await pilot.press("space")
        assert not screen.query_one("#strip", Film).display
        seen = []
        for _ in range(7):
            hand.go(period(screen))
            seen.append(screen.query_one("#pulse", Film).key)
        assert seen == [False, True, True, True, True, False, False], "lit on the first four beats, then faded"


async def test_a_drum_comes_by_itself_after_the_prompt(practice: BeatPractice) -> None:
    movement = next(one for one in practice.standing.deck.movements if one.cued_by)
    hand, screen = Hand(), screen_of(practice, 2, movement.id)
    async with hand.app(screen).run_test(size=(80, 24)) as pilot:
        assert "Grader:" in page_text(screen)
        await pilot.press("space")
        assert screen.done.cue_at is not None
        hand.go(period(screen) * (screen.done.cue_at + 2.1))
        assert movement.cues[0].sound in screen.query_one("#voice", Film).render_line(0).text
        hand.go(period(screen) * 60)
        assert screen.phase == TOLD, "nothing was struck, and it ends all the same"


async def test_every_step_of_the_march_is_heard_once_strong_on_the_left_foot(practice: BeatPractice) -> None:
    hand, screen = Hand(), screen_of(practice)
    async with hand.app(screen).run_test(size=(80, 24)) as pilot:
        await pilot.press("space")
        assert screen.grid is not None
        hand.go(period(screen) * 12.2)
        heard = {round(screen.grid.beat_at(due.time)): due.name for due in hand.sound.dues}
        assert len(heard) == len(hand.sound.dues)
        assert sorted(heard)[:11] == list(range(11))
        assert all((name == "strong step") == (screen.done.foot_at(beat) == "left") for beat, name in heard.items())
        await pilot.press("escape")
        assert hand.sound.dues == []


async def test_pictures(practice: BeatPractice, snapshot: Snapshot) -> None:
    def made(level: int) -> App[None]:
        practice.rng = random.Random(3)
        return Hand().app(screen_of(practice, level))

    await snapshot("beat-ready-80x24", lambda: made(4), (80, 24))
    await snapshot("beat-march-80x24", lambda: made(1), (80, 24), "space")
