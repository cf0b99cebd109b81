"""See the fault on the screen: played, named, placed, told."""

import random
from collections.abc import Iterator
from pathlib import Path

import pytest
from textual.app import App

from tests.screens.beating import Hand, page_text
from tests.screens.conftest import Snapshot
from tests.screens.opened import GUARD, NOW, shown, someone
from trainer.authoring.shelf import open_deck
from trainer.coach.eye import EyePractice
from trainer.coach.standing import open_standing
from trainer.paths import Home
from trainer.screens.player import PlayerScreen
from trainer.screens.see import SeeScreen
from trainer.screens.see_rows import NAMING, ONCE, PLACING, PLAYING, READY, TOLD
from trainer.screens.widgets.film import Film


@pytest.fixture
def practice(tmp_path: Path) -> Iterator[EyePractice]:
    candidate = someone(Home(tmp_path / "home"))
    standing = open_standing(candidate, open_deck(GUARD, candidate.home), NOW)
    yield EyePractice(candidate, standing, random.Random(3))
    candidate.close()


def screen_of(practice: EyePractice, flawed: bool) -> SeeScreen:
    while True:
        screen = SeeScreen(practice, lambda: NOW, practice.standing.deck.movement("halt"))
        if screen.shown is not None and (screen.shown.fault is not None) == flawed:
            return screen


async def test_a_fault_is_named_and_placed_and_then_played_beside_what_is_right(practice: EyePractice) -> None:
    hand, screen = Hand(), screen_of(practice, flawed=True)
    app = hand.app(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        assert screen.phase == READY
        await pilot.press("space")
        await pilot.pause()
        assert screen.phase == PLAYING
        assert not screen.query_one("#strip", Film).display, "the score would give it away"
        hand.go(60.0)
        await pilot.pause()
        assert screen.phase == NAMING
        shown = screen.shown
        assert shown is not None
        assert shown.fault is not None
        assert "0  it was right" in page_text(screen)
        await pilot.press(str(shown.offered.index(shown.fault) + 1))
        assert screen.phase == PLACING
        beats = [beat.beat for beat in shown.score.beats]
        at = beats.index(0.0)
        to = beats.index(min(shown.beats))
        await pilot.press(*["right" if to > at else "left"] * abs(to - at), "enter")
        assert screen.phase == TOLD
        assert "✓ Right." in page_text(screen)
        assert "it shows" in page_text(screen)
        assert "seen in 1 of 1" in page_text(screen)
        await pilot.press("v")
        assert isinstance(app.screen, PlayerScreen)
        assert app.screen.shown.flawed is not None


async def test_a_fault_that_is_not_there_is_told(practice: EyePractice) -> None:
    hand, screen = Hand(), screen_of(practice, flawed=False)
    async with hand.app(screen).run_test(size=(80, 24)) as pilot:
        await pilot.press("space")
        await pilot.pause()
        hand.go(60.0)
        await pilot.press("1", "enter")
        assert screen.phase == TOLD
        text = page_text(screen).replace("\n", " ")
        assert "✗ Not right." in text
        assert "it was    it was right" in text
        assert "called in 1 of 1 without it" in text


async def test_seen_once_the_score_is_not_shown_before_the_answer(practice: EyePractice) -> None:
    hand, screen = Hand(), screen_of(practice, flawed=True)
    async with hand.app(screen).run_test(size=(80, 24)) as pilot:
        await pilot.press("up")
        assert screen.level == ONCE
        first = screen.shown
        await pilot.press("space")
        await pilot.pause()
        hand.go(1.0)
        await pilot.press("escape")
        assert screen.shown is not first, "what was seen already is not played again"
        await pilot.press("space")
        await pilot.pause()
        assert not screen.query_one("#tells", Film).display
        hand.go(60.0)
        await pilot.pause()
        assert screen.phase == NAMING
        assert not screen.query_one("#strip", Film).display


async def test_half_speed_takes_twice_as_long_and_is_kept(practice: EyePractice) -> None:
    hand, screen = Hand(), screen_of(practice, flawed=False)
    async with hand.app(screen).run_test(size=(80, 24)) as pilot:
        await pilot.press("s", "space")
        await pilot.pause()
        begun = hand.now
        while screen.phase == PLAYING:
            hand.go(0.05)
        assert screen.reel is not None
        assert hand.now - begun == pytest.approx(2 * (screen.reel.times[-1] - screen.reel.at), abs=0.06)
        await pilot.press("0")
        event = practice.candidate.log.events()[-1]
        assert (event.kind, event.body["speed"], event.body["said"]) == ("look", 50, "")


async def test_a_deck_without_playable_faults_says_so(practice: EyePractice) -> None:
    practice.standing.deck = practice.standing.deck._replace(
        movements=tuple(one._replace(faults=()) for one in practice.standing.deck.movements)
    )
    screen = SeeScreen(practice, lambda: NOW)
    async with Hand().app(screen).run_test(size=(80, 24)) as pilot:
        assert "none can be played" in page_text(screen)
        await pilot.press("space", "1", "v")
        assert screen.phase == READY


async def test_pictures(practice: EyePractice, snapshot: Snapshot) -> None:
    def made() -> App[None]:
        practice.rng = random.Random(3)
        hand, screen = Hand(), screen_of(practice, flawed=True)
        made_app = hand.app(screen)
        hands.append(hand)
        return made_app

    hands: list[Hand] = []
    await snapshot("see-ready-80x24", made, (80, 24))
    await snapshot("see-playing-80x24", made, (80, 24), "space")


async def test_what_is_told_can_be_read_to_its_end_in_a_small_window(practice: EyePractice) -> None:
    hand, screen = Hand(), screen_of(practice, flawed=True)
    app = hand.app(screen)
    async with app.run_test(size=(60, 20)) as pilot:
        await pilot.press("space")
        await pilot.pause()
        hand.go(60.0)
        assert screen.shown is not None
        wrong = next(n for n, fault in enumerate(screen.shown.offered, 1) if fault != screen.shown.fault)
        await pilot.press(str(wrong), "enter")
        await pilot.pause()
        assert screen.phase == TOLD
        page = screen.query_one("#page")
        assert page.max_scroll_y > 0
        assert "pgdn scroll" in shown(app)
        for _ in range(page.max_scroll_y):
            await pilot.press("pagedown")
        await pilot.pause()
        assert page.scroll_y == page.max_scroll_y
        await pilot.press("pageup")
        await pilot.pause()
        assert page.scroll_y < page.max_scroll_y
        await pilot.press("space")
        await pilot.pause()
        assert screen.phase == READY
        assert page.scroll_y == 0
