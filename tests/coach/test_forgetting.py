"""Taking a candidate off the laptop: his packets go with him, nobody else's do."""

from pathlib import Path

import pytest

from tests.coach.sitting import START
from trainer.coach.candidate import create, random_id, settings
from trainer.coach.forgetting import forget
from trainer.coach.packets import make_packet
from trainer.paths import Home, private_folder


@pytest.fixture
def home(tmp_path: Path) -> Home:
    return Home(tmp_path / "home")


def someone(home: Home, handle: str) -> str:
    candidate = create(home, settings(handle), START)
    candidate.close()
    return candidate.id


def waiting(home: Home, handle: str) -> Path:
    """Let a packet wait as an evening leaves it: of the same handle, under an id of its own."""
    elsewhere = create(Home(home.root.parent / random_id()), settings(handle), START)
    private_folder(home.packets)
    path = home.packets / f"{random_id()}.packet"
    make_packet(elsewhere, path)
    elsewhere.close()
    return path


def test_packets_under_his_name_go_and_others_stay(home: Home) -> None:
    ash = someone(home, "Ash")
    his, another = waiting(home, "ash"), waiting(home, "Ashley")
    damaged, foreign = home.packets / "damaged.packet", home.packets / "notes.txt"
    damaged.write_bytes(his.read_bytes()[:200])
    foreign.write_text("Ash")
    removed = forget(home, ash)
    assert (removed.packets, removed.record) == (1, 1)
    assert set(home.packets.iterdir()) == {another, damaged, foreign}


def test_a_packet_that_may_be_another_s_stays(home: Home) -> None:
    one, other = someone(home, "Ash"), someone(home, "ASH")
    path = waiting(home, "Ash")
    assert forget(home, one).packets == 0
    assert path.exists(), "whose it is nobody knows"
    assert forget(home, other).packets == 1
    assert not path.exists()


def test_a_record_that_cannot_be_read_takes_no_packet_along(home: Home) -> None:
    ash = someone(home, "Ash")
    path = waiting(home, "Ash")
    home.record(ash).write_bytes(b"")
    removed = forget(home, ash)
    assert (removed.packets, removed.record) == (0, 1)
    assert path.exists()
