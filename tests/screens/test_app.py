"""The application: who is opened, leaving, a window too small, the look, help; and the real program in a terminal."""

import os
import select
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.screens.opened import NOW, name_of, opened, shown, someone
from trainer.coach.candidate import CandidateError
from trainer.coach.here import here, keep_here
from trainer.paths import Home
from trainer.records.errors import LogError
from trainer.screens import app as app_module
from trainer.screens.app import StepcallApp


@pytest.fixture
def home(tmp_path: Path) -> Home:
    return Home(tmp_path / "home")


@pytest.mark.parametrize("keys", [("q",), ("ctrl+q",), ("ctrl+c",), ("x", "q", "q"), ("c", "enter", "ctrl+q")])
async def test_it_can_be_left_from_everywhere(home: Home, keys: tuple[str, ...]) -> None:
    someone(home).close()
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press(*keys)
    assert app.return_code == 0
    assert app.desk.candidate is None, "the record is closed"


async def test_q_is_a_letter_where_something_is_typed(home: Home) -> None:
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("q", "question_mark")
        assert "q?" in shown(app)
        await pilot.press("f1")
        assert name_of(app) == "HelpScreen"
        await pilot.press("escape")
        assert "q?" in shown(app)


async def test_a_window_too_small_says_so_and_nothing_is_lost(home: Home) -> None:
    someone(home).close()
    app = opened(home)
    async with app.run_test(size=(59, 24)) as pilot:
        await pilot.pause()
        assert "This window is too small: 59 by 24." in shown(app)
        await pilot.resize_terminal(30, 8)
        await pilot.pause()
        assert name_of(app) == "TooSmallScreen"
        await pilot.resize_terminal(80, 24)
        await pilot.pause()
        assert "Weakest measures" in shown(app)
        await pilot.press("c")
        for height in (19, 12, 20):
            await pilot.resize_terminal(80, height)
            await pilot.pause()
        assert name_of(app) == "ChangeScreen"
        assert len(app.screen_stack) == 2


async def test_a_window_that_is_too_small_at_first_shows_whom_it_asks_later(home: Home) -> None:
    someone(home, "Ash").close()
    someone(home, "Morgan").close()
    app = opened(home)
    async with app.run_test(size=(40, 10)) as pilot:
        await pilot.pause()
        await pilot.resize_terminal(80, 24)
        await pilot.pause()
        assert "Who is there?" in shown(app)
        await pilot.press("escape")
    assert app.return_code == 0


async def test_a_record_that_cannot_be_read_ends_the_program_with_its_sentence(home: Home) -> None:
    candidate = someone(home)
    candidate.close()
    home.record(candidate.id).write_bytes(b"not a record at all" * 100)
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
    assert isinstance(app.trouble, LogError)
    assert app.return_code == 2


async def test_the_look_is_remembered_on_this_laptop(home: Home) -> None:
    someone(home).close()
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("c", "down", "down", "down", "down", "enter", "down")
        assert app.theme == "daylight"
        await pilot.press("escape")
        assert app.theme == "parade", "looking at one does not take it"
        await pilot.press("enter", "down", "enter")
        assert "daylight, light" in shown(app)
    assert here(home)["theme"] == "daylight"
    assert opened(home).theme == "daylight"


def test_a_look_that_is_not_known_is_passed_over(home: Home) -> None:
    home.root.mkdir(parents=True)
    home.here.write_text('{"theme": "no such thing"}', "utf-8")
    assert opened(home).theme == "parade"


async def test_help_lists_the_keys_of_the_screen_it_stands_over(home: Home) -> None:
    someone(home).close()
    app = opened(home)
    async with app.run_test(size=(80, 30)) as pilot:
        await pilot.pause()
        await pilot.press("question_mark")
        text = shown(app)
        for key, does in (
            ("s enter", "Start a sitting"),
            ("w", "Someone else is there"),
            ("q", "Quit the program"),
            ("ctrl+q", "at once"),
        ):
            assert any(row.startswith(f" {key}") and does in row for row in text.splitlines()), key
        await pilot.press("question_mark")
        assert name_of(app) == "TodayScreen"


async def test_an_unforeseen_error_is_kept_for_the_command_line(home: Home, capsys: pytest.CaptureFixture[str]) -> None:
    someone(home).close()
    app = opened(home)

    async def fall_over() -> None:
        async with app.run_test(size=(80, 24)) as pilot:
            app.call_later(lambda: 1 / 0)
            await pilot.pause()

    with pytest.raises(ZeroDivisionError):
        await fall_over()
    assert isinstance(app.trouble, ZeroDivisionError)
    assert "Traceback" not in capsys.readouterr().err


def test_somebody_unknown_is_a_sentence_and_not_a_screen(home: Home, monkeypatch: pytest.MonkeyPatch) -> None:
    someone(home).close()
    monkeypatch.setattr(app_module, "home", lambda: home)
    with pytest.raises(CandidateError, match="nobody is called that"):
        app_module.open_screens(candidate="Nobody")


def test_trouble_and_return_code_are_passed_on(home: Home, monkeypatch: pytest.MonkeyPatch) -> None:
    someone(home).close()
    monkeypatch.setattr(app_module, "home", lambda: home)

    def leave(app: StepcallApp) -> None:
        app.exit(return_code=7)

    monkeypatch.setattr(StepcallApp, "run", leave)
    assert app_module.open_screens(candidate="Morgan") == 7

    def fail(app: StepcallApp) -> None:
        app.trouble = CandidateError("so it is")

    monkeypatch.setattr(StepcallApp, "run", fail)
    with pytest.raises(CandidateError, match="so it is"):
        app_module.open_screens()


posix = pytest.mark.skipif(sys.platform == "win32", reason="a pseudo-terminal and its signals")
ALTERNATE, BACK = b"\x1b[?1049h", b"\x1b[?1049l"


@posix
@pytest.mark.parametrize(("stop", "code"), [("key", 0), (signal.SIGTERM, 143), (signal.SIGHUP, 143)])
def test_the_terminal_is_left_in_order(home: Home, stop: object, code: int) -> None:
    import pty

    someone(home).close()
    ours, theirs = pty.openpty()
    environment = os.environ | {
        "STEPCALL_HOME": str(home.root),
        "TERM": "xterm-256color",
        "COLUMNS": "80",
        "LINES": "24",
    }
    program = subprocess.Popen(
        [sys.executable, "-m", "trainer.cli.main"],
        stdin=theirs,
        stdout=theirs,
        stderr=theirs,
        env=environment,
        cwd=Path(__file__).parents[2],
        start_new_session=True,
    )
    os.close(theirs)
    try:
        written = _read_until(ours, b"Weakest", 30)
        assert ALTERNATE in written
        assert b"Weakest" in written
        if isinstance(stop, signal.Signals):
            program.send_signal(stop)
        else:
            os.write(ours, b"q")
        written = _read_until(ours, BACK, 30)
        assert BACK in written
        assert program.wait(30) == code
    finally:
        program.kill()
        os.close(ours)


def _read_until(terminal: int, mark: bytes, seconds: float) -> bytes:
    read, end = b"", time.monotonic() + seconds
    while mark not in read and time.monotonic() < end:
        if select.select([terminal], [], [], 0.1)[0]:
            try:
                read += os.read(terminal, 65536)
            except OSError:
                break
    return read


async def test_without_colour_the_terminals_own_colours_are_not_offered(
    home: Home, monkeypatch: pytest.MonkeyPatch
) -> None:
    someone(home).close()
    for kept, look in (("ansi-dark", "parade"), ("ansi-light", "daylight")):
        keep_here(home, "theme", kept)
        assert opened(home).theme == kept
        monkeypatch.setenv("NO_COLOR", "1")
        app = opened(home)
        assert app.theme == look
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.pause()
            await pilot.press("c", "end", "enter")
            assert name_of(app) == "LookScreen"
            assert "daylight" in shown(app)
            assert "terminal's own" not in shown(app)
        monkeypatch.delenv("NO_COLOR")


async def test_the_demo_is_labelled(home: Home) -> None:
    someone(home).close()
    for demo in (False, True):
        app = StepcallApp(home, lambda: NOW, lambda: 0.0, demo=demo)
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.pause()
            assert ("invented unit, throw-away copy" in shown(app)) is demo
