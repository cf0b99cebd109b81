"""The player: beats on their deadlines, stop and back, other speeds, right and flawed from the same moment."""

import pytest

from tests.screens.beating import Hand
from tests.screens.conftest import Snapshot
from tests.screens.opened import shown
from trainer.drill.deck import Deck
from trainer.drill.faults import compare
from trainer.screens.movement import MovementScreen
from trainer.screens.player import PlayerScreen
from trainer.screens.showing import showing
from trainer.screens.widgets.film import Film

PERIOD = 0.5
"""Seconds a beat at 120 a minute, the cadence of the test's deck."""


def player(deck: Deck, movement: str, fault: int | None = None, beat: float | None = None) -> PlayerScreen:
    one = deck.movement(movement)
    return PlayerScreen(deck, showing(deck, one, None if fault is None else one.faults[fault]), beat)


async def test_it_plays_at_once_and_every_beat_stands_when_it_is_due(deck: Deck) -> None:
    hand, screen = Hand(), player(deck, "right-flank")
    async with hand.app(screen).run_test() as pilot:
        await pilot.pause()
        first = screen.beat
        for number in range(4):
            assert screen.beat == first + number
            hand.go(PERIOD - 0.001)
            assert screen.beat == first + number, "not before its time"
            hand.go(0.001)
        hand.go(60.0)
        assert not screen.playing, "it ends by itself"
        assert hand.ticker.due is None, "and wakes nobody any more"


async def test_it_stops_on_a_beat_steps_and_goes_on_from_there(deck: Deck) -> None:
    hand, screen = Hand(), player(deck, "right-flank", beat=0.0)
    async with hand.app(screen).run_test() as pilot:
        assert not screen.playing
        await pilot.press("space")
        hand.go(1.3 * PERIOD)
        await pilot.press("space")
        assert screen.beat == 1.0
        hand.go(100.0)
        assert screen.beat == 1.0
        await pilot.press("left", "left")
        assert screen.beat == -1.0
        await pilot.press("space")
        hand.go(PERIOD)
        assert screen.beat == 0.0
        await pilot.press("home")
        assert screen.beat == -3.0
        assert not screen.playing


async def test_the_key_is_told_as_stop_before_it_has_begun_by_itself(
    deck: Deck, monkeypatch: pytest.MonkeyPatch
) -> None:
    begin = PlayerScreen._begin
    monkeypatch.setattr(PlayerScreen, "_begin", lambda _: None)  # the moment before the first picture is drawn
    hand, screen = Hand(), player(deck, "right-flank")
    app = hand.app(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "space stop" in shown(app)
        await pilot.press("space")
        assert "space play" in shown(app)
        begin(screen)
        assert not screen.playing, "who stopped it first has stopped it"
        await pilot.press("q")
        await pilot.pause()
        assert app.screen is not screen
        assert app.is_running, "q goes back and does not quit"


@pytest.mark.parametrize(("presses", "factor"), [(1, 2.0), (2, 4.0), (3, 1.0)])
async def test_slower_speeds_take_longer_for_a_beat(deck: Deck, presses: int, factor: float) -> None:
    hand, screen = Hand(), player(deck, "right-flank", beat=-1.0)
    async with hand.app(screen).run_test() as pilot:
        await pilot.press(*["s"] * presses, "space")
        hand.go(PERIOD * factor * 0.99)
        assert screen.beat == -1.0
        hand.go(PERIOD * factor * 0.02)
        assert screen.beat == 0.0


async def test_it_stops_when_the_window_loses_the_keys(deck: Deck) -> None:
    from textual.events import AppBlur

    hand, screen = Hand(), player(deck, "right-flank", beat=0.0)
    app = hand.app(screen)
    async with app.run_test() as pilot:
        await pilot.press("space")
        assert screen.playing
        app.post_message(AppBlur())
        await pilot.pause()
        assert not screen.playing


async def test_steps_are_heard_when_they_are_seen_and_not_beyond_a_stop(deck: Deck) -> None:
    hand, screen = Hand(), player(deck, "right-flank", beat=0.0)
    async with hand.app(screen).run_test() as pilot:
        await pilot.press("s", "space")
        feet = [beat.strikes for beat in screen.stages[0].beats if beat.beat >= 0]
        times = [hand.now + number * 2 * PERIOD for number in range(len(feet))]
        assert [due.time for due in hand.sound.dues] == pytest.approx(times)
        assert [due.name for due in hand.sound.dues] == ["strong step" if foot == "left" else "step" for foot in feet]
        await pilot.press("space")
        assert hand.sound.dues == []


async def test_right_and_flawed_are_played_from_the_same_moment(deck: Deck) -> None:
    movement = deck.movement("right-flank")
    found = compare(deck, movement, movement.faults[0])
    hand, screen = Hand(), player(deck, "right-flank", 0)
    async with hand.app(screen).run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        wrong = found.differences[0].beat
        hand.go((wrong - screen.beat) * PERIOD + 0.01)
        assert [
            stage.beats[one.number(hand.now)].beat for stage, one in zip(screen.stages, screen.reels, strict=True)
        ] == [
            wrong,
            wrong,
        ]
        label = screen.query_one("#label1", Film)
        text = "".join(segment.text for segment in label.render_line(0))
        assert text.startswith("! "), "the side with the fault says what departs on this beat"
        strip = [screen.query_one("#strip", Film).render_line(y).text for y in range(8)]
        await pilot.press("x")
        assert [screen.query_one("#strip", Film).render_line(y).text for y in range(8)] != strip


async def test_without_movement_a_word_changes_and_nothing_else(deck: Deck) -> None:
    hand, screen = Hand(still=True), player(deck, "right-flank", beat=-1.0)
    async with hand.app(screen).run_test(size=(80, 24)) as pilot:
        await pilot.press("space")
        keys = [screen.query_one(f"#{name}", Film).key for name in ("strip", "pointer", "soles0", "figure0")]
        word = screen.query_one("#word", Film).render_line(0).text
        hand.go(PERIOD)
        assert screen.query_one("#word", Film).render_line(0).text != word
        assert keys == [screen.query_one(f"#{name}", Film).key for name in ("strip", "pointer", "soles0", "figure0")]
        await pilot.press("space")
        assert screen.query_one("#strip", Film).key == 3, "standing, everything shows the beat"


async def test_one_key_plays_what_the_movement_screen_shows(deck: Deck) -> None:
    hand, screen = Hand(), MovementScreen(deck, "right-flank")
    app = hand.app(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("1", "v")
        assert isinstance(app.screen, PlayerScreen)
        assert app.screen.shown.flawed is not None
        await pilot.press("escape")
        assert type(app.screen).__name__ == "MovementScreen"


async def test_pictures(deck: Deck, snapshot: Snapshot) -> None:
    await snapshot("player-80x24", lambda: Hand().app(player(deck, "to-the-rear", beat=2.0)), (80, 24))
    await snapshot("player-fault-80x24", lambda: Hand().app(player(deck, "right-flank", 0, beat=2.0)), (80, 24))
