"""What is asked of what: the kinds, both directions, and what is left out."""

from random import Random

import pytest

from tests.quiz.judging import check
from tests.quiz.sample import sample
from trainer.drill.deck import Deck
from trainer.drill.movement import Count, Movement, Word
from trainer.quiz.asking import Asker
from trainer.quiz.points import points
from trainer.quiz.questions import KINDS, Question

DECK = sample()
ASKER = Asker(DECK)


def kinds(point: str, asker: Asker = ASKER) -> tuple[str, ...]:
    return asker.kinds(f"quay-guard/{point}")


def ask(point: str, kind: str, seed: int = 0, asker: Asker = ASKER) -> Question:
    return asker.ask(f"quay-guard/{point}", Random(seed), kind)


def test_every_point_of_the_sample_is_asked_and_essential_ones_in_two_ways() -> None:
    for point in points(DECK):
        asked = ASKER.kinds(point.id)
        assert len(asked) >= (2 if point.essential else 1), point.id
        for kind in asked:
            for seed in range(5):
                check(DECK, ASKER.ask(point.id, Random(seed), kind))


def test_every_kind_is_asked_of_some_deck() -> None:
    flat = '{ id = "flat", tell = "Command without inflection", seen_by = "grader" }'
    more = sample((flat, f'{flat}, {{ id = "gaze", tell = "Looks down", seen_by = "the squad" }}'))
    alone = more._replace(movements=more.movements[:1], stances=more.stances[:1], grade_sheet=None)
    asked = {kind for deck in (more, alone) for point in points(deck) for kind in Asker(deck).kinds(point.id)}
    assert asked == set(KINDS)


def test_a_count_that_another_one_repeats_is_not_asked_for_by_what_happens() -> None:
    # Counts 1 and 3 of the change step are both a full step of the left foot.
    assert "which count" not in kinds("change-step/counts/1")
    assert "which count" in kinds("change-step/counts/2")
    assert "on a count" in kinds("change-step/counts/1")


def test_feet_are_asked_word_by_word_only_on_a_settled_foot() -> None:
    question = ask("right-flank/feet/2", "feet of the words")
    assert question.answer == ("right", "right")
    assert question.choices == ("Right flank", "MARCH")
    assert "'Right flank' (beat -2), 'MARCH' (beat 0)" in question.prompt
    assert "Number one" not in question.prompt
    for movement in ("halt", "side-halt"):
        assert "feet of the words" not in kinds(f"{movement}/feet/2")


@pytest.mark.parametrize(
    ("point", "right"),
    [
        ("halt/feet/2", "on either foot"),
        ("halt/feet/1", "on the same foot as 'HALT'"),
        ("side-halt/feet/2", "as the heels come together"),
        ("side-halt/feet/1", "as the heels come together"),
        ("left-flank/feet/2", "only on the left foot"),
        ("tap-halt/feet/first-cue", "only on the right foot"),
    ],
)
def test_when_a_word_may_fall(point: str, right: str) -> None:
    question = ask(point, "foot of a word")
    assert isinstance(question.answer, int)
    assert question.choices[question.answer] == right


def test_a_command_is_asked_for_by_what_it_does_where_the_name_would_tell_it() -> None:
    question = ask("change-step/words/command", "say the command")
    assert question.answer == "Change step MARCH"
    assert "hange step" not in question.prompt
    assert "right foot, toe to the other heel" in question.prompt
    assert "name" not in question.reveals
    assert "voice" not in question.reveals


def test_a_name_that_does_not_tell_the_command_is_shown() -> None:
    named = sample(('name = "Change step, march"', 'name = "Movement 4"'))
    question = ask("change-step/words/command", "say the command", asker=Asker(named))
    assert question.prompt.startswith("Movement 4")


def test_a_command_that_sounds_the_same_is_no_wrong_choice() -> None:
    same = Asker(
        sample(('say = "Left flank"', 'say = "Right-flank"'), ('name = "Right flank, march"', 'name = "Wheel"'))
    )
    for seed in range(10):
        question = ask("right-flank/words/command", "pick the command", seed, same)
        assert "Right-flank MARCH" not in question.choices


def test_an_outline_says_the_foot_only_where_it_must() -> None:
    # Two commands that do the same when described, but for the foot they are called on.
    word = (Word("Go", -2.0), Word("NOW", 0.0, executes=True))
    other = (Word("Run", -2.0), Word("NOW", 0.0, executes=True))
    arms = (Count(1.0, left_arm="pinned"),)
    pair = DECK._replace(
        movements=(
            Movement("go", "Go, now", ("marching",), "marching", "left", arms, word),
            Movement("run", "Run, now", ("marching",), "marching", "right", arms, other),
        ),
        grade_sheet=None,
    )
    asker = Asker(pair)
    assert "called on the left foot" in ask("go/words/command", "say the command", asker=asker).prompt
    assert "called on" not in ask("change-step/words/command", "say the command").prompt


def test_deck_text_passes_through_untouched() -> None:
    told = sample(
        ('tell = "The close takes a whole beat"', 'tell = "[red]The close[/] takes a whole beat"'),
        ('name = "Tap halt"', 'name = "[bold]Tap halt"'),
        ('source = "Quay order 1 (invented)"', 'source = "[link=x]Quay order"'),
    )
    asker = Asker(told)
    fault = ask("change-step/faults/walked", "fault of", asker=asker)
    assert "[red]The close[/] takes a whole beat" in fault.choices
    assert fault.source == "[link=x]Quay order"
    assert "[bold]Tap halt" in ask("tap-halt/words/cues", "cued movement", asker=asker).choices


def test_the_reason_says_what_the_author_says_and_what_is_not_confirmed() -> None:
    doubtful = sample(('source = "Quay order 1 (invented)"', 'source = "Quay order 1"\nunconfirmed = "From memory."'))
    question = ask("change-step/counts/2", "on a count", asker=Asker(doubtful))
    assert "Toe to heel." in question.why
    assert "From memory." in question.why
    assert "Toe to heel." not in question.choices


def test_counts_on_one_beat_are_one_step_of_the_order() -> None:
    step = '{ beat = 2, foot = "right", place = "step", turn = "90 right", tell = "Turn and step off." }'
    both = sample((step, f'{step}, {{ beat = 2, foot = "left", place = "pivot" }}'))
    question = ask("right-flank/counts/3", "order", asker=Asker(both))
    assert len(question.choices) == 2
    assert question.steps == (1, 2)
    assert [point[-1] for point in question.points] == ["1", "2", "3"]
    # What the other foot does on that beat is right of it as well, so it is no wrong choice.
    for seed in range(10):
        check(both, ask("right-flank/counts/3", "on a count", seed, Asker(both)))


def test_a_long_movement_is_put_in_order_a_part_at_a_time() -> None:
    rows = ", ".join(f'{{ beat = {beat}, place = "step", lift = "{beat} in" }}' for beat in range(1, 13))
    first = '{ beat = 1, foot = "right", place = "step", tell = "One more step." }'
    second = '{ beat = 2, foot = "left", place = "step", turn = "90 left", tell = "Turn and step off." }'
    long = sample((f"{first},\n  {second}", rows), ('turn = "90 left"\nwords', "words"))
    for seed in range(5):
        question = ask("left-flank/counts/12", "order", seed, Asker(long))
        assert len(question.choices) == 8
        assert question.points[-1].endswith("/12")
        check(long, question)


def test_a_deck_of_one_movement_and_one_stance_can_be_asked() -> None:
    alone = DECK._replace(movements=DECK.movements[:1], stances=DECK.stances[:1], grade_sheet=None)
    asker = Asker(alone)
    assert asker.kinds("quay-guard/change-step/words/from") == ("name the stance",)
    for point in points(alone):
        for kind in asker.kinds(point.id):
            check(alone, asker.ask(point.id, Random(0), kind))


def test_a_wrong_length_is_not_offered_where_it_is_the_same_step() -> None:
    # 15 in is half of the full step: "step of 15 in" and "half step" would both be right.
    same = sample(('turn = "90 left", tell', 'length = "15 in", turn = "90 left", tell'))
    for seed in range(20):
        question = ask("left-flank/counts/2", "on a count", seed, Asker(same))
        assert isinstance(question.answer, int)
        right = question.choices[question.answer]
        assert "step of 15 in" in right
        assert right.replace("step of 15 in", "half step") not in question.choices


@pytest.mark.parametrize(
    ("pass_share", "needed", "offered"), [("75 %", 3, True), ("100 %", 4, False), ("100 %", 3, True)]
)
def test_one_bad_trial_is_no_wrong_choice_where_it_would_end_the_test(
    pass_share: str, needed: int, offered: bool
) -> None:
    strict = sample(('pass = "75 %"', f'pass = "{pass_share}"'), ("needed = 3", f"needed = {needed}"))
    assert ("ends the test" in kinds("grade-sheet/faults/bearing", Asker(strict))) == offered


@pytest.mark.parametrize("wrong", ["left foot, full step", "left foot, step of 30 in", "left foot, step of 76.2 cm"])
def test_the_oracle_notices_a_second_right_choice(wrong: str) -> None:
    question = ask("right-flank/counts/1", "on a count")
    assert isinstance(question.answer, int)
    spoilt = list(question.choices)
    spoilt[question.answer - 1] = f"{wrong}, arms swing"
    with pytest.raises(AssertionError):
        check(DECK, question._replace(choices=tuple(spoilt)))


def test_the_oracle_notices_a_wrong_answer() -> None:
    for point in points(DECK):
        for kind in ASKER.kinds(point.id):
            question = ASKER.ask(point.id, Random(2), kind)
            if question.expects == "choice" and isinstance(question.answer, int):
                moved = question._replace(answer=(question.answer + 1) % len(question.choices))
                with pytest.raises(AssertionError):
                    check(DECK, moved)


def test_points_of_other_decks_are_unknown() -> None:
    deck: Deck = DECK._replace(standard="elsewhere")
    with pytest.raises(KeyError):
        Asker(deck).kinds("quay-guard/halt/words/command")


def test_a_fault_is_not_asked_beside_the_score_that_shows_it() -> None:
    for point in points(DECK):
        for kind in ASKER.kinds(point.id) if point.family == "faults" and point.movement != "grade-sheet" else ():
            assert not {"steps"} & set(ASKER.ask(point.id, Random(0), kind).reveals)
    assert "voice" not in ask("change-step/faults/walked", "fault of").reveals


def test_on_which_of_two_counts_a_fault_shows_is_not_asked() -> None:
    assert "count of a fault" not in kinds("right-flank/faults/early")
    assert "count of a fault" in kinds("change-step/faults/walked")


def test_a_foot_that_the_standard_leaves_open_is_named_by_the_word_that_falls_on_it() -> None:
    halt = ask("halt/counts/2", "on a count")
    assert isinstance(halt.answer, int)
    assert halt.choices[halt.answer] == "foot that HALT was called on closes, arms still"
    assert "other foot than the one HALT was called on, full step" in ask("halt/counts/1", "on a count").why
    # From one side step only, the feet are known.
    side_step = ask("side-halt/counts/2", "on a count")
    assert isinstance(side_step.answer, int)
    assert side_step.choices[side_step.answer] == "left foot closes"


def test_of_feet_called_with_the_heels_together_one_leads_and_one_trails() -> None:
    left = '{ foot = "left", place = "side" }, { foot = "right", place = "close" }'
    both = sample(
        (
            "[stance.halted]",
            f'[stance."left step"]\ncadence = 120\nstep = "15 in"\ncycle = [ {left} ]\n[stance.halted]',
        ),
        ('from = ["side step"]', 'from = ["side step", "left step"]'),
        (
            '{ beat = 1, foot = "right", place = "side" }, { beat = 2, foot = "left", place = "close" }',
            '{ beat = 1, foot = "other", place = "side" }, { beat = 2, foot = "same", place = "close" }',
        ),
    )
    for place, right in (("1", "leading foot, step to the side"), ("2", "trailing foot closes")):
        question = ask(f"side-halt/counts/{place}", "on a count", asker=Asker(both))
        assert isinstance(question.answer, int)
        assert question.choices[question.answer] == right
        check(both, question)


def test_a_question_for_the_movement_says_no_word_of_its_command() -> None:
    for place in ("1", "2"):
        prompt = ask(f"halt/counts/{place}", "movement of a count").prompt
        assert "HALT" not in prompt
    assert "the word of execution was called on" in prompt


def test_who_speaks_after_the_grader_is_asked_for_his_own_words() -> None:
    question = ask("right-flank/words/command", "say the command")
    assert question.prompt.startswith("Say your own words, after those of the grader, for this.")
    assert ask("change-step/words/command", "say the command").prompt.startswith("Say the whole command for this.")


def test_commands_to_choose_from_sound_like_the_right_one() -> None:
    for seed in range(10):
        question = ask("left-flank/words/command", "pick the command", seed)
        assert "Right flank MARCH" in question.choices
        slips = set(question.choices) - {movement.command for movement in DECK.movements}
        assert slips
        assert all({"left", "flank"} & set(slip.casefold().split()) for slip in slips)


def test_the_beats_that_tell_the_answer_are_not_shown_with_the_question() -> None:
    question = ask("halt/feet/1", "foot of a word")
    assert "beat" not in question.prompt
    assert "voice" not in question.reveals
