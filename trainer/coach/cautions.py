"""Whether a candidate has read a deck's cautions: kept as a setting, asked for again when their text changes."""

from collections.abc import Iterable
from hashlib import sha256

from trainer.drill.deck import Deck
from trainer.records.drafts import setting
from trainer.records.events import Draft, Event

READ = "cautions-read"
FIRST_OF_ALL = (
    "Your unit's own standard and qualified instruction come first. This program helps to study; it replaces neither."
)
"""Said with the cautions of every deck, also of one that has none."""


def cautions_key(deck: Deck) -> str:
    """Return a name for a deck's cautions as they are worded now."""
    return sha256("\n".join((deck.standard, *deck.cautions)).encode()).hexdigest()[:16]


def acknowledged(deck: Deck) -> Draft:
    """Return the event that says a deck's cautions were read."""
    return setting(READ, cautions_key(deck))


def cautions_read(events: Iterable[Event], deck: Deck) -> bool:
    """Tell whether these cautions were read; going to another deck and back does not ask again."""
    key = cautions_key(deck)
    return any(
        event.kind == "setting" and event.body["name"] == READ and event.body["value"] == key for event in events
    )
