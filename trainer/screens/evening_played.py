"""A performance that the group grades: played once or more, nothing told of it, hands taken while it runs."""

from textual.events import Key

from trainer.drill.deck import Deck
from trainer.group.hands import Hands, is_hand
from trainer.group.turns import Graded, Turn, played
from trainer.plain import clip, visible
from trainer.screens.evening_rows import hand_keys
from trainer.screens.player import PlayerScreen
from trainer.screens.showing import Showing, Take, showing
from trainer.screens.widgets.keys import KeyLine, Keys
from trainer.screens.widgets.spans import BRASS, Row, Span

UNTOLD = "what you see"


def performance(deck: Deck, turn: Turn) -> Showing:
    """Return what a turn plays, without a word of whether it is right."""
    return Showing(deck.movement(turn.measure).name, Take(UNTOLD, played(deck, turn)))


def afterwards(deck: Deck, one: Graded) -> Showing:
    """Return the movement of a turn that was graded, beside it the first of its faults that can be played."""
    movement = deck.movement(one.turn.measure)
    faults = (movement.fault(name) for name in one.faults)
    return showing(deck, movement, next((fault for fault in faults if fault is not None and fault.shows), None))


class PlayedTurnScreen(PlayerScreen):
    """Plays a performance while everybody grades it; closes when all hands are up, or with escape."""

    HELP = (
        "Watch, then press your own key: the upper one for GO, the lower one for NO-GO. Space plays it again. Nobody's "
        "hand is shown before all are up."
    )

    def __init__(self, deck: Deck, shown: Showing, hands: Hands) -> None:
        super().__init__(deck, shown)
        self.hands = hands

    def on_mount(self) -> None:
        """Hide what is said of a beat, which would give a fault away."""
        self.query_one("#tells").display = False

    def _head(self, width: int, height: int) -> list[Row]:
        waiting = ", ".join(f"{visible(name)} {'/'.join(self.hands.keys[name])}" for name in self.hands.waiting_for)
        told = f"still to choose: {waiting}" if waiting else "all have chosen"
        first = super()._head(width, height)[0]
        return [first, (Span(clip(told, width), BRASS),)]

    def graders_keys(self) -> Keys:
        """Return each grader's keys with his name."""
        return hand_keys(self.hands)

    def _show_keys(self) -> None:
        playing = "stop" if self.playing or self._starts else "play again"
        self.query_one(KeyLine).show(
            (
                ("your two keys", "GO above, NO-GO below"),
                ("space", playing),
                ("←→", "beat"),
                ("esc", "back"),
                ("F1", "help"),
            )
        )
        self.query_one("#head").refresh()

    def on_key(self, event: Key) -> None:
        """Take hands; letters do nothing else here."""
        if not is_hand(event.character, self.hands):
            return
        event.stop()
        if self.hands.press(event.character or ""):
            if self.hands.shown is not None:
                self.dismiss(None)
            else:
                self._show_keys()
