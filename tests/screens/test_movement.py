"""The Movement screen: beat by beat, faults, starts, and every key of it on the screen."""

from collections.abc import Callable

import pytest
from textual.app import App
from textual.binding import Binding
from textual.color import Color

from tests.screens.conftest import SmallApp, Snapshot
from trainer.drill.deck import Deck
from trainer.drill.faults import compare
from trainer.drill.unrolling import starts
from trainer.screens.movement import KEYS, MovementScreen
from trainer.screens.movement_list import MovementList
from trainer.screens.movement_words import fault_rows, flaw_lines, head_rows
from trainer.screens.notes import Notes
from trainer.screens.themes import DAYLIGHT, FALLBACK, PARADE
from trainer.screens.widgets.soles import Soles
from trainer.screens.widgets.spans import STYLES, row_text
from trainer.screens.widgets.strip import Strip


async def opened(deck: Deck, movement: str, *keys: str, size: tuple[int, int] = (80, 24)) -> MovementScreen:
    """Return the screen as it is after some keys; the app has ended."""
    screen = MovementScreen(deck, movement)
    async with SmallApp(screen).run_test(size=size) as pilot:
        for key in keys:
            await pilot.press(key)
        await pilot.pause()
        assert screen.query_one(Strip).pointer == screen.beat
        assert screen.query_one(Soles).beat == screen.beat
    return screen


async def test_arrows_step_through_every_beat_half_beats_too(deck: Deck) -> None:
    screen = await opened(deck, "change-step", "right", "right")
    assert screen.beat == 1.5


async def test_home_and_end_and_no_beat_beyond(deck: Deck) -> None:
    assert (await opened(deck, "right-flank", "home", "left")).beat == -3.0
    assert (await opened(deck, "right-flank", "end", "right")).beat == 4.0


async def test_a_fault_is_applied_and_the_pointer_goes_where_it_shows(deck: Deck) -> None:
    screen = await opened(deck, "right-flank", "down")
    assert screen.chosen == 1
    assert screen.beat == 2.0
    assert screen.shown.at(2.0).left_arm == "swing"
    assert (await opened(deck, "right-flank", "3")).shown.at(1.0).acts[0].length == 15.0
    assert (await opened(deck, "right-flank", "3", "0")).comparison is None


async def test_a_fault_that_only_the_grader_sees_leaves_the_score_right(deck: Deck) -> None:
    screen = await opened(deck, "right-flank", "4")
    assert screen.fault is not None
    assert screen.fault.id == "flat"
    assert screen.comparison is None


async def test_with_few_rows_other_beats_of_a_fault_are_only_named(deck: Deck) -> None:
    movement = deck.movement("change-step")
    found = compare(deck, movement, movement.faults[0])
    brief = [row_text(row) for row in flaw_lines(movement.faults[0], found, 2.0, "in", brief=True)]
    full = [row_text(row) for row in flaw_lines(movement.faults[0], found, 2.0, "in")]
    assert brief[-1] == "also on beats 1.5, 3 and 4"
    assert len(full) > len(brief)
    assert full[: len(brief) - 1] == brief[:-1]


async def test_every_start_is_reached(deck: Deck) -> None:
    movement = deck.movement("halt")
    assert starts(deck, movement) == [(s, f) for s in movement.from_stances for f in ("left", "right")]
    screen = await opened(deck, "halt", "f")
    assert screen.shown.at_zero == "right"
    assert (await opened(deck, "halt", "f", "f")).shown.from_stance == "half step"


async def test_next_and_previous_go_round(deck: Deck) -> None:
    assert (await opened(deck, "right-flank", "p")).movement.id == "right-face"
    assert (await opened(deck, "right-face", "n")).movement.id == "right-flank"


async def test_the_list_opens_what_is_chosen(deck: Deck) -> None:
    screen = MovementScreen(deck, "right-flank")
    app = SmallApp(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("l", "down", "enter")
        await pilot.pause()
        assert screen.movement.id == "to-the-rear"
        await pilot.press("l", "escape")
        await pilot.pause()
        assert app.screen is screen
        assert screen.movement.id == "to-the-rear"


async def test_cautions_and_doubts_can_be_read(deck: Deck) -> None:
    app = SmallApp(MovementScreen(deck, "to-the-rear"))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("c")
        await pilot.pause()
        assert isinstance(app.screen, Notes)
        picture = app.export_screenshot()
        for word in ("slippery", "boat&#160;houses", "invented"):
            assert word in picture
        await pilot.press("escape")
        await pilot.pause()
        assert isinstance(app.screen, MovementScreen)


async def test_every_key_is_told_on_the_screen_or_its_help(deck: Deck) -> None:
    told = " ".join(key for key, _ in KEYS) + " ? "
    names = {"left": "←", "right": "→", "up": "↑", "down": "↓", "question_mark": "?", "escape": "esc", "f1": "F1"}
    for binding in MovementScreen.BINDINGS:
        assert isinstance(binding, Binding)
        key = binding.key.split(",")[0]
        if not key.isdigit():
            assert names.get(key, key) in told.split(), key
    assert "0 to 9" in told


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (60, 20)])
async def test_the_screen_shows_its_keys(deck: Deck, size: tuple[int, int]) -> None:
    app = SmallApp(MovementScreen(deck, "halt"))
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        picture = app.export_screenshot().replace("&#160;", " ")
    for key in ("home end", "↑↓", "n p", "other start", "whole path", "cautions", "help", "esc"):
        assert key in picture, key


async def test_markup_and_control_characters_of_a_deck_are_shown_not_obeyed(deck: Deck) -> None:
    movement = deck.movements[0]
    bad = movement._replace(
        name="[bold]Flank[/] \x1b[2J", faults=(movement.faults[0]._replace(tell="[red]arms[/red] \x07"),)
    )
    hostile = deck._replace(movements=(bad, *deck.movements[1:]), cautions=("[link=x]wet[/link] \x1b]0;x\x07",))
    app = SmallApp(MovementScreen(hostile))
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.press("down")
        await pilot.pause()
        picture = app.export_screenshot().replace("&#160;", " ")
        assert "[bold]Flank[/] &lt;U+001B&gt;[2J" in picture
        assert "[red]arms[/red]" in picture
        await pilot.press("c")
        await pilot.pause()
        assert "[link=x]wet[/link]" in app.export_screenshot().replace("&#160;", " ")


async def test_the_list_of_movements_shows_them_all(deck: Deck) -> None:
    app = SmallApp(MovementList(deck))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        picture = app.export_screenshot().replace("&#160;", " ")
    for movement in deck.movements:
        assert movement.name in picture


def test_head_lines_fit_any_width(deck: Deck) -> None:
    for movement in deck.movements:
        from trainer.drill.unrolling import score

        shown = score(deck, movement)
        for width in (60, 80, 120):
            first, second = head_rows(deck, movement, shown, width)
            assert len(row_text(first)) == width
            assert len(row_text(second)) <= width


def test_the_chosen_fault_is_always_in_sight(deck: Deck) -> None:
    faults = tuple(deck.movements[0].faults[0]._replace(tell=f"fault {n}") for n in range(1, 13))
    for height in (3, 5, 9):
        for chosen in range(13):
            rows = [row_text(row) for row in fault_rows(faults, chosen, 40, height)]
            assert len(rows) <= height
            assert sum(row.startswith("▸") for row in rows) == 1


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours (WCAG 2.1, relative luminance and contrast ratio)."""

    def luminance(text: str) -> float:
        parts = [value / 255 for value in Color.parse(text).rgb]
        linear = [value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4 for value in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("theme", [PARADE, DAYLIGHT])
def test_everything_that_is_read_has_contrast(theme: object) -> None:
    """4.5 to 1 for text (WCAG 2.1, success criterion 1.4.3)."""
    assert theme in (PARADE, DAYLIGHT)
    chosen = PARADE if theme is PARADE else DAYLIGHT
    for ground in (chosen.background, chosen.panel):
        assert ground is not None
        for name in ("brass", "faint", "left-sole", "right-sole", "go", "no-go"):
            assert contrast(chosen.variables[name], ground) >= 4.5, (name, ground)
        assert contrast(str(chosen.foreground), ground) >= 4.5


async def test_our_colours_are_known_in_every_theme(deck: Deck) -> None:
    assert set(PARADE.variables) == set(DAYLIGHT.variables) == set(FALLBACK)
    used = {word[1:] for style in STYLES.values() for word in style.split() if word.startswith("$")}
    assert used - {"foreground"} <= set(FALLBACK)
    app = SmallApp(MovementScreen(deck))
    async with app.run_test(size=(80, 24)) as pilot:
        for theme in app.available_themes:
            app.theme = theme
            await pilot.pause()


def make(deck: Deck, movement: str, theme: str = "parade") -> Callable[[], App[None]]:
    return lambda: SmallApp(MovementScreen(deck, movement), theme)


async def test_picture_of_a_turn(deck: Deck, snapshot: Snapshot) -> None:
    await snapshot("movement-turn-80x24", make(deck, "right-flank"), (80, 24), "right", "right")


async def test_picture_of_a_tee_with_room(deck: Deck, snapshot: Snapshot) -> None:
    await snapshot("movement-rear-120x40", make(deck, "to-the-rear"), (120, 40), "right", "right", "right")


async def test_picture_of_a_fault_in_daylight(deck: Deck, snapshot: Snapshot) -> None:
    await snapshot("movement-fault-light-80x24", make(deck, "change-step", "daylight"), (80, 24), "down")


async def test_picture_without_colour(deck: Deck, snapshot: Snapshot, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    await snapshot("movement-nocolor-80x24", make(deck, "halt"), (80, 24), "right", "right")


async def test_picture_of_the_list(deck: Deck, snapshot: Snapshot) -> None:
    await snapshot("movement-list-80x24", lambda: SmallApp(MovementList(deck, "halt")), (80, 24))
