"""The cache of checked decks: quick, and never believed beyond that."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from trainer.authoring import compiled
from trainer.authoring.building import build
from trainer.authoring.compiled import open_checked
from trainer.authoring.reading import read_deck
from trainer.paths import shipped_decks

GUARD = Path(__file__).parent / "guard.toml"
SLOW = ("pydantic", "textual", "tomllib", "difflib", "tempfile")


@pytest.fixture
def cache(tmp_path: Path) -> Path:
    return tmp_path / "cache" / "decks"


def only_file(cache: Path) -> Path:
    (file,) = cache.iterdir()
    return file


def forbid_checking(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise AssertionError("the deck was checked again")

    monkeypatch.setattr("trainer.authoring.reading.read_deck_bytes", refuse)
    monkeypatch.setattr("trainer.authoring.reading.read_deck", refuse)


@pytest.mark.parametrize("path", [GUARD, *sorted(shipped_decks().glob("*.toml"))], ids=lambda path: path.stem)
def test_deck_from_the_cache_is_the_checked_deck(path: Path, cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = open_checked(path, cache)
    forbid_checking(monkeypatch)
    again = open_checked(path, cache)
    assert first.problems == again.problems == ()
    assert first.deck == again.deck
    assert again.deck is not None
    # == holds 1 and 1.0 and True to be the same; what is shown does not.
    assert repr(first.deck) == repr(again.deck)


def test_deck_of_other_bytes_is_another_deck(tmp_path: Path, cache: Path) -> None:
    path = tmp_path / "deck.toml"
    path.write_text(GUARD.read_text("utf-8"), "utf-8")
    assert open_checked(path, cache).deck is not None
    path.write_text(GUARD.read_text("utf-8").replace("Gate Guard", "Mill Guard"), "utf-8")
    deck = open_checked(path, cache).deck
    assert deck is not None
    assert deck.title == "Marching test, Mill Guard"
    assert len(list(cache.iterdir())) == 2


def test_deck_with_problems_is_never_kept(tmp_path: Path, cache: Path) -> None:
    path = tmp_path / "deck.toml"
    path.write_text(GUARD.read_text("utf-8").replace("needed = 3", "needed = 5"), "utf-8")
    for _ in range(2):
        opened = open_checked(path, cache)
        assert opened.deck is None
        assert opened.problems == read_deck(path).problems
    assert not cache.exists()


@pytest.mark.parametrize(
    "damage",
    [
        lambda whole: b"",
        lambda whole: whole[: len(whole) // 2],
        lambda whole: whole.replace(b"Gate Guard", b"Mill Guard"),
        lambda whole: whole.replace(b'"format": 1', b'"format": 2'),
        lambda whole: whole.replace(b'"of": "', b'"of": "0'),
        lambda whole: b"\xff\xfe\x00" + whole,
        lambda whole: b"{}\n{}",
        lambda whole: b"\n" * 10,
        lambda whole: b"[" * 100_000,
        lambda whole: whole.partition(b"\n")[0] + b"\n[]",
    ],
)
def test_damaged_cache_file_is_made_anew(damage: object, cache: Path) -> None:
    sound = open_checked(GUARD, cache).deck
    file = only_file(cache)
    whole = file.read_bytes()
    assert callable(damage)
    file.write_bytes(damage(whole))
    assert file.read_bytes() != whole
    assert open_checked(GUARD, cache).deck == sound
    assert only_file(cache).read_bytes() == whole


@pytest.mark.parametrize("body", ["[]", "{}", '{"deck": 1}', '{"deck": {"id": "x"}, "movement": []}', "null", "1e999"])
def test_foreign_data_under_a_true_hash_do_not_break_anything(body: str, cache: Path) -> None:
    sound = open_checked(GUARD, cache).deck
    file = only_file(cache)
    key = json.loads(file.read_bytes().partition(b"\n")[0])["of"]
    file.write_bytes(compiled._head(key, body.encode()).encode() + b"\n" + body.encode())
    assert open_checked(GUARD, cache).deck == sound


def test_other_version_of_the_program_checks_anew(cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    open_checked(GUARD, cache)
    monkeypatch.setattr(compiled, "__version__", "99.0")
    forbid_checking(monkeypatch)
    with pytest.raises(AssertionError, match="checked again"):
        open_checked(GUARD, cache)


def test_without_a_place_to_keep_it_the_deck_opens_all_the_same(tmp_path: Path) -> None:
    in_the_way = tmp_path / "file"
    in_the_way.write_text("")
    assert open_checked(GUARD, in_the_way / "decks").deck is not None
    assert in_the_way.read_text() == ""


def test_a_failed_write_leaves_nothing_behind(cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", full)
    assert open_checked(GUARD, cache).deck is not None
    assert list(cache.iterdir()) == []


def test_decks_unused_for_longest_go_first(tmp_path: Path, cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(compiled, "MOST_KEPT", 3)
    path = tmp_path / "deck.toml"
    for number in range(5):
        path.write_text(GUARD.read_text("utf-8").replace("Gate Guard", f"Guard {number}"), "utf-8")
        open_checked(path, cache)
        for file in cache.iterdir():
            os.utime(file, (file.stat().st_mtime - 100, file.stat().st_mtime - 100))
    titles = {json.loads(file.read_bytes().partition(b"\n")[2])["deck"]["title"][-7:] for file in cache.iterdir()}
    assert titles == {"Guard 2", "Guard 3", "Guard 4"}


def test_what_is_kept_is_plain_data_of_the_file(cache: Path) -> None:
    open_checked(GUARD, cache)
    data = json.loads(only_file(cache).read_bytes().partition(b"\n")[2])
    assert data == read_deck(GUARD).data
    assert build(data) == read_deck(GUARD).deck


def test_the_gate_says_what_is_wrong_with_a_file_that_is_none(tmp_path: Path, cache: Path) -> None:
    big = tmp_path / "big.toml"
    big.write_bytes(b"#" * (compiled.MOST_BYTES + 1))
    for path, told in [(tmp_path, "folder"), (tmp_path / "none.toml", "no such file"), (big, "larger than")]:
        opened = open_checked(path, cache)
        assert opened.deck is None
        assert told in opened.problems[0].message


def test_opening_from_the_cache_imports_nothing_slow(cache: Path) -> None:
    open_checked(GUARD, cache)
    code = (
        "import sys; from pathlib import Path; from trainer.authoring.compiled import open_checked;"
        f"deck = open_checked(Path({str(GUARD)!r}), Path({str(cache)!r})).deck; assert deck is not None;"
        f"print([name for name in {SLOW!r} if name in sys.modules])"
    )
    ran = subprocess.run(
        [sys.executable, "-I", "-S", "-c", f"import sys; sys.path[:0] = {[os.getcwd()]!r}; {code}"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert (ran.stdout, ran.stderr) == ("[]\n", "")
