"""A packet is taken whole or not at all; ordinary accidents of mail and editors are forgiven."""

import base64
import gzip
import io
import json
import os
import sys
import zipfile
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.records.samples import CANDIDATE, DEVICE, moment, question
from tests.records.travelling import changed, filled, key_in, lines_of, packet_of, sealed
from trainer.paths import write_private
from trainer.records import bodies, drafts, events, packet, signing
from trainer.records.events import Event, canonical_bytes
from trainer.records.log import Log
from trainer.records.packet import PacketError, packed, unpacked, without_notes
from trainer.records.signing import Key, NoSigningError, SigningError, device_key, fingerprint, fits


@pytest.fixture(scope="module")
def key(tmp_path_factory: pytest.TempPathFactory) -> Key:
    return key_in(tmp_path_factory.mktemp("key"))


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> list[Event]:
    with filled(tmp_path_factory.mktemp("log") / "fox.db", questions=1) as log:
        return log.events()


@pytest.fixture(scope="module")
def good(told: list[Event], key: Key) -> bytes:
    return packed(CANDIDATE, DEVICE, told, key)


def refused(raw: bytes, *words: str) -> str:
    with pytest.raises(PacketError) as caught:
        unpacked(raw)
    text = str(caught.value)
    assert text.endswith(".")
    assert "\n" not in text
    assert "Traceback" not in text
    assert text.isprintable()
    for word in words:
        assert word in text
    return text


def with_events(told: list[Event], key: Key) -> bytes:
    """A packet signed by a key that is accepted, but put together by other means than ours."""
    head = {"candidate": CANDIDATE, "device": DEVICE, "events": len(told), "form": packet.FORM, "version": 1}
    first = json.dumps(head, sort_keys=True, separators=(",", ":")).encode()
    return sealed([first, *(canonical_bytes(event) for event in told)], key)


def test_the_events_come_out_as_they_went_in(good: bytes, told: list[Event], key: Key) -> None:
    found = unpacked(good)
    assert list(found.events) == told
    assert (found.candidate, found.device, found.key) == (CANDIDATE, DEVICE, key.public)
    assert with_events(told, key) == good


def test_signing_follows_the_published_vector() -> None:
    """RFC 8032 (2017), section 7.1, test 1: secret and public key; the signature over our own bound content fits."""
    secret = bytes.fromhex("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60")
    public = bytes.fromhex("d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a")
    assert signing._public(secret) == public
    signature = Key(secret, public).sign(b"x")
    assert fits(public, signature, b"x")
    assert not fits(public, signature, b"y")
    # OpenSSL underneath is asked directly: what is signed is the prefix, the length and the bytes.
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

    Ed25519PublicKey.from_public_bytes(public).verify(signature, b"packet/1 1\nx")


def test_every_prefix_is_refused(good: bytes) -> None:
    for end in range(len(good)):
        refused(good[:end])


def test_every_flipped_bit_is_refused(good: bytes) -> None:
    whole = bytearray(good)
    for bit in range(8 * len(whole)):
        whole[bit // 8] ^= 1 << bit % 8
        with pytest.raises(PacketError):
            unpacked(bytes(whole))
        whole[bit // 8] ^= 1 << bit % 8


@given(bom=st.booleans(), crlf=st.booleans(), blank=st.integers(0, 3))
def test_what_mail_and_editors_add_is_taken_off(bom: bool, crlf: bool, blank: int) -> None:
    key = Key(bytes(32), signing._public(bytes(32)))
    raw = packed(CANDIDATE, DEVICE, [], key)
    carried = raw + b"\n" * blank
    carried = carried.replace(b"\n", b"\r\n") if crlf else carried
    assert unpacked((b"\xef\xbb\xbf" if bom else b"") + carried) == unpacked(raw)


def test_another_order_of_lines_is_refused(good: bytes) -> None:
    lines = good.split(b"\n")
    lines[1], lines[2] = lines[2], lines[1]
    refused(b"\n".join(lines), "signature does not fit")


def test_two_packets_pasted_together_are_refused(good: bytes) -> None:
    refused(good + good, "signature does not fit")


@pytest.mark.parametrize("by", [-1, 1])
def test_a_wrong_number_of_events_is_refused(good: bytes, key: Key, by: int) -> None:
    lines = lines_of(good)
    head = json.loads(lines[0])
    head["events"] += by
    lines[0] = json.dumps(head, sort_keys=True, separators=(",", ":")).encode()
    refused(sealed(lines, key), "events and holds")


def test_a_signature_by_another_key_is_refused(good: bytes, tmp_path: Path) -> None:
    other = key_in(tmp_path)
    seal = json.loads(good.rstrip(b"\n").split(b"\n")[-1])
    forged = {"key": other.public.hex(), "sig": seal["sig"]}
    last = json.dumps(forged, sort_keys=True, separators=(",", ":")).encode()
    refused(b"\n".join([*lines_of(good), last]) + b"\n", "signature does not fit")


def test_a_signature_over_another_kind_of_thing_is_refused(good: bytes, key: Key) -> None:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    secret = Ed25519PrivateKey.from_private_bytes(key.secret)
    for prefix in (b"", b"letter/1 ", b"packet/2 "):

        def sign(content: bytes, prefix: bytes = prefix) -> bytes:
            return secret.sign(prefix + content)

        refused(sealed(lines_of(good), key, sign), "signature does not fit")


def test_a_newer_form_is_told_as_one(good: bytes, key: Key) -> None:
    lines = lines_of(good)
    lines[0] = lines[0].replace(b'"version":1', b'"version":2')
    refused(sealed(lines, key), "newer version of this program", "update")
    refused(sealed(lines, key)[:-3] + b'0"}\n')  # also where a newer one is signed in another way
    refused(sealed(lines, key, lambda _: bytes(64)), "newer version")


@pytest.mark.parametrize("head", [b'{"form":"stepcall-packet"}', b'{"form":"stepcall-packet","version":1}', b"[1]"])
def test_a_signed_head_that_is_none_is_refused(good: bytes, key: Key, head: bytes) -> None:
    refused(sealed([head, *lines_of(good)[1:]], key))


def test_limits_hold_before_anything_is_read(good: bytes, key: Key) -> None:
    def never(*_: object) -> bool:
        raise AssertionError("the signature was looked at")

    first = lines_of(good)[0]
    long = b'{"a":"' + b"x" * packet.MOST_LINE + b'"}'
    for raw, word in (
        (bytes(packet.MOST_BYTES + 1), "larger than any packet"),
        (sealed([first, long], key), "Line 2 is longer"),
        (sealed([first, *[b"{}"] * 100_001], key), "more than 100000 events"),
    ):
        with pytest.raises(PacketError, match=word):
            unpacked(raw, never)


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("seq", 0),
        ("seq", -1),
        ("seq", 2**63),
        ("at_ms", -1),
        ("at_ms", 2**63),
        ("tick_ms", -1),
        ("tick_ms", 2**63),
        ("offset", 1440),
        ("id", "x"),
        ("prev", "zz"),
        ("device", "../../etc"),
        ("candidate", "candidate-2"),
        ("seq", True),
        ("seq", "1"),
    ],
)
def test_a_signed_event_with_a_wrong_header_is_refused(told: list[Event], key: Key, field: str, value: object) -> None:
    text = refused(with_events([told[0], changed(told[1], **{field: value})], key), "Line 3")
    assert "othing was taken" in text


@pytest.mark.parametrize("at_ms", [0, 4_070_908_800_000], ids=["1970", "2099"])
def test_no_clock_is_a_reason_to_refuse(told: list[Event], key: Key, at_ms: int) -> None:
    assert unpacked(with_events([changed(told[0], at_ms=at_ms)], key)).events[0].header.at_ms == at_ms


@pytest.mark.parametrize(
    "line",
    [
        b'{"a":NaN}',
        b"[" * 8000,
        b"[" * 8000 + b"]" * 8000,
        b'"\\ud800"',
        b"\xff\xfe",
        b"{}",
        b"",
        b"null",
        b"1" * 5000,
    ],
    ids=["nan", "unclosed", "nested", "surrogate", "bytes", "empty", "blank", "null", "long number"],
)
def test_a_signed_line_that_is_no_event_is_refused(told: list[Event], key: Key, line: bytes) -> None:
    good = lines_of(with_events(told, key))
    refused(sealed([good[0], *good[1:-1], line], key))


def test_a_signed_event_in_any_other_spelling_is_refused(told: list[Event], key: Key) -> None:
    plain = canonical_bytes(told[0])
    head = lines_of(with_events(told[:1], key))[0]
    twice = plain.replace(b'"offset":60', b'"offset":0,"offset":60')
    blanks = plain.replace(b'","', b'", "')
    more = plain[:-1] + b',"zzz":1}'
    nested = plain.replace(b'"value":"Fox"', b'"value":' + b"[" * 3000 + b"]" * 3000)
    lone = plain.replace(b"Fox", b"\\ud800")
    escape = plain.replace(b"Fox", b"\\u001b[31m")
    for line in (twice, blanks, more, nested, lone, escape):
        assert line != plain
        refused(sealed([head, line], key), "Line 2")


def test_files_that_are_no_packets_say_what_they_are(good: bytes, tmp_path: Path) -> None:
    zipped = io.BytesIO()
    with zipfile.ZipFile(zipped, "w") as archive:
        archive.writestr("packet", good)
    refused(gzip.compress(good), "compressed", "unpack it")
    refused(zipped.getvalue(), "compressed")
    refused(good.decode().encode("utf-16"), "UTF-16")
    refused(b"", "empty")
    refused(b"\xef\xbb\xbf\r\n \n", "empty")
    refused(b"# a letter\nabout a packet\n", "no packet")
    refused(base64.b64encode(good) + b"\n", "no packet")
    refused(b"SQLite format 3\0" + bytes(100), "is a record and no packet")
    refused(good.splitlines()[0] + b"\n", "cut short")
    refused(bytes(range(256)))


def test_notes_stay_unless_asked(tmp_path: Path, key: Key) -> None:
    with filled(tmp_path / "fox.db", questions=1) as log:
        noted = log.append(*drafts.note("private words"), moment(1))
        log.append(*drafts.replacement(noted.header.id, drafts.note("other words")), moment(2))
        log.append(*drafts.void(noted.header.id), moment(3))
        sent = packed(CANDIDATE, DEVICE, without_notes(log.events()), key)
        assert b"words" not in sent
        assert len(unpacked(sent).events) == len(log.events()) - 2
        assert b"private words" in packet_of(log, key)


def test_a_record_that_is_too_large_makes_no_packet(
    told: list[Event], key: Key, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(packet, "MOST_EVENTS", len(told) - 1)
    with pytest.raises(PacketError, match="too large"):
        packed(CANDIDATE, DEVICE, told, key)


@given(st.integers(0, 6), st.integers(0, 3))
def test_any_history_survives_the_journey(questions: int, size: int) -> None:
    key = Key(bytes(32), signing._public(bytes(32)))
    with _record(questions, size) as log:
        assert list(unpacked(packet_of(log, key)).events) == log.events()


def _record(questions: int, size: int) -> Log:
    from tests.records.samples import small_folder

    with small_folder() as folder:  # the open file outlives its name
        log = Log.create(Path(folder, "x.db"), CANDIDATE, DEVICE)
        for number in range(questions):
            log.append_many(question(number, size), moment(number))
        return log


# ---------------------------------------------------------------- keys


def test_a_key_is_made_once_and_for_its_owner_only(tmp_path: Path) -> None:
    made = device_key(tmp_path / "new" / "key", write_private)
    assert device_key(tmp_path / "new" / "key", write_private) == made
    assert (tmp_path / "new" / "key").stat().st_mode & 0o777 == 0o600
    assert [p.name for p in (tmp_path / "new").iterdir()] == ["key"]
    assert len(fingerprint(made.public)) == 19
    assert made != device_key(tmp_path / "other", write_private)


@pytest.mark.parametrize("content", [b"", b"stepcall-key/1 zz\n", b"stepcall-key/1 00\n", b"other", b"\xff"])
def test_a_spoilt_key_is_told_and_left_as_it_is(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "key"
    path.write_bytes(content)
    with pytest.raises(SigningError, match="backup copy"):
        device_key(path, write_private)
    assert path.read_bytes() == content


def test_without_the_library_nothing_is_made_or_read(
    good: bytes, key: Key, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("cryptography", "cryptography.exceptions", "cryptography.hazmat.primitives.asymmetric.ed25519"):
        monkeypatch.setitem(sys.modules, name, None)
    with pytest.raises(NoSigningError, match=r"pip install 'stepcall\[sign\]'"):
        unpacked(good)
    with pytest.raises(NoSigningError):
        packed(CANDIDATE, DEVICE, [], key)
    with pytest.raises(NoSigningError):
        device_key(tmp_path / "key", write_private)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("letter", ["a", "\u0436", "\U00010400"])
def test_the_longest_note_travels_in_any_script(letter: str, tmp_path: Path, key: Key) -> None:
    with filled(tmp_path / "fox.db") as log:
        log.append(*drafts.note(letter * bodies.LONGEST_NOTE, about=letter * bodies.LONGEST_WORD), moment(5))
        assert list(unpacked(packed(CANDIDATE, DEVICE, log.events(), key)).events) == log.events()


@pytest.mark.parametrize("more", [0, 1])
def test_what_is_too_long_to_be_read_is_not_written(more: int, tmp_path: Path, key: Key) -> None:
    with filled(tmp_path / "fox.db") as log:
        spare = packet.MOST_LINE + more - len(canonical_bytes(log.append(*with_words([]), moment(5))))
        words = ["x" * bodies.LONGEST_WORD] * (spare // (bodies.LONGEST_WORD + 3))
        words.append("x" * (spare - len(words) * (bodies.LONGEST_WORD + 3) - 2))
        long = changed_words(log.events()[-1], words)
    assert len(canonical_bytes(long)) == packet.MOST_LINE + more
    if not more:
        assert unpacked(packed(CANDIDATE, DEVICE, [long], key)).events == (long,)
        return
    with pytest.raises(PacketError) as caught:
        packed(CANDIDATE, DEVICE, [long], key)
    assert str(caught.value) == (
        f"The tasking {long.header.id} has 65537 bytes; a line of a packet has 65536 at most, so none was made. "
        "Carry a copy of the record file instead; the doctor says where it is."
    )


def with_words(words: list[str]) -> events.Draft:
    return drafts.tasking(work=words, until="2026-12-01", sponsor="Owl")


def changed_words(event: Event, words: list[str]) -> Event:
    return event._replace(body={**event.body, "work": words})


def test_a_key_is_written_whole_by_a_disk_that_takes_a_few_bytes_at_a_time(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write = os.write
    monkeypatch.setattr(os, "write", lambda handle, content: write(handle, content[:5]))
    made = device_key(tmp_path / "key", write_private)
    monkeypatch.undo()
    assert device_key(tmp_path / "key", write_private) == made
    assert (tmp_path / "key").stat().st_mode & 0o777 == 0o600
    assert [path.name for path in tmp_path.iterdir()] == ["key"]
