"""Hands: whatever the order of keys, nobody's is lost and nobody's is shown early."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.group.hands import KEYBOARDS, MOST, USUAL, Hands, Keys, is_hand, keys_of

NAMES = ("Ada", "Ben", "Cem", "Dov", "Eli", "Fay", "Gus", "Hal")


def hands(number: int) -> Hands:
    return Hands(keys_of(NAMES[:number], NAMES))


CHOICES = st.integers(2, MOST).flatmap(lambda n: st.tuples(st.just(n), st.lists(st.booleans(), min_size=n, max_size=n)))


@given(CHOICES, st.randoms(use_true_random=False))
def test_the_order_in_which_people_press_is_of_no_account(choices: tuple[int, list[bool]], rng: object) -> None:
    number, gave = choices
    keys = keys_of(NAMES[:number], NAMES)
    presses = [keys[name].go if go else keys[name].nogo for name, go in zip(NAMES, gave, strict=False)]
    rng.shuffle(presses)  # type: ignore[attr-defined]
    raised = hands(number)
    for place, key in enumerate(presses):
        assert raised.shown is None, "a hand was shown before all had chosen"
        assert len(raised.waiting_for) == number - place
        assert raised.press(key)
    assert raised.shown == dict(zip(NAMES, gave, strict=False))


@given(
    st.lists(st.sampled_from([key for pair in KEYBOARDS[USUAL][:4] for key in pair] + ["x", "enter", "1"]), max_size=40)
)
def test_a_hand_is_the_last_key_of_its_owner_before_all_have_chosen(presses: list[str]) -> None:
    raised = hands(4)
    owner = {key: (name, key == pair.go) for name, pair in raised.keys.items() for key in pair}
    wanted: dict[str, bool] = {}
    for key in presses:
        was_open = len(wanted) < 4
        counted = raised.press(key)
        assert counted == (was_open and key in owner)
        if counted:
            wanted[owner[key][0]] = owner[key][1]
    assert (raised.shown is not None) == (len(wanted) == 4)
    assert set(raised.waiting_for) == set(NAMES[:4]) - wanted.keys()
    assert raised.shown is None or raised.shown == wanted


def test_capital_letters_count_too() -> None:
    raised = hands(2)
    assert raised.press("Q")
    assert raised.press("S")
    assert raised.shown == {"Ada": True, "Ben": False}


def test_who_leaves_is_not_waited_for() -> None:
    raised = hands(3)
    raised.press("q")
    raised.press("s")
    raised = raised.among(keys_of(NAMES[:2], NAMES))
    assert raised.shown == {"Ada": True, "Ben": False}
    assert not raised.press("e")


def test_a_choice_stays_with_its_keys_when_a_name_is_put_right_or_somebody_comes() -> None:
    raised = hands(3)
    raised.press("q")
    raised.press("s")
    raised = raised.among(keys_of(("Ada", "Bea", "Cem", "Dov"), ("Ada", "Bea", "Cem", "Dov")))
    assert raised.waiting_for == ("Cem", "Dov")
    raised.press("e")
    raised.press("r")
    assert raised.shown == {"Ada": True, "Bea": False, "Cem": True, "Dov": True}


def test_on_another_keyboard_all_choose_again() -> None:
    raised = hands(3)
    raised.press("q")
    other = raised.among(keys_of(NAMES[:3], NAMES, "йцукен"))
    assert len(other.waiting_for) == len(other.keys)
    assert other.press("Й")
    assert other.waiting_for == ("Ben", "Cem")


@pytest.mark.parametrize("keyboard", KEYBOARDS)
def test_every_keyboard_has_keys_for_eight(keyboard: str) -> None:
    struck = [key for pair in keys_of(NAMES, NAMES, keyboard).values() for key in pair]
    assert len(struck) == len(set(struck)) == 16
    raised = Hands(keys_of(NAMES, NAMES, keyboard))
    assert all(is_hand(key, raised) for key in struck)
    assert not is_hand("1", raised)
    assert not is_hand(None, raised)


def test_nobody_left_shows_nothing() -> None:
    assert hands(2).among({}).shown is None


def test_eight_people_have_sixteen_keys_of_their_own() -> None:
    struck = [key for pair in keys_of(NAMES, NAMES).values() for key in pair]
    assert len(struck) == len(set(struck)) == 16
    assert all(key.isalpha() and key.isascii() for key in struck)


def test_keys_stay_with_the_person_when_others_perform() -> None:
    assert keys_of(("Cem",), NAMES)["Cem"] == Keys("e", "d")


def test_a_shared_key_is_refused() -> None:
    with pytest.raises(ValueError, match="share a key"):
        Hands({"Ada": Keys("q", "a"), "Ben": Keys("a", "s")})
