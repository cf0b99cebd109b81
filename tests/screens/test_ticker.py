"""The ticker of the running program: steps are called when they ask for it, and no more once it is stopped."""

import asyncio
import gc
import sys

from textual.app import App
from textual.widgets import Static

from trainer.screens.ticker import LoopTicker, Ways, undisturbed, ways_of


async def test_a_step_is_called_as_often_as_it_asks_and_not_after_a_stop() -> None:
    now = [0.0]
    called: list[float] = []
    ticker = LoopTicker(lambda: now[0])
    app: App[None] = App()

    def step() -> float | None:
        called.append(now[0])
        now[0] += 1.0
        return now[0] if len(called) < 5 else None

    async with app.run_test() as pilot:
        ticker.start(app.screen, step)
        await app.workers.wait_for_complete()
        assert called == [0.0, 1.0, 2.0, 3.0, 4.0], "None lets it rest"
        called.clear()
        ticker.start(app.screen, lambda: called.append(0.0) or now[0] + 0.001)  # type: ignore[func-returns-value]
        await pilot.pause()
        ticker.stop()
        await pilot.pause()
        number = len(called)
        await asyncio.sleep(0.05)
        assert 0 < number == len(called)


async def test_a_screen_that_was_taken_apart_is_not_drawn_on() -> None:
    """As when the program is left while a movement plays."""
    app: App[None] = App()
    called: list[float] = []
    widget = Static()

    def step() -> float:
        called.append(0.0)
        assert widget.is_attached, "drawing on it would end the program with an error"
        return 0.0

    async with app.run_test() as pilot:
        await app.screen.mount(widget)
        ticker = LoopTicker(lambda: 0.0)
        running = asyncio.ensure_future(ticker._run(widget, step))
        await pilot.pause()
        assert called
        await widget.remove()
        await asyncio.wait_for(running, 5.0)


async def test_a_later_start_takes_the_place_of_an_earlier_one() -> None:
    app: App[None] = App()
    called: list[str] = []
    async with app.run_test() as pilot:
        ticker = LoopTicker()
        for name in ("one", "two"):
            ticker.start(app.screen, lambda name=name: called.append(name))  # type: ignore[misc]
        await pilot.pause()
        await app.workers.wait_for_complete()
    assert called[-1:] == ["two"]
    assert called.count("two") == 1


def test_what_a_drill_changes_of_the_interpreter_is_set_back() -> None:
    before = sys.getswitchinterval()
    with undisturbed():
        assert sys.getswitchinterval() < before
        assert gc.get_freeze_count() > 0
    assert sys.getswitchinterval() == before
    assert gc.get_freeze_count() == 0


def test_an_application_that_says_nothing_shows_beats_in_the_usual_ways() -> None:
    assert ways_of(object()) == Ways()
    assert not Ways().still
    assert Ways().sound.trouble == ""
