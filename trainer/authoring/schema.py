"""The JSON Schema of a deck file, for editors that check while one writes."""

import json
import re
from typing import Any

from trainer.authoring.written import WrittenDeck

SCHEMA_VERSION = "https://json-schema.org/draft/2020-12/schema"

DESCRIPTIONS = {
    "deck": "What the deck is and where it comes from.",
    "stance": "What the body does on every beat until the next command, a block [stance.name] for each.",
    "grade_sheet": "How the test is decided.",
    "movement": "The movements of the standard, a block [[movement]] for each.",
    "id": "Small letters, digits and single hyphens. Records refer to it: never change it once people have practised.",
    "standard": "What ids of points begin with; the deck's id if left out. A deck cut out of a larger one keeps it.",
    "title": "What people call the deck.",
    "unit": "The unit that lengths are shown in.",
    "sources": "Documents with edition and date.",
    "cautions": "What people must be told for their safety.",
    "sole": "A shoe sole seen from above; 12 by 4 in with its ball 9 in from the heel if left out.",
    "width": "A length with its unit.",
    "ball": "From the heel to the ball of the foot, a length with its unit.",
    "name": "What people call the movement.",
    "from": "The stances that it can be called from.",
    "to": "The stance that it ends in.",
    "called_on": "The foot that strikes on beat 0, the word of execution; together means the heels.",
    "cued_by": "What starts it instead of a word, such as a drum; beat 0 is then the first cue.",
    "source": "Where the standard says so: document, edition, paragraph.",
    "unconfirmed": "What about this movement could not be read in its source.",
    "words": "The words of the command, each on its beat.",
    "cues": "The sounds that start or pace the movement.",
    "counts": "What the feet, the arms and the sword do after the word of execution, in their order.",
    "faults": "Its common errors.",
    "say": "The word or words spoken on this beat.",
    "executes": "Whether this is the word of execution, on beat 0.",
    "speaker": "Who says it, if not the candidate.",
    "sound": "What is heard.",
    "beat": "Beats from the word of execution: negative before it, positive after it, halves allowed.",
    "foot": "The foot that is meant; same and other are said of the foot of beat 0.",
    "place": "Where the foot goes.",
    "length": "full, half, or a length with its unit such as 12 in.",
    "step": "The length of a full step, with its unit.",
    "against": "Which end of the other sole this one is set to, for a T or toe to heel.",
    "contact": "Which part of the foot meets the ground first.",
    "lift": "How high the foot comes, a length with its unit.",
    "turn": "A turn of the body: 90 right, 45 left or none. Of a movement: its whole turn.",
    "toes": "A turn of the foot, where it differs from the body's.",
    "arms": "Both arms.",
    "left_arm": "The left arm alone.",
    "right_arm": "The right arm alone.",
    "sword": "A position of the sword, one of those listed under [deck]; there: the list of them.",
    "cadence": "Steps a minute; in a stance also a range of two.",
    "tell": "What to do, or what goes wrong, in words for people.",
    "cycle": "The beats of a stance that repeats over several.",
    "shows": "What differs from the movement, change by change; without it the fault is asked, not played.",
    "seen_by": "Who sees or hears a fault.",
    "count": "The number of the count that changes, from 1, or every.",
    "word": "The number of the word that changes, from 1, or every.",
    "cue": "The number of the cue that changes, from 1, or every.",
    "tempo": "A change of the cadence: +4 % or -5 %.",
    "later": "By how many beats this row and all after it come later.",
    "drop": "true if this row is left out.",
    "pass": "The share of the minors that must be GO: 75 % or 8 of 9.",
    "trials": "How often each minor is tried.",
    "needed": "How many of its trials must be right.",
    "minors": "The ids of the movements that are tested, in the order of the sheet.",
    "majors": "Rules that must not be broken.",
    "text": "What the rule says.",
    "retest_after": "How long before a retest: 24 h or 2 d.",
    "stop_when_decided": "Whether a minor is tried no more once it is GO or NO-GO; true unless said.",
    "sequence": "Whether the order of the minors is graded; free unless said.",
    "bad_prompt": "Who rules that a prompt was bad, so that its trial does not count; the grader unless said.",
}
"""What every name of a deck file means, as the file spells it."""


def deck_schema() -> dict[str, Any]:
    """Return the schema as plain data."""
    schema = WrittenDeck.model_json_schema(by_alias=True)
    definitions = schema.pop("$defs")
    for table in (schema, *definitions.values()):
        _describe(table)
    return {"$schema": SCHEMA_VERSION, **schema, "title": "A deck of Stepcall", "$defs": definitions}


def schema_text() -> str:
    """Return the schema as the text of its file."""
    return json.dumps(deck_schema(), indent=2, ensure_ascii=False) + "\n"


def _describe(table: dict[str, Any]) -> None:
    """Put plain descriptions into one table's schema, and take out what only a program would read."""
    table.pop("title", None)
    for name, field in table.get("properties", {}).items():
        _without_null(field)
        field.pop("title", None)
        field["description"] = DESCRIPTIONS[name]
    if "description" in table:
        table["description"] = re.sub(r"\s+", " ", table["description"]).replace("`", "")


def _without_null(field: dict[str, Any]) -> None:
    """Take out null, which TOML cannot write."""
    if field.get("default", 0) is None:
        del field["default"]
    choices = [choice for choice in field.get("anyOf", []) if choice != {"type": "null"}]
    if len(choices) == 1:
        del field["anyOf"]
        field |= choices[0]
    elif choices:
        field["anyOf"] = choices
