"""An evening on the screen: names once, hands hidden until all are up, people who come and go, records by consent."""

from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.group.sitting import begun as begun_in_a_list
from tests.group.sitting import guard_deck
from tests.screens.conftest import SmallApp, Snapshot, normalised
from tests.screens.opened import NOW, name_of, opened, shown, someone, typed
from trainer.coach.candidate import people
from trainer.group.after_action import rule_of
from trainer.group.evening import Evening
from trainer.group.kept import kept_evenings
from trainer.group.turns import LIVE, PLAYED, QUESTION, Turn
from trainer.paths import Home
from trainer.records.log import Log
from trainer.records.packet import unpacked
from trainer.screens.app import StepcallApp
from trainer.screens.desk import Desk
from trainer.screens.evening import EveningScreen
from trainer.screens.evening_page import HANDS, OUTCOME
from trainer.screens.evening_played import PlayedTurnScreen
from trainer.screens.evening_rows import turn_rows
from trainer.screens.player import PlayerScreen


@pytest.fixture
def home(tmp_path: Path) -> Home:
    place = Home(tmp_path / "home")
    someone(place, "Ada").close()
    return place


@pytest.fixture
def app(home: Home) -> StepcallApp:
    return opened(home)


async def begun(app: StepcallApp, pilot: Pilot[None], rounds: int = 0, names: str = "Ada, Ben, Cem, Dov") -> Evening:
    """Sit down, with all rounds (0) or one of them (1 to 3)."""
    await pilot.pause()
    await pilot.press("g")
    await pilot.pause()
    await typed(pilot, names)
    await pilot.press("enter")
    await pilot.pause()
    await pilot.press(*["down"] * rounds, "enter")
    await pilot.pause()
    screen = app.screen
    assert isinstance(screen, EveningScreen)
    return screen.evening


async def to_hands(app: StepcallApp, pilot: Pilot[None], right: bool = True) -> None:
    """Begin the turn and bring it to the hands."""
    await pilot.press("enter")
    await pilot.pause()
    screen = app.screen
    if isinstance(screen, EveningScreen) and screen.question is not None and screen.stage != HANDS:
        screen.give(screen.question.answer if right else -1, 3_000)
        await pilot.pause()


async def turn_of(app: StepcallApp, pilot: Pilot[None], kind: str, evening: Evening) -> None:
    """Play until a turn of a kind is up."""
    for _ in range(6):
        if evening.turn is not None and evening.turn.kind == kind:
            return
        await to_hands(app, pilot)
        await pilot.press(*(pair[0] for pair in hands_of(app).values()))
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause()
    raise AssertionError(f"no turn of kind {kind}")


def hands_of(app: StepcallApp) -> dict[str, tuple[str, str]]:
    screen = app.screen
    assert isinstance(screen, EveningScreen | PlayedTurnScreen)
    assert screen.hands is not None
    return {name: (keys.go, keys.nogo) for name, keys in screen.hands.keys.items()}


async def test_names_are_typed_once_and_rounds_chosen(app: StepcallApp, home: Home) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        evening = await begun(app, pilot)
        assert evening.present == ["Ada", "Ben", "Cem", "Dov"]
        assert evening.kinds == (QUESTION, PLAYED, LIVE)
        assert "answers at the keyboard, the others watch" in shown(app)
    assert len(kept_evenings(home)) == 1


async def test_too_few_names_are_refused_with_a_sentence(app: StepcallApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("g")
        await pilot.pause()
        await typed(pilot, "Ada, Ben")
        await pilot.press("enter")
        await pilot.pause()
        assert "A group is 3 to 8 people, not 2." in shown(app)


async def test_hands_are_hidden_until_all_are_up(app: StepcallApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        evening = await begun(app, pilot, rounds=1)
        await to_hands(app, pilot)
        keys = hands_of(app)
        assert evening.turn is not None
        assert evening.turn.performer not in keys
        first, *others = keys
        await pilot.press(keys[first][1])
        await pilot.pause()
        text = shown(app)
        assert text.count("has chosen") == 1
        assert text.count("waiting") == len(others)
        assert "In truth" not in text
        await pilot.press(*(keys[name][0] for name in others))
        await pilot.pause()
        text = shown(app)
        assert f"GO     {', '.join(others)}" in text
        assert f"NO-GO  {first}" in text
        assert "In truth GO: 1 of 3 saw it otherwise, not of one mind." in text
        assert "Rule" in text


async def test_letters_of_others_never_quit_the_program(app: StepcallApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await begun(app, pilot, rounds=1)
        await pilot.press("q", "x", "p")
        await pilot.pause()
        assert name_of(app) == "EveningScreen"
        await to_hands(app, pilot)
        await pilot.press("z", "x", "m")
        await pilot.pause()
        assert name_of(app) == "EveningScreen"


async def test_help_lists_the_hands_and_nothing_that_a_hand_does_not_do(app: StepcallApp) -> None:
    async with app.run_test(size=(80, 40)) as pilot:
        evening = await begun(app, pilot)
        for kind in ("question", "played"):
            await turn_of(app, pilot, kind, evening)
            await to_hands(app, pilot)
            keys = hands_of(app)
            await pilot.press("f1")
            await pilot.pause()
            rows = shown(app).splitlines()
            for name, pair in keys.items():
                assert any(row.split()[:3] == [*pair, f"{name}:"] for row in rows), name
            assert not any("Quit the program" in row and row.split()[0] == "q" for row in rows)
            await pilot.press("escape")
            await pilot.press(*(pair[0] for pair in keys.values()))
            await pilot.pause()
            await pilot.press("enter")
            await pilot.pause()


async def test_a_played_performance_is_graded_while_it_runs_and_tells_nothing(app: StepcallApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        evening = await begun(app, pilot, rounds=2)
        turn = evening.turn
        assert turn is not None
        assert turn.kind == PLAYED
        await pilot.press("enter")
        await pilot.pause()
        assert isinstance(app.screen, PlayedTurnScreen)
        text = shown(app)
        assert "as it should be" not in text
        fault = evening.deck.movement(turn.measure).fault(turn.fault)
        assert fault is None or fault.tell[:20] not in text
        await pilot.press(*(keys[0] for keys in hands_of(app).values()))
        await pilot.pause()
        await pilot.pause()
        assert isinstance(app.screen, EveningScreen)
        text = shown(app)
        assert f"In truth {'NO-GO' if turn.fault else 'GO'}: " in text
        if fault is not None:
            assert "Fault" in text


async def test_on_the_floor_the_group_settles_on_a_fault(app: StepcallApp) -> None:
    async with app.run_test(size=(100, 40)) as pilot:
        evening = await begun(app, pilot, rounds=3)
        assert "Clear the floor first." in shown(app)
        await to_hands(app, pilot)
        await pilot.press(*(keys[1] for keys in hands_of(app).values()))
        await pilot.pause()
        assert "nobody knows the truth" in shown(app)
        await pilot.press("1")
        await pilot.pause()
        assert evening.graded[-1].faults == (evening.deck.movement(evening.graded[-1].turn.measure).faults[0].id,)
        await pilot.press("1")
        await pilot.pause()
        assert not evening.graded[-1].faults


async def test_somebody_leaves_in_the_middle_of_the_hands(app: StepcallApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        evening = await begun(app, pilot, rounds=1)
        await to_hands(app, pilot)
        keys = hands_of(app)
        leaver = next(iter(keys))
        await pilot.press(*(keys[name][0] for name in keys if name != leaver))
        await pilot.press("escape")
        await pilot.pause()
        place = evening.present.index(leaver) + 1
        await pilot.press(*["down"] * place, "enter")
        await pilot.pause()
        assert leaver not in evening.present
        await pilot.pause()
        assert isinstance(app.screen, EveningScreen)
        assert app.screen.stage == OUTCOME
        assert leaver not in evening.graded[-1].gave


async def test_a_wrong_name_is_put_right(app: StepcallApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        evening = await begun(app, pilot, names="Ada, Bne, Cem")
        await pilot.press("escape")
        await pilot.pause()
        await pilot.press(*["down"] * (len(evening.present) + 2), "enter")
        await pilot.pause()
        await pilot.press("down", "enter")
        await pilot.pause()
        await pilot.press(*["backspace"] * 3)
        await typed(pilot, "Ben")
        await pilot.press("enter")
        await pilot.pause()
        assert evening.places == ["Ada", "Ben", "Cem"]
        assert name_of(app) == "EveningScreen"


async def test_an_evening_that_was_left_goes_on_at_its_turn(app: StepcallApp, home: Home) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        evening = await begun(app, pilot)
        await turn_of(app, pilot, PLAYED, evening)
        turn = evening.turn
    again = opened(home)
    async with again.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("g")
        await pilot.pause()
        assert "Go on: 2026-11-24, Ada, Ben, Cem, Dov, one turn" in shown(again)
        await pilot.press("enter")
        await pilot.pause()
        assert isinstance(again.screen, EveningScreen)
        assert again.screen.evening.turn == turn


async def test_a_resize_keeps_everything(app: StepcallApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await begun(app, pilot, rounds=1)
        await to_hands(app, pilot)
        keys = hands_of(app)
        await pilot.press(next(iter(keys.values()))[0])
        await pilot.resize_terminal(120, 40)
        await pilot.pause()
        assert shown(app).count("has chosen") == 1


async def test_answers_go_into_a_record_by_consent_alone(app: StepcallApp, home: Home) -> None:
    async with app.run_test(size=(100, 40)) as pilot:
        evening = await begun(app, pilot, rounds=1)
        for _ in range(4):
            await to_hands(app, pilot)
            await pilot.press(*(keys[0] for keys in hands_of(app).values()))
            await pilot.pause()
            await pilot.press("enter")
            await pilot.pause()
        await pilot.press("escape")
        await pilot.pause()
        await pilot.press("end", "enter")
        await pilot.pause()
        assert "How far you agree" in shown(app)
        assert "Everybody always gave the same in 4 trials: kappa has no value then." in shown(app)
        await pilot.press("h")
        await pilot.pause()
        assert "Ada, decide yourself" in shown(app)
        await pilot.press("enter")  # his own handle is chosen already
        await pilot.pause()
        assert "went into the record" in shown(app)
        assert "Ben, decide yourself" in shown(app)
        await pilot.press("enter")  # nobody here is called Ben, so nowhere is chosen
        await pilot.pause()
        assert "Ben: nothing was kept." in shown(app)
        assert "Cem, decide yourself" in shown(app)
        await pilot.press("end", "enter")  # a packet is the last of the list
        await pilot.pause()
        assert "At home: stepcall group --take" in " ".join(shown(app).split())
        await pilot.press("down", "enter")  # Ada's record is taken, so a new one comes after nowhere
        await pilot.pause()
        assert "Everybody who answered or performed has decided." in shown(app)
        await pilot.press("escape")
        await pilot.press("h")
        await pilot.pause()
        assert "Ben, decide yourself" in shown(app), "who said nowhere may have struck enter too soon"
        await pilot.press("escape", "escape")
        await pilot.pause()
        assert name_of(app) == "TodayScreen"
        await pilot.press("g")
        await pilot.pause()
        assert "Who sits here?" in shown(app), "an evening that all have decided on is offered no more"
    kept = {person.profile.handle: person for person in people(home)}
    assert set(kept) == {"Ada", "Dov"}
    for name, person in kept.items():
        with Log.open(home.record(person.id)) as log:
            own = [event for event in log.events() if event.kind == "answer"]
        assert own
        assert len(own) == sum(len(told.marks) for who, told in evening.answers if who == name)
    (packet,) = home.packets.glob("*.packet")
    assert unpacked(packet.read_bytes()).events
    assert evening.handed["Ben"] == ""


async def test_the_outcome_can_be_played_beside_what_is_right(app: StepcallApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        evening = await begun(app, pilot, rounds=2)
        while True:
            await to_hands(app, pilot)
            await pilot.press("v", *(keys[0] for keys in hands_of(app).values()))
            await pilot.pause()
            await pilot.pause()
            assert isinstance(app.screen, EveningScreen), "v is nobody's key and plays nothing before all have graded"
            if evening.graded[-1].turn.fault:
                break
            await pilot.press("enter")
            await pilot.pause()
        assert "v play" in shown(app)
        await pilot.press("v")
        await pilot.pause()
        assert isinstance(app.screen, PlayerScreen)
        fault = evening.deck.movement(evening.graded[-1].turn.measure).fault(evening.graded[-1].turn.fault)
        assert fault is not None
        assert app.screen.shown.flawed is not None
        assert app.screen.shown.flawed.name == fault.tell
        await pilot.press("v")
        await pilot.pause()
        assert isinstance(app.screen, EveningScreen)
        assert app.screen.stage == OUTCOME


async def test_an_answer_outlives_a_crash_before_it_was_graded(app: StepcallApp, home: Home) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        evening = await begun(app, pilot, rounds=1)
        await to_hands(app, pilot, right=False)
        performer = evening.turn.performer if evening.turn else ""
        assert "nothing: not known" in shown(app)
    again = opened(home)
    async with again.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("g")
        await pilot.pause()
        assert "no turn graded yet" in " ".join(shown(again).split())
        await pilot.press("enter")
        await pilot.pause()
        assert f"{performer} has answered, and the answer is kept" in shown(again)
        await pilot.press("enter")
        await pilot.pause()
        assert "nothing: not known" in shown(again)
        await pilot.press(*(keys[1] for keys in hands_of(again).values()))
        await pilot.pause()
        assert "In truth NO-GO: everybody saw it" in shown(again)
        assert "Right  " in shown(again)


async def test_hands_wait_while_somebody_sits_down_and_the_list_is_open(app: StepcallApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        evening = await begun(app, pilot, rounds=2)
        await to_hands(app, pilot)
        await pilot.press("q", "escape")
        await pilot.pause()
        await pilot.press(*["down"] * 5, "enter")
        await pilot.pause()
        await typed(pilot, "Eva")
        await pilot.press("enter")
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause()
        assert isinstance(app.screen, PlayedTurnScreen)
        assert app.screen.hands.waiting_for == ("Ben", "Cem", "Dov", "Eva")
        await pilot.press("s", "d", "f", "g")
        await pilot.pause()
        await pilot.pause()
        assert evening.graded[-1].gave == {"Ada": True, "Ben": False, "Cem": False, "Dov": False, "Eva": False}


async def test_keys_lie_as_on_the_keyboard_that_was_chosen_and_stay_so(app: StepcallApp, home: Home) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        evening = await begun(app, pilot, rounds=1)
        await to_hands(app, pilot)
        assert "another keyboard to choose" in " ".join(shown(app).split())
        await pilot.press("escape")
        await pilot.pause()
        await pilot.press(*["down"] * 7, "enter")
        await pilot.pause()
        assert "AZERTY   A Z E R T U I O  above  Q S D F G J K L" in shown(app)
        await pilot.press("down", "enter")
        await pilot.pause()
        assert evening.keyboard == "azerty"
        keys = hands_of(app)
        if "Ada" in keys:
            assert keys["Ada"] == ("a", "q")
        await pilot.press(*(pair[0].upper() for pair in keys.values()))
        await pilot.pause()
        assert all(evening.graded[-1].gave.values()), "a hand counts with caps lock on too"
        await pilot.press("escape", "end", "enter", "escape")
        await pilot.pause()
        await pilot.press("g")
        await pilot.pause()
        await pilot.press("end", "enter")
        await pilot.pause()
        await typed(pilot, "Ada, Ben, Cem")
        await pilot.press("enter", "enter")
        await pilot.pause()
        assert isinstance(app.screen, EveningScreen)
        assert app.screen.evening.keyboard == "azerty"


async def test_a_drum_starts_it_and_nobody_calls_it(tmp_path: Path) -> None:
    deck = guard_deck(str(tmp_path))
    drum = deck.movement("drum-stop")
    turn = Turn(1, LIVE, "Dov", drum.id)
    text = " ".join("".join(span.text for span in row) for row in turn_rows(turn, drum, ("Ada", "Ben"), False, 80))
    assert "calls it himself" not in text
    assert rule_of(drum).startswith(f"started by the {drum.cued_by}: ")


async def test_the_evening_is_saved_as_a_sheet_to_print(app: StepcallApp, home: Home) -> None:
    async with app.run_test(size=(100, 40)) as pilot:
        await begun(app, pilot, rounds=1)
        await to_hands(app, pilot)
        await pilot.press(*(keys[0] for keys in hands_of(app).values()))
        await pilot.pause()
        await pilot.press("escape", "end", "enter")
        await pilot.pause()
        assert "p save to print" in shown(app)
        await pilot.press("p")
        await pilot.pause()
        assert "open it in a browser to print" in " ".join(shown(app).split())
    (sheet,) = home.evenings.glob("*.html")
    assert "After action" in sheet.read_text("utf-8")
    assert sheet.stat().st_mode & 0o77 == 0
    assert len(kept_evenings(home)) == 1


async def test_an_evening_that_is_over_can_still_be_handed_over(app: StepcallApp, home: Home) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await begun(app, pilot, rounds=1)
        await to_hands(app, pilot)
        await pilot.press(*(keys[0] for keys in hands_of(app).values()))
        await pilot.pause()
        await pilot.press("escape", "end", "enter")
        await pilot.pause()
        await pilot.press("escape")
        await pilot.pause()
        assert name_of(app) == "TodayScreen"
        await pilot.press("g")
        await pilot.pause()
        assert "may still decide on" in " ".join(shown(app).split())
        await pilot.press("enter")
        await pilot.pause()
        assert name_of(app) == "EveningEndScreen"
        await pilot.press("h")
        await pilot.pause()
        assert "decide yourself" in shown(app)


async def test_hands_can_be_raised_again_where_a_step_could_not_be_kept(app: StepcallApp, home: Home) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        evening = await begun(app, pilot, rounds=1)
        await to_hands(app, pilot)
        (path,) = home.evenings.glob("*.jsonl")
        kept = path.read_bytes()
        path.unlink()
        path.mkdir()
        keys = [pair[0] for pair in hands_of(app).values()]
        await pilot.press(*keys)
        await pilot.pause()
        assert "cannot be kept" in " ".join(shown(app).split())
        assert evening.graded == []
        path.rmdir()
        path.write_bytes(kept)
        await pilot.press(*keys)
        await pilot.pause()
        assert len(evening.graded) == 1


async def test_the_look_of_the_hands(tmp_path: Path, snapshot: Snapshot) -> None:
    deck = guard_deck(str(tmp_path))
    evening, _ = begun_in_a_list(deck, ("Ada", "Ben", "Cem", "Dov", "Eli"), kinds=(LIVE,))
    desk = Desk(Home(tmp_path), lambda: NOW)
    make = lambda: SmallApp(EveningScreen(evening, desk, lambda: NOW, lambda: 0.0))  # noqa: E731
    await snapshot("group-hands-80x24", make, (80, 24), "enter", "q", "s")


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_a_hidden_hand_looks_alike_whatever_it_is(tmp_path: Path, size: tuple[int, int]) -> None:
    pictures = set()
    for choices in ("go go", "nogo nogo", "go nogo", "nogo go"):
        evening, _ = begun_in_a_list(guard_deck(str(tmp_path)), kinds=(LIVE,))
        evening.draw()
        keys = [getattr(pair, one) for pair, one in zip(evening.keys().values(), choices.split(), strict=False)]
        app = SmallApp(EveningScreen(evening, Desk(Home(tmp_path), lambda: NOW), lambda: NOW, lambda: 0.0))
        async with app.run_test(size=size) as pilot:
            await pilot.pause()
            await pilot.press("enter", *keys)
            await pilot.pause()
            assert shown(app).count("has chosen") == 2
            pictures.add(normalised(app.export_screenshot(title="hands")))
    assert len(pictures) == 1


async def test_a_typed_answer_of_an_evening_took_the_time_to_its_own_key(tmp_path: Path) -> None:
    """Enter begins the turn and enter gives the answer: a stroke that is noted twice would be taken for the second."""
    evening, _ = begun_in_a_list(guard_deck(str(tmp_path)), kinds=(QUESTION,))
    seconds = [100.0]
    app = SmallApp(EveningScreen(evening, Desk(Home(tmp_path), lambda: NOW), lambda: NOW, lambda: seconds[0]))
    took: list[int] = []
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        screen = app.screen
        assert isinstance(screen, EveningScreen)
        while len(took) < 2:
            await pilot.press("enter")
            await pilot.pause()
            seconds[0] += 7.0
            if screen.typing:
                await typed(pilot, "something")
                await pilot.press("enter")
                await pilot.pause()
                assert evening.told is not None
                took.append(evening.told.ms)
            else:
                screen.give(-1, 0)
            await pilot.press(*(pair.go for pair in evening.keys().values()), "enter")
            await pilot.pause()
    assert took == pytest.approx([7_000] * 2, abs=60)
