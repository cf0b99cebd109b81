"""The session screen: every form by its keys, answers kept first, nothing lost, nothing given away."""

import random
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from textual.app import App
from textual.events import Key
from textual.pilot import Pilot
from textual.widgets import Input

from tests.coach.sitting import START, Faulty, candidate_in, faulty
from tests.screens.conftest import SmallApp, Snapshot
from tests.screens.opened import shown as shown_by_ours
from tests.screens.opened import small_deck
from trainer.authoring.shelf import open_deck
from trainer.coach.candidate import device_id
from trainer.coach.session import Session
from trainer.coach.standing import open_standing
from trainer.coach.words import percent
from trainer.drill.deck import Deck
from trainer.quiz.asking import Asker
from trainer.quiz.questions import CHOICE, FEET, KINDS, ORDER, TEXT, Question
from trainer.records.log import Log
from trainer.screens.beside import after_answer, before_answer
from trainer.screens.session import SessionScreen
from trainer.screens.session_end import SummaryScreen, by_movement, summary_rows
from trainer.screens.widgets.spans import row_text

SIZES = [(80, 24), (120, 40)]


class Hall:
    """A candidate, his deck, and a sitting whose next question can be set."""

    def __init__(self, folder: Path, deck: Deck | None = None) -> None:
        self.candidate, own = candidate_in(folder)
        self.deck = deck or own
        self.moment = START
        self.seconds = 0.0

    def session(self, size: int = 6, ask: tuple[str, str] | None = None, seed: int = 3) -> Session:
        """Return a sitting; `ask` is the end of a point's id and the kind of its first question."""
        standing = open_standing(self.candidate, self.deck, self.moment)
        session = Session(self.candidate, standing, self.moment, size, random.Random(seed))
        if ask:
            asker = Asker(self.deck)
            point = next(p.id for p in standing.points if p.id.endswith(ask[0]) and ask[1] in asker.kinds(p.id))
            session.question = asker.ask(point, random.Random(seed), ask[1])
        return session

    def screen(self, session: Session) -> SessionScreen:
        return SessionScreen(session, lambda: self.moment, lambda: self.seconds)

    def recorded(self) -> list[dict[str, object]]:
        """Return the answers in the record, read as another process would."""
        with Log.open(self.candidate.log.path) as log:
            return [dict(event.body) for event in log.events() if event.kind == "answer"]


@pytest.fixture
def hall(tmp_path: Path) -> Iterator[Hall]:
    made = Hall(tmp_path)
    yield made
    made.candidate.close()


def text_keys(text: str) -> list[str]:
    return [char for char in text.lower() if char.isalnum()]


def keys_for(question: Question, right: bool = True) -> list[str]:
    """Return the keys that answer a question, with keys only."""
    answer = question.answer
    if question.expects == CHOICE:
        assert isinstance(answer, int)
        return [str((answer if right else (answer + 1) % len(question.choices)) + 1)]
    if question.expects == TEXT:
        return [*(text_keys(str(answer)) if right else ["x"]), "enter"]
    assert isinstance(answer, tuple)
    if question.expects == FEET:
        turned = {"left": "right", "right": "left"}
        return [*(str(foot) if right else turned[str(foot)] for foot in answer), "enter"]
    rows = [str(int(number) + 1) for number in answer]
    return [*(rows if right else reversed(rows)), "enter"]


FORMS = {
    CHOICE: ("counts/2", "on a count"),
    TEXT: ("turn-starboard/words/command", "say the command"),
    ORDER: ("counts/2", "order"),
    FEET: ("turn-starboard/feet/3", "feet of the words"),
}


def shown(app: App[None]) -> str:
    return shown_by_ours(app)


async def settled(pilot: Pilot[None], *keys: str) -> None:
    await pilot.press(*keys)
    await pilot.pause()


async def test_keys_that_come_in_one_piece_are_all_taken(hall: Hall) -> None:
    session = hall.session(ask=FORMS[ORDER])
    question = session.question
    assert question is not None
    app = SmallApp(hall.screen(session))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        for key in keys_for(question):
            app.post_message(Key(key, None))
        await pilot.pause()
        await pilot.pause()
        assert "✓ Right." in shown(app)


@pytest.mark.parametrize("expects", FORMS)
@pytest.mark.parametrize("right", [True, False], ids=["right", "wrong"])
async def test_every_form_is_answered_with_keys(hall: Hall, expects: str, right: bool) -> None:
    session = hall.session(ask=FORMS[expects])
    question = session.question
    assert question is not None
    assert question.expects == expects
    app = SmallApp(hall.screen(session))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "1 of 6" in shown(app)
        await settled(pilot, *keys_for(question, right))
        text = shown(app)
        assert ("✓ Right." in text) is right
        assert ("✗ Not right." in text) is not right
        assert "enter go on" in text
        kept = hall.recorded()
        assert [body["point"] for body in kept] == list(question.points)
        if right:
            assert all(body["right"] for body in kept)
        else:
            assert not all(body["right"] for body in kept)
            assert "right is" in text or "right order" in text
        await settled(pilot, "space" if right else "enter")
        assert "2 of 6" in shown(app)
        assert isinstance(app.screen, SessionScreen)
        assert app.screen.question is not question


async def test_the_arrows_choose_and_enter_answers(hall: Hall) -> None:
    session = hall.session(ask=FORMS[CHOICE])
    app = SmallApp(hall.screen(session))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot, "enter")
        assert "Nothing is chosen yet" in shown(app)
        assert not session.asked, "enter alone answers nothing, so one struck twice does no harm"
        await settled(pilot, "down", "down", "down", "up")
        assert "▸ 2" in shown(app)
        await settled(pilot, "enter")
    assert session.answered == 1
    assert session.asked[0][1].right is (session.asked[0][0].answer == 1)


async def test_feet_and_orders_are_confirmed_only_when_whole_and_can_be_taken_back(hall: Hall) -> None:
    session = hall.session(ask=FORMS[FEET])
    app = SmallApp(hall.screen(session))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot, "left", "enter")
        assert "“starboard” has no foot yet" in shown(app)
        await settled(pilot, "right", "right", "backspace", "left")
        assert "R right" in shown(app)
        assert "Every word has its foot" in shown(app)
        await settled(pilot, "enter")
        assert "2 of 3 right" in shown(app)
    session = hall.session(ask=FORMS[ORDER])
    app = SmallApp(hall.screen(session))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot, "2", "2")
        assert "2 has its place already" in shown(app)
        await settled(pilot, "enter")
        assert "still have no place" in shown(app)
        await settled(pilot, "backspace", "1", "2", "3")
        assert "All have a place" in shown(app)
        assert not session.asked


async def test_keys_of_the_screen_work_while_something_is_typed(hall: Hall) -> None:
    session = hall.session(ask=FORMS[TEXT])
    app = SmallApp(hall.screen(session))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot, "enter")
        assert "enter again if you do not know" in shown(app)
        await settled(pilot, "q", "1", "question_mark", "space", "b")
        assert app.screen.query_one(Input).value == "q1? b", "all of these can be typed"
        assert "F1 help" in shown(app)
        await settled(pilot, "escape")
        assert not isinstance(app.screen, SessionScreen)
    assert hall.recorded() == []


async def test_an_answer_that_cannot_be_kept_says_so_and_the_question_stays(hall: Hall) -> None:
    path = hall.candidate.log.path
    hall.candidate.close()
    hall.candidate.log = Log.open(path, device_id(hall.candidate.home), connect=faulty)
    for expects, form in FORMS.items():
        session = hall.session(ask=form)
        question = session.question
        assert question is not None
        before = len(hall.recorded())
        app = SmallApp(hall.screen(session))
        async with app.run_test(size=(80, 24)) as pilot:
            Faulty.full = True
            try:
                await settled(pilot, *keys_for(question))
            finally:
                Faulty.full = False
            text = " ".join(shown(app).split())
            assert "Not kept. There is no space left for the record" in text, expects
            assert "1 of 6" in text
            assert "Right." not in text
            assert len(hall.recorded()) == before
            again = keys_for(question) if expects == CHOICE else ["enter"]
            await settled(pilot, *again)
            assert "✓ Right." in shown(app), "what was typed or set stood until the disk had room again"
            assert "Not kept" not in shown(app)
        assert len(hall.recorded()) == before + len(question.points)


async def test_leaving_in_the_middle_keeps_every_answer_and_shows_what_it_did(hall: Hall) -> None:
    session = hall.session(size=20)
    app = SmallApp(hall.screen(session))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        screen = app.screen
        assert isinstance(screen, SessionScreen)
        for number in range(4):
            assert screen.question is not None
            await settled(pilot, *keys_for(screen.question, number % 2 == 0))
            await settled(pilot, "enter")
        await settled(pilot, "escape")
        assert isinstance(app.screen, SummaryScreen)
        assert "4 questions, 2 wholly right" in shown(app)
        await settled(pilot, "enter")
        assert not isinstance(app.screen, SessionScreen | SummaryScreen)
    kept = hall.recorded()
    assert len(kept) == sum(len(marked.marks) for _, marked in session.asked)
    assert {body["session"] for body in kept} == {session.id}


async def test_the_summary_tells_the_numbers_of_the_session(hall: Hall) -> None:
    session = hall.session(size=5)
    app = SmallApp(hall.screen(session))
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        screen = app.screen
        assert isinstance(screen, SessionScreen)
        while isinstance(app.screen, SessionScreen):
            assert screen.question is not None
            await settled(pilot, *keys_for(screen.question, screen.session.answered != 2))
            await settled(pilot, "space")
        text = shown(app)
    summary = session.summary(START)
    assert f"{summary.questions} questions, {summary.all_right} wholly right" in text
    for one in summary.moved:
        line = next(row for row in text.splitlines() if f"{percent(one.before):>9} → {percent(one.now):>9}" in row)
        assert line
    now = [sum(one.now for one in group) / len(group) for _, group in by_movement(summary.moved)]
    assert now == sorted(now), "the weakest movement first"
    assert "8 times in 10" in text or percent(summary.now.chance.go) in text  # type: ignore[union-attr]
    rows = [row_text(row) for row in summary_rows(hall.deck, summary, (), 76)]
    assert sum(" of " in row and "→" in row for row in rows) == len(summary.moved)
    assert all(len(row) <= 76 for row in rows)


async def test_the_time_runs_from_the_question_to_the_key(hall: Hall) -> None:
    session = hall.session(ask=FORMS[CHOICE])
    question = session.question
    assert question is not None
    hall.seconds = 100.0
    app = SmallApp(hall.screen(session))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        hall.seconds = 107.25
        await settled(pilot, *keys_for(question))
        hall.seconds = 190.0
        await settled(pilot, "enter")
        hall.seconds = 191.5
        screen = app.screen
        assert isinstance(screen, SessionScreen)
        assert screen.question is not None
        await settled(pilot, *keys_for(screen.question))
    kept = hall.recorded()
    assert kept[0]["ms"] == pytest.approx(7_250, abs=60), "reading what is right takes nobody's time"
    assert kept[-1]["ms"] == pytest.approx(1_500, abs=60)


async def test_markup_in_a_deck_is_shown_as_it_is(tmp_path: Path) -> None:
    hall = Hall(tmp_path)
    path = small_deck(tmp_path / "deck.toml", title="[red]T[/red]", call="[b]Forward[/b]")
    hall.deck = open_deck(str(path), hall.candidate.home)
    session = hall.session(ask=("forward/words/command", "say the command"))
    question = session.question
    assert question is not None
    app = SmallApp(hall.screen(session))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "[red]T[/red]" in shown(app)
        await settled(pilot, "x", "enter")
        assert "[b]Forward[/b] MARCH" in shown(app)
        await settled(pilot, "escape")
        assert isinstance(app.screen, SummaryScreen)
    hall.candidate.close()


@pytest.mark.parametrize("expects", FORMS)
async def test_a_window_that_changes_loses_nothing_that_was_given(hall: Hall, expects: str) -> None:
    session = hall.session(ask=FORMS[expects])
    question = session.question
    assert question is not None
    keys = keys_for(question)
    app = SmallApp(hall.screen(session))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await settled(pilot, *keys[:-1])
        for size in ((60, 20), (150, 50), (80, 24)):
            await pilot.resize_terminal(*size)
            await pilot.pause()
            assert "esc leave" in shown(app), size
        await settled(pilot, keys[-1])
        assert "✓ Right." in shown(app)
        for size in ((60, 20), (150, 50)):
            await pilot.resize_terminal(*size)
            await pilot.pause()
            assert "enter go on" in shown(app), size


async def test_the_next_question_is_ready_before_the_key_that_goes_on(hall: Hall) -> None:
    session = hall.session(ask=FORMS[CHOICE])
    app = SmallApp(hall.screen(session))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot, "1")
        ready = session.question
        assert ready is not None, "made while the answer is read"
        await settled(pilot, "enter")
        assert isinstance(app.screen, SessionScreen)
        assert app.screen.question is ready


async def test_with_nothing_worth_asking_it_says_so(hall: Hall) -> None:
    session = hall.session()
    session.size = 0
    app = SmallApp(hall.screen(session))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "Nothing is worth asking now" in shown(app)
        await settled(pilot, "enter")
        assert not isinstance(app.screen, SessionScreen)


async def test_after_an_answer_the_arrows_walk_the_strip_and_scroll_the_text(hall: Hall) -> None:
    session = hall.session(ask=FORMS[FEET])
    question = session.question
    assert question is not None
    app = SmallApp(hall.screen(session))
    async with app.run_test(size=(60, 20)) as pilot:
        await pilot.pause()
        await settled(pilot, *keys_for(question, right=False))
        first = shown(app)
        assert "↑↓ scroll" in first
        await settled(pilot, "right")
        assert shown(app) != first
        await settled(pilot, *["down"] * 12)
        assert "Source: Guard Order 4" in " ".join(shown(app).split()), "the end of the text comes into sight"


def all_questions(deck: Deck) -> Iterator[Question]:
    asker = Asker(deck)
    for point in asker.book.points:
        for kind in asker.kinds(point.id):
            yield asker.ask(point.id, random.Random(7), kind)


STEP_PARTS = ("left foot", "right foot", "arms", "left arm", "right arm", "sword", "body")


def test_nothing_beside_a_question_tells_what_it_does_not_reveal(hall: Hall) -> None:
    """Every kind of question that the deck gives: rows of the strip, names, words and lengths of the call."""
    from trainer.screens.beside import BesideStrip

    seen = set()
    for question in all_questions(hall.deck):
        beside = before_answer(hall.deck, question)
        seen.add(question.kind)
        if beside is None:
            continue
        strip = BesideStrip()
        strip.left_out = beside.left_out
        strip._score, strip._hide = beside.score, beside.hide
        strip.set_reactive(BesideStrip.pointer, beside.pointer)
        rows = [row_text(row) for row in strip.rows(200)]
        text = "\n".join(rows)
        movement = hall.deck.movement(question.movement)
        if "steps" not in question.reveals:
            assert not any(row.startswith(STEP_PARTS) for row in rows), question
            assert "½" not in text or question.focus, question
            assert not beside.soles
        if "voice" not in question.reveals:
            assert not any(row.startswith("voice") for row in rows), question
            assert beside.score.beats[0].beat >= -1.0, "the length of the call is not to be read off"
        if "name" not in question.reveals:
            assert movement.name not in text, question
            assert not any(f" {word.say} " in text for word in movement.call), question
    assert len(seen) > 15
    assert seen <= set(KINDS)


def test_every_question_is_followed_by_its_movement_in_full(hall: Hall) -> None:
    known = {point.id: point for point in open_standing(hall.candidate, hall.deck, START).points}
    for question in all_questions(hall.deck):
        beside = after_answer(hall.deck, question, [known[point] for point in question.points])
        if question.movement == "grade-sheet":
            assert beside is None
            continue
        assert beside is not None
        assert beside.soles
        assert beside.pointer in [beat.beat for beat in beside.score.beats]
        assert bool(beside.differ) == bool(beside.caption)


@pytest.fixture
def made(tmp_path: Path) -> Callable[[str, str], Callable[[], App[None]]]:
    count = iter(range(100))

    def make(expects: str, theme: str = "parade") -> Callable[[], App[None]]:
        hall = Hall(tmp_path / str(next(count)))
        return lambda: SmallApp(hall.screen(hall.session(ask=FORMS[expects])), theme)

    return make


async def test_pictures(snapshot: Snapshot, made: Callable[..., Callable[[], App[None]]]) -> None:
    await snapshot("session-choice-80x24", made(CHOICE), (80, 24), "down")
    await snapshot("session-order-wrong-80x24", made(ORDER), (80, 24), "1", "2", "3", "enter")
    await snapshot("session-feet-80x24", made(FEET), (80, 24), "left", "right")
    await snapshot("session-feet-wrong-120x40", made(FEET), (120, 40), "left", "right", "left", "enter")
    await snapshot("session-choice-answered-light-80x24", made(CHOICE, "daylight"), (80, 24), "1")
    await snapshot("session-end-80x24", made(CHOICE), (80, 24), "1", "escape")


@pytest.mark.parametrize("expects", FORMS)
async def test_who_does_not_know_can_say_so_and_it_is_kept_as_wrong(hall: Hall, expects: str) -> None:
    session = hall.session(ask=FORMS[expects])
    question = session.question
    assert question is not None
    app = SmallApp(hall.screen(session))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "do not know" in shown(app)
        await settled(pilot, *(["enter", "enter"] if expects == TEXT else ["0"]))
        text = " ".join(shown(app).split())
        assert "✗ Not right." in text
        assert "you did not know" in text
    kept = hall.recorded()
    assert [body["point"] for body in kept] == list(question.points)
    assert not any(body["right"] for body in kept)


async def test_q_leaves_a_sitting_with_its_summary(hall: Hall) -> None:
    app = SmallApp(hall.screen(hall.session(ask=FORMS[CHOICE])))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "q esc leave" in shown(app)
        await settled(pilot, "0", "q")
        assert isinstance(app.screen, SummaryScreen)
        assert "1 question, none wholly right" in shown(app)
        await settled(pilot, "q")
        assert not isinstance(app.screen, SessionScreen | SummaryScreen)
