"""From the candidate's laptop to the sponsor's and back: a key is accepted once; what is refused changes nothing."""

import shutil
from pathlib import Path

import pytest

from tests.coach.sitting import GUARD, START, later
from tests.records.travelling import changed
from trainer.coach import packets
from trainer.coach.candidate import Candidate, create, device_id, open_candidate, settings
from trainer.coach.packets import (
    PacketRefusedError,
    Taken,
    accepted_keys,
    made_lines,
    make_packet,
    own_fingerprint,
    read_packet,
    taken_lines,
)
from trainer.paths import Home, write_private
from trainer.records.clock import Moment
from trainer.records.drafts import note, setting, tasking
from trainer.records.packet import packed
from trainer.records.signing import Key, device_key

DAY = 86_400_000


@pytest.fixture
def fox(tmp_path: Path) -> Candidate:
    return create(Home(tmp_path / "fox"), settings("Fox", GUARD, None, 10), START)


@pytest.fixture
def desk(tmp_path: Path) -> Home:
    return Home(tmp_path / "desk")


@pytest.fixture
def file(fox: Candidate, tmp_path: Path) -> Path:
    make_packet(fox, tmp_path / "fox.packet")
    return tmp_path / "fox.packet"


def took(desk: Home, file: Path, fox: Candidate, moment: Moment = START) -> Taken:
    return read_packet(desk, file, moment, accept=own_fingerprint(fox.home), new=True)


def everything(home: Home) -> dict[str, bytes]:
    return {str(path): path.read_bytes() for path in home.root.rglob("*") if path.is_file()}


def key_of(candidate: Candidate) -> Key:
    return device_key(candidate.home.device_key, write_private)


def test_a_key_is_accepted_once(fox: Candidate, desk: Home, file: Path, tmp_path: Path) -> None:
    with pytest.raises(PacketRefusedError, match="have not accepted") as caught:
        read_packet(desk, file, START, new=True)
    both = f'--new --accept "{own_fingerprint(fox.home)}"'
    with pytest.raises(PacketRefusedError, match=both):
        read_packet(desk, file, START, accept=own_fingerprint(fox.home))
    assert own_fingerprint(fox.home) in str(caught.value)
    assert everything(desk) == {}
    first = took(desk, file, fox)
    assert (first.newly_accepted, first.created, first.handle) == (True, True, "Fox")
    fox.set([setting("minutes", 20)], later(days=1))
    make_packet(fox, tmp_path / "second.packet")
    second = read_packet(desk, tmp_path / "second.packet", later(days=1))
    assert (second.newly_accepted, second.created, second.merged.new) == (False, False, 1)
    assert second.accepted == first.accepted
    text = "\n".join(taken_lines(second))
    assert "you accepted on Tuesday 24 November 2026" in text
    assert "accepted from now on" in "\n".join(taken_lines(first))
    assert "accepted from now on" not in text
    assert "does not show who sat at the keyboard" in text


def test_a_wrong_fingerprint_is_told(fox: Candidate, desk: Home, file: Path) -> None:
    with pytest.raises(PacketRefusedError, match="you gave is another one"):
        read_packet(desk, file, START, accept="0000 0000 0000 0000", new=True)
    with pytest.raises(PacketRefusedError, match="another one"):
        read_packet(desk, file, START, accept=own_fingerprint(fox.home)[:9], new=True)
    assert everything(desk) == {}
    assert took(desk, file, fox).merged.new > 0


def test_a_fingerprint_may_be_given_in_capitals_and_without_blanks(fox: Candidate, desk: Home, file: Path) -> None:
    accept = own_fingerprint(fox.home).replace(" ", "").upper()
    assert read_packet(desk, file, START, accept=accept, new=True).newly_accepted


def test_a_laptop_with_another_key_is_accepted_anew(fox: Candidate, desk: Home, file: Path, tmp_path: Path) -> None:
    took(desk, file, fox)
    fox.home.device_key.unlink()
    make_packet(fox, tmp_path / "second.packet")
    before = everything(desk)
    with pytest.raises(PacketRefusedError, match="came with another key before, accepted on Tuesday"):
        read_packet(desk, tmp_path / "second.packet", START)
    assert everything(desk) == before


def test_a_new_candidate_is_taken_in_only_when_told_to(fox: Candidate, desk: Home, file: Path) -> None:
    with pytest.raises(PacketRefusedError, match=r"no record here.*--new"):
        read_packet(desk, file, START, accept=own_fingerprint(fox.home))
    assert everything(desk) == {}


def test_the_wrong_candidate_is_told(fox: Candidate, desk: Home, file: Path) -> None:
    took(desk, file, fox)
    before = everything(desk)
    with pytest.raises(PacketRefusedError, match="of Fox and not of the candidate you named"):
        read_packet(desk, file, START, candidate="0" * 32)
    assert everything(desk) == before


def test_a_tasking_comes_back(fox: Candidate, desk: Home, file: Path, tmp_path: Path) -> None:
    took(desk, file, fox)
    there = open_candidate(desk, fox.id)
    there.set([tasking(work=["turn-port"], until="2026-12-01", sponsor="Owl")], later(days=1))
    make_packet(there, tmp_path / "back.packet")
    back = read_packet(fox.home, tmp_path / "back.packet", later(days=1), accept=own_fingerprint(desk))
    assert (back.merged.new, back.created) == (1, False)
    assert [e.kind for e in fox.events()].count("tasking") == 1
    assert list(fox.events()) == list(there.events())


def test_what_was_recorded_here_before_is_told(fox: Candidate, desk: Home, file: Path, tmp_path: Path) -> None:
    """The record was lost on the laptop that made it, and comes back from the sponsor's."""
    taken = took(desk, file, fox)
    there = open_candidate(desk, fox.id)
    make_packet(there, tmp_path / "back.packet")
    number = len(list(fox.events()))
    fox.close()
    fox.home.record(fox.id).unlink()
    back = read_packet(fox.home, tmp_path / "back.packet", START, accept=own_fingerprint(desk), new=True)
    assert (taken.merged.own, back.merged.own) == (0, number)
    assert f"{number} events of them were recorded on this laptop before and no longer here." in taken_lines(back)


def test_notes_stay_here_unless_asked(fox: Candidate, tmp_path: Path) -> None:
    fox.set([note("sprained ankle")], later(days=1))
    made = make_packet(fox, tmp_path / "without.packet")
    assert b"ankle" not in (tmp_path / "without.packet").read_bytes()
    assert made.kept_back == 1
    assert any("kept back" in line for line in made_lines(made))
    assert make_packet(fox, tmp_path / "with.packet", notes=True).kept_back == 0
    assert b"ankle" in (tmp_path / "with.packet").read_bytes()


def test_no_name_of_laptop_or_user_travels(fox: Candidate, file: Path) -> None:
    import getpass
    import platform

    content = file.read_text("ascii")
    assert str(fox.home.root) not in content
    for name in (platform.node(), getpass.getuser()):
        assert f'"{name}"' not in content


def test_a_clock_years_off_is_told_and_refused_nothing(fox: Candidate, desk: Home, file: Path, tmp_path: Path) -> None:
    took(desk, file, fox)
    fox.set([setting("minutes", 20)], later(days=900))
    fox.set([setting("minutes", 25)], later(days=1))
    make_packet(fox, tmp_path / "second.packet")
    taken = read_packet(desk, tmp_path / "second.packet", later(days=1))
    text = "\n".join(taken_lines(taken))
    assert taken.merged.new == 2
    assert "looks 899 days ahead" in text
    assert "went back by 899 days" in text


def test_a_copied_laptop_gets_a_new_id(fox: Candidate, tmp_path: Path) -> None:
    """The whole folder was copied to another laptop, and both went on."""
    twin_home = Home(tmp_path / "twin")
    own_fingerprint(fox.home)
    shutil.copytree(fox.home.root, twin_home.root)
    twin = open_candidate(twin_home, fox.id)
    twin.set([setting("minutes", 20)], later(days=1))
    fox.set([setting("minutes", 25)], later(days=1))
    make_packet(twin, tmp_path / "twin.packet")
    before = device_id(fox.home)
    taken = read_packet(fox.home, tmp_path / "twin.packet", later(days=2))
    assert taken.new_device
    assert device_id(fox.home) != before
    assert any("new id from now on" in line for line in taken_lines(taken))
    again = open_candidate(fox.home, fox.id)
    again.set([setting("minutes", 30)], later(days=3))
    assert again.events()[-1].header.device == device_id(fox.home)
    assert again.log.verify() == []


def unwritable(monkeypatch: pytest.MonkeyPatch, *paths: Path) -> None:
    """Let some files be kept no more, as on a disk that is full."""

    def write(path: Path, content: bytes) -> None:
        if path in paths:
            raise OSError(28, "No space left on device")
        write_private(path, content)

    monkeypatch.setattr(packets, "write_private", write)


def test_a_copied_laptop_gets_its_new_id_even_where_a_key_cannot_be_kept(
    fox: Candidate, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    twin_home = Home(tmp_path / "twin")
    shutil.copytree(fox.home.root, twin_home.root)
    open_candidate(twin_home, fox.id).set([setting("minutes", 20)], later(days=1))
    fox.set([setting("minutes", 25)], later(days=1))
    make_packet(open_candidate(twin_home, fox.id), tmp_path / "twin.packet")
    own_fingerprint(fox.home)
    before = device_id(fox.home)
    unwritable(monkeypatch, fox.home.device, fox.home.accepted_keys)
    accept = own_fingerprint(twin_home)
    with pytest.raises(PacketRefusedError) as caught:
        read_packet(fox.home, tmp_path / "twin.packet", later(days=2), accept=accept)
    assert str(caught.value) == (
        "The packet was taken, but this laptop could get no new id, and records under one that another laptop uses too "
        "(No space left on device); mend that and read it again."
    )
    assert device_id(fox.home) == before
    monkeypatch.undo()
    unwritable(monkeypatch, fox.home.accepted_keys)
    with pytest.raises(PacketRefusedError) as caught:
        read_packet(fox.home, tmp_path / "twin.packet", later(days=2), accept=accept)
    assert str(caught.value) == (
        "The packet was taken, but its key could not be kept, and you will be asked for it again "
        "(No space left on device); mend that and read it again."
    )
    new = device_id(fox.home)
    assert new != before
    monkeypatch.undo()
    taken = read_packet(fox.home, tmp_path / "twin.packet", later(days=2), accept=accept)
    assert (taken.merged.new, taken.newly_accepted, taken.new_device) == (0, True, False)
    assert device_id(fox.home) == new


@pytest.mark.parametrize("content", [b"", b"stepcall-key/1 zz\n", b"\xff"])
def test_a_spoilt_key_of_this_laptop_is_a_sentence(fox: Candidate, desk: Home, file: Path, content: bytes) -> None:
    took(desk, file, fox)
    desk.accepted_keys.unlink()
    desk.device_key.write_bytes(content)
    before = everything(desk)
    with pytest.raises(PacketRefusedError, match="backup copy in its place"):
        took(desk, file, fox)
    assert everything(desk) == before


def test_conflicts_are_told(fox: Candidate, desk: Home, file: Path, tmp_path: Path) -> None:
    took(desk, file, fox)
    events = list(fox.events())
    forged = [events[0]._replace(body={**events[0].body, "value": "Wolf"}), *events[1:]]
    (tmp_path / "forged").write_bytes(packed(fox.id, device_id(fox.home), forged, key_of(fox)))
    taken = read_packet(desk, tmp_path / "forged", START)
    assert taken.merged.conflicting == (events[0].header.id,)
    assert any("other content" in line for line in taken_lines(taken))
    assert taken.handle == "Fox"


def test_nothing_changes_when_the_record_cannot_be_made(fox: Candidate, desk: Home, file: Path, tmp_path: Path) -> None:
    """An event of another candidate, signed by an accepted key: no record is left behind."""
    events = list(fox.events())
    bad = [changed(events[0], candidate="candidate-2"), *events[1:]]
    (tmp_path / "bad").write_bytes(packed(fox.id, device_id(fox.home), bad, key_of(fox)))
    with pytest.raises(PacketRefusedError, match="another candidate"):
        took(desk, tmp_path / "bad", fox)
    assert everything(desk) == {}


def test_hostile_handles_are_shown_as_text(fox: Candidate, desk: Home, tmp_path: Path) -> None:
    """A candidate's name is untrusted: it may hold nothing that acts on a terminal, signed or not."""
    from trainer.records.events import Event

    first = fox.events()[0]
    for handle in ("\x1b[31mFox", "[red]x[/red]", "\u202efox"):
        event = Event(first.header, "setting", {"name": "handle", "value": handle})
        (tmp_path / "x").write_bytes(packed(fox.id, device_id(fox.home), [event], key_of(fox)))
        with pytest.raises(PacketRefusedError) as caught:
            read_packet(desk, tmp_path / "x", START)
        assert "\x1b" not in str(caught.value)
        assert "\u202e" not in str(caught.value)


def test_spoilt_accepted_keys_are_not_silently_forgotten(fox: Candidate, desk: Home, file: Path) -> None:
    took(desk, file, fox)
    assert len(accepted_keys(desk)) == 1
    for content in (b"", b"[]", b'{"x": 1}', b"\xff"):
        desk.accepted_keys.write_bytes(content)
        with pytest.raises(PacketRefusedError, match="accept each key anew"):
            read_packet(desk, file, START)
