"""An evening's packet: written on the laptop of the evening, taken into a record at home."""

from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import pytest

from tests.coach.sitting import START, candidate_in, later
from tests.group.sitting import AT_MS, all_points, begun, play
from trainer.coach.candidate import Candidate, create, profile_of, settings
from trainer.coach.history import history
from trainer.coach.packets import make_packet
from trainer.group.evening import Evening
from trainer.group.journal import EveningError
from trainer.group.taking import take_evening, write_packet
from trainer.group.turns import LIVE, QUESTION
from trainer.paths import Home
from trainer.quiz.points import Point
from trainer.records.drafts import trial, verdict
from trainer.records.packet import unpacked


class Hall(NamedTuple):
    """An evening on one laptop, and Ada's own record on another."""

    evening: Evening
    known: dict[str, Point]
    away: Home
    own: Candidate


@pytest.fixture
def hall(tmp_path: Path) -> Hall:
    own, deck = candidate_in(tmp_path / "at home")
    own.set(settings("ada"), START)
    evening, _ = begun(deck, kinds=(QUESTION, LIVE))
    for place in range(16):
        play(evening, right=place % 4 == 0)
    return Hall(evening, {point.id: point for point in all_points(deck)}, Home(tmp_path / "away"), own)


def test_a_packet_brings_answers_home_with_their_own_times(hall: Hall) -> None:
    path = write_packet(hall.evening, "Ada", hall.known, hall.away, START)
    assert hall.evening.handed["Ada"] == f"packet {path.name}"
    before = len(hall.own.events())
    number = take_evening(path, hall.own.log)
    came = hall.own.events()[before:]
    mine = [pair for who, told in hall.evening.answers if who == "Ada" for pair in told.marks]
    answers = [event for event in hall.own.events() if event.kind == "answer"]
    assert number == len(came)
    assert {event.kind for event in came} <= {"answer", "trial"}, "the settings of the packet stay out"
    assert {event.header.at_ms for event in answers} == {AT_MS}
    past = history(hall.own.events(), list(hall.known.values()), later(days=0.2))
    assert [(one.item, one.right) for one in past.evidence] == mine
    assert hall.own.log.verify() == []


def test_a_packet_is_taken_once(hall: Hall) -> None:
    path = write_packet(hall.evening, "Ada", hall.known, hall.away, START)
    take_evening(path, hall.own.log)
    before = hall.own.events()
    with pytest.raises(EveningError, match="in the record already"):
        take_evening(path, hall.own.log)
    assert hall.own.events() == before


def test_somebody_elses_evening_is_taken_only_by_who_is_sure(hall: Hall) -> None:
    path = write_packet(hall.evening, "Ben", hall.known, hall.away, START)
    before = hall.own.events()
    with pytest.raises(EveningError, match=r"evening of Ben.*--candidate"):
        take_evening(path, hall.own.log)
    assert hall.own.events() == before
    assert take_evening(path, hall.own.log, sure=True)


def test_who_has_no_record_anywhere_begins_one_with_it(hall: Hall) -> None:
    packet = unpacked(write_packet(hall.evening, "Ben", hall.known, hall.away, START).read_bytes())
    assert profile_of(packet.events).handle == "Ben"
    assert profile_of(packet.events).deck == hall.evening.deck.id


def test_a_packet_that_is_there_is_never_written_over(hall: Hall) -> None:
    """Two names may come to the same word of a file, and neither may lose his evening."""
    hall.evening.rename("Ben", "Jörg")
    hall.evening.rename("Cem", "Järg")
    one = write_packet(hall.evening, "Jörg", hall.known, hall.away, START)
    content = one.read_bytes()
    other = write_packet(hall.evening, "Järg", hall.known, hall.away, START)
    assert other != one
    assert one.read_bytes() == content
    assert [profile_of(unpacked(path.read_bytes()).events).handle for path in (one, other)] == ["Jörg", "Järg"]


def test_a_packet_whose_step_cannot_be_kept_is_not_left(hall: Hall, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise EveningError("no room")

    with monkeypatch.context() as during:
        during.setattr(hall.evening, "_keep", full)
        with pytest.raises(EveningError, match="no room"):
            write_packet(hall.evening, "Ada", hall.known, hall.away, START)
    assert list(hall.away.packets.iterdir()) == []
    assert hall.evening.handed == {}
    assert write_packet(hall.evening, "Ada", hall.known, hall.away, START).is_file()


def test_nothing_but_answers_and_performances_comes_in(hall: Hall, tmp_path: Path) -> None:
    """A verdict, or a trial on the ground, that calls itself one of an evening is none."""
    forged = create(Home(tmp_path / "forger"), settings("Ada", hall.evening.deck.id), START)
    deck, run = hall.evening.deck.id, "evening-1"
    drafts = [
        trial(run=run, measure="halt", number=1, go=True, deck=deck, held="group"),
        trial(run=run, measure="halt", number=2, go=True, deck=deck),
        verdict(run=run, go=True, deck=deck),
    ]
    forged.log.append_many(drafts, START)
    assert take_evening(make_packet(forged, tmp_path / "forged.packet").path, hall.own.log) == 1
    came = [event for event in hall.own.events() if event.body.get("run") == run]
    assert [(event.kind, event.body["number"]) for event in came] == [("trial", 1)]


def test_a_name_that_no_disk_takes_gives_a_file_by_its_place(hall: Hall) -> None:
    hall.evening.rename("Ben", "Жук/..")
    assert write_packet(hall.evening, "Жук/..", hall.known, hall.away, START).name.endswith("-place-2.packet")


def test_who_did_nothing_takes_nothing_home(hall: Hall) -> None:
    hall.evening.sit_down("Eva")
    with pytest.raises(EveningError, match="nothing of Eva's to take home"):
        write_packet(hall.evening, "Eva", hall.known, hall.away, START)
    assert "Eva" not in hall.evening.handed


def _cut(content: bytes) -> bytes:
    return content[: len(content) // 2]


def _changed(content: bytes) -> bytes:
    return content.replace(b'"right":false', b'"right":true', 1)


@pytest.mark.parametrize("spoil", [_cut, _changed], ids=["cut", "changed"])
def test_a_spoilt_packet_changes_nothing(hall: Hall, spoil: Callable[[bytes], bytes]) -> None:
    path = write_packet(hall.evening, "Ada", hall.known, hall.away, START)
    content = path.read_bytes()
    assert spoil(content) != content
    path.write_bytes(spoil(content))
    before = hall.own.events()
    with pytest.raises(EveningError):
        take_evening(path, hall.own.log)
    assert hall.own.events() == before


def test_a_packet_of_another_kind_says_what_takes_it(hall: Hall, tmp_path: Path) -> None:
    other = create(Home(tmp_path / "other"), settings("Fay", hall.evening.deck.id), START)
    made = make_packet(other, tmp_path / "fay.packet")
    with pytest.raises(EveningError, match="stepcall packet read"):
        take_evening(made.path, hall.own.log)
