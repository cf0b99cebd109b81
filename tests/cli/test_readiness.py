"""The forecast from outside."""

from datetime import date, timedelta
from pathlib import Path

import pytest

from tests.cli.running import objects, stepcall


def test_json_of_a_candidate_who_has_answered_nothing(heron: Path) -> None:
    (told,) = objects(stepcall(heron, "readiness", "--json"))
    assert told["deck"] == "us-army-individual-drill"
    assert told["test_date"] == (date.today() + timedelta(days=12)).isoformat()
    assert told["days_left"] == 12
    assert 0 <= told["chance"]["low"] <= told["chance"]["go"] <= told["chance"]["high"] <= 1
    assert told["points"]["asked"] == 0 < told["points"]["total"]
    kinds = {row["kind"] for row in told["measures"]}
    assert kinds <= {"minor", "major"}
    for row in told["measures"]:
        assert (row["knowledge"] is None) == (row["kind"] == "major")
        assert 0 < row["execution"] <= 1


def alike(one: list[dict[str, object]], other: list[dict[str, object]]) -> bool:
    """Whether two forecasts are the same but for the seconds between them."""
    return len(one) == len(other) and all(
        mine == pytest.approx(theirs) for mine, theirs in zip(one, other, strict=True)
    )


def test_the_demo_takes_its_first_candidate(tmp_path: Path) -> None:
    (first,) = objects(stepcall(tmp_path, "readiness", "--demo", "--json"))
    (named,) = objects(stepcall(tmp_path, "readiness", "--demo", "--json", "--candidate", first["candidate"]))
    assert alike(first["measures"], named["measures"])
    assert first["points"]["asked"] > 50


@pytest.mark.parametrize("handle", ["Tern", "Plover", "Dunlin", "Knot", "Curlew", "Sanderling", "Turnstone", "Gull"])
def test_every_state_of_the_demo_can_be_told(tmp_path: Path, handle: str) -> None:
    done = stepcall(tmp_path, "readiness", "--demo", "--candidate", handle)
    assert done.returncode == 0, done.stderr
    assert "synthetic learners only" in done.stdout
    assert all(len(line) <= 120 for line in done.stdout.splitlines())


def test_whose_records_may_be_said_before_the_verb_or_after_it(heron: Path) -> None:
    (before,) = objects(stepcall(heron, "--demo", "readiness", "--json"))
    (after,) = objects(stepcall(heron, "readiness", "--demo", "--json"))
    (own,) = objects(stepcall(heron, "--candidate", "Heron", "readiness", "--json"))
    assert alike(before["measures"], after["measures"])
    assert (before["candidate"], own["candidate"]) == ("Tern", "Heron")
    refused = stepcall(heron, "--candidate", "Stork", "readiness")
    assert refused.returncode == 2


def test_an_answer_moves_the_forecast(heron: Path) -> None:
    (before,) = objects(stepcall(heron, "readiness", "--json"))
    stepcall(heron, "ask", "--json", "--questions", "5", typed='{"answer": 0}\n' * 5)
    (after,) = objects(stepcall(heron, "readiness", "--json"))
    assert after["points"]["asked"] > before["points"]["asked"]
    assert after["chance"] != before["chance"]
