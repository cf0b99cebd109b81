"""What differs when a fault of a shipped deck is played: written by hand from the words of the deck and its standard.

One line a difference: beat (or beats), part, what is right > what the fault makes of it. `arms` are both arms; the
`same` and the `other` foot are those of beat 0, for movements that may begin on either. A foot's entry is its place,
length, contact, lift and what it is set against; `-` is nothing. Nothing else may differ.
"""

ARMY = {
    # 30-inch steps at 120 after the one count; two beats and no more are compared, three where all comes later.
    "forward-march": {
        "wrong-foot": """
            1 left foot: step 30 > -
            1 right foot: - > step 30
            2 right foot: step 30 > -
            2 left foot: - > step 30""",
        "late": """
            1 left foot: step 30 > -
            1 arms: swing > still
            2 right foot: step 30 > -
            2 left foot: - > step 30
            3 left foot: step 30 > -
            3 right foot: - > step 30""",
        "one-arm": "1..2 left arm: swing > still",
        "run-together": """
            -2 voice: Forward > -
            -1 voice: - > Forward""",
    },
    "halt": {
        "marches-on": """
            2 same foot: close > step 30
            2..3 arms: still > swing
            3 other foot: - > step 30
            4 same foot: - > close""",
        "arm": "2..3 left arm: still > swing",
        "word-foot": """
            -2 voice: Squad > -
            -1 voice: - > Squad""",
    },
    "change-step": {
        "walked": """
            1.5 right foot: toe to heel > -
            2 left foot: step 30 > -
            2 right foot: - > toe to heel
            3 right foot: step 30 > -
            3 left foot: - > step 30
            4 left foot: step 30 > -
            4 right foot: - > step 30""",
        "alongside": "1.5 right foot: toe to heel > close",
        "wrong-foot": """
            -2 voice: Change step > -
            -1 voice: - > Change step""",
        "short": "2 left foot: step 30 > step 15",
    },
    "rear-march": {
        "small": "2 body: 180 > 150",
        "wrong-way": "2 body: 180 > -180",
        "at-once": """
            1 left foot: step 30 > pivot
            1 right foot: - > pivot
            1 body: 0 > 180
            2 left foot: pivot > step 30
            2 right foot: pivot > -
            2 body: 180 > 0
            3 left foot: step 30 > -
            3 right foot: - > step 30
            4 right foot: step 30 > -
            4 left foot: - > step 30""",
        "arms": "2 arms: swing > still",
        "wrong-foot": """
            -2 voice: Rear > -
            -1 voice: - > Rear""",
    },
    "right-flank": {
        "small": "2 body: 90 > 60",
        "late": """
            2 body: 90 > 0
            4 body: 0 > 90""",
        "arms": "2 arms: swing > still",
        "wrong-foot": """
            -2 voice: Right flank > -
            -1 voice: - > Right flank""",
    },
    "left-flank": {
        "small": "2 body: -90 > -60",
        "wrong-way": "2 body: -90 > 90",
        "arms": "2 arms: swing > still",
        "wrong-foot": """
            -2 voice: Left flank > -
            -1 voice: - > Left flank""",
    },
    "half-step": {
        "at-once": "1 other foot: step 30 > step 15",
        "long": """
            2 same foot: step 15 > step 20
            3 other foot: step 15 > step 20""",
        "slow": "2..3 cadence: 120 > 100",
        "word-foot": """
            -2 voice: Half step > -
            -1 voice: - > Half step""",
    },
    "forward-from-half-step": {
        "at-once": "1 other foot: step 15 > step 30",
        "short": """
            2 same foot: step 30 > step 24
            3 other foot: step 30 > step 24""",
        "word-foot": """
            -2 voice: Forward > -
            -1 voice: - > Forward""",
    },
    "halt-from-half-step": {
        "stretched": "1 other foot: step 15 > step 30",
        "marches-on": """
            2 same foot: close > step 15
            2..3 arms: still > swing
            3 other foot: - > step 15
            4 same foot: - > close""",
        "word-foot": """
            -2 voice: Squad > -
            -1 voice: - > Squad""",
    },
    "mark-time": {
        "creep": "3 other foot: in place lift 2 > step 4 lift 2",
        "high": """
            2 same foot: close lift 2 > close lift 8
            3 other foot: in place lift 2 > in place lift 8""",
        "short-last": "1 other foot: step 30 > step 15",
        "arms": "2..3 arms: swing > still",
        "word-foot": """
            -2 voice: Mark time > -
            -1 voice: - > Mark time""",
    },
    "forward-from-mark-time": {
        # A step forward is no lifted step in place any more.
        "at-once": "1 other foot: in place lift 2 > step 30",
        "late": """
            2 same foot: step 30 > in place lift 2
            3 other foot: step 30 > in place lift 2""",
        "short": "2 same foot: step 30 > step 15",
        "word-foot": """
            -2 voice: Forward > -
            -1 voice: - > Forward""",
    },
    "halt-from-mark-time": {
        "forward": """
            1 other foot: in place lift 2 > step 15
            2 same foot: in place > close""",
        "late": """
            2 same foot: in place > in place lift 2
            2..3 arms: still > swing
            3 other foot: - > in place lift 2
            4 same foot: - > in place""",
        "word-foot": """
            -2 voice: Squad > -
            -1 voice: - > Squad""",
    },
    "right-step": {
        "wide": """
            1 right foot: side 15 > side 24
            3 right foot: side 15 > side 24""",
        "drag": """
            2 left foot: close > -
            3 right foot: side 15 > -
            3 left foot: - > close
            4 left foot: close > -
            4 right foot: - > side 15""",
        "arms": "1..3 arms: still > swing",
        "run-together": """
            -2 voice: Right step > -
            -1 voice: - > Right step""",
    },
    "left-step": {
        "wide": """
            1 left foot: side 15 > side 24
            3 left foot: side 15 > side 24""",
        "diagonal": "1 left foot: side 15 > step 15",
        "drag": """
            2 right foot: close > -
            3 left foot: side 15 > -
            3 right foot: - > close
            4 right foot: close > -
            4 left foot: - > side 15""",
        "run-together": """
            -2 voice: Left step > -
            -1 voice: - > Left step""",
    },
    "side-step-halt": {
        "apart": """
            0 voice: HALT > -
            1 voice: - > HALT""",
        "stops-dead": """
            1 other foot: side 15 > -
            2 same foot: close > -""",
        "one-more": """
            3 other foot: - > side 15
            4 same foot: - > close""",
    },
    "backward-march": {
        "wrong-foot": """
            1 left foot: back 15 > -
            1 right foot: - > back 15
            2 right foot: back 15 > -
            2 left foot: - > back 15
            3 left foot: back 15 > -
            3 right foot: - > back 15""",
        "long": """
            1 left foot: back 15 > back 24
            2 right foot: back 15 > back 24
            3 left foot: back 15 > back 24""",
        "run-together": """
            -2 voice: Backward > -
            -1 voice: - > Backward""",
    },
    "backward-halt": {
        "long-last": "1 other foot: back 15 > back 30",
        "marches-on": """
            2 same foot: close > back 15
            2..3 arms: still > swing
            3 other foot: - > back 15
            4 same foot: - > close""",
        "word-foot": """
            -2 voice: Squad > -
            -1 voice: - > Squad""",
    },
    "double-time-from-halt": {
        "wrong-foot": """
            1 left foot: step 30 > -
            1 right foot: - > step 30
            2 right foot: step 30 > -
            2 left foot: - > step 30""",
        # He runs at 160 from the first step; the call before it is as it should be.
        "slow": "1..2 cadence: 180 > 160",
        "short": """
            1 left foot: step 30 > step 24
            2 right foot: step 30 > step 24""",
    },
    "double-time": {
        "at-once": "1 cadence: 120 > 180",
        "slow": "2..3 cadence: 180 > 160",
        "short": """
            2 same foot: step 30 > step 24
            3 other foot: step 30 > step 24""",
        "word-foot": """
            -2 voice: Double time > -
            -1 voice: - > Double time""",
    },
    "quick-time": {
        "at-once": "1..2 cadence: 180 > 120",
        "late": "3..4 cadence: 120 > 180",
        "fast": "3..4 cadence: 120 > 140",
        "word-foot": """
            -2 voice: Quick time > -
            -1 voice: - > Quick time""",
    },
    "double-time-halt": {
        "at-once": """
            1..2 cadence: 180 > 120
            2 same foot: step 30 > close
            2..3 arms: swing > still
            3 other foot: step 30 > -
            4 same foot: close > -""",
        # At the halt no beat is struck any more; the last cadence stands.
        "no-slowing": "3..5 cadence: 120 > 180",
        "word-foot": """
            -2 voice: Squad > -
            -1 voice: - > Squad""",
    },
}

GUARD = {
    "step-off": {
        "run-together": """
            -2 voice: all ahead > -
            -1 voice: - > all ahead""",
        "wrong-foot": """
            2 left foot: step 14 slide > -
            2 right foot: - > step 14 slide
            3 right foot: step 28 > -
            3 left foot: - > step 28
            4 left foot: step 28 > -
            4 right foot: - > step 28""",
        "sword-late": "1 sword: carry > order",
        "long-first": "2 left foot: step 14 slide > step 28 slide",
        "no-slide": "2 left foot: step 14 slide > step 14 heel",
        "arm-dead": "2..4 left arm: swing > still",
    },
    "halt": {
        "word-late": """
            -2 voice: stand > -
            -1 voice: - > stand""",
        "long-last": "1 right foot: step 14 slide > step 28 slide",
        # The right foot stands, the left one hangs for a beat; arms and sword come with their counts.
        "late-close": """
            2 left foot: close slide > -
            2 left arm: pinned > swing
            3 left foot: - > close slide
            3 arms: still > pinned
            3 sword: order > carry""",
        "arm-loose": "2 left arm: pinned > swing",
        "sword-early": "2 sword: carry > order",
        "stamp": "2 left foot: close slide > close heel lift 4",
    },
    "mark-time": {
        "creep": "3 left foot: in place lift 5 > step 3 lift 5",
        "low": """
            2 right foot: close lift 5 > close lift 2
            3 left foot: in place lift 5 > in place lift 2""",
        "long": "1 left foot: step 14 slide > step 28 slide",
        "word-late": """
            0 voice: TIME > -
            1 voice: - > TIME""",
        "arm-loose": "2..3 left arm: pinned > swing",
        "wrong-word": "-1 voice: mark > hold",
    },
    "turn-starboard": {
        "small": "3 body: 90 > 70",
        "early": """
            2 body: 0 > 90
            3 body: 90 > 0""",
        # A step is set against nothing.
        "no-tee": "2 left foot: T against toe > step 14",
        "arm-loose": "1..2 left arm: pinned > swing",
        "sword-out": "3 sword: carry > present",
        "word-late": """
            -2 voice: starboard > -
            -1 voice: - > starboard""",
    },
    "turn-port": {
        "small": "3 body: -90 > -70",
        "early": """
            2 body: 0 > -90
            3 body: -90 > 0""",
        "no-tee": "2 right foot: T against toe > step 14",
        "long": "1 left foot: step 14 slide > step 28 slide",
        "arm-loose": "1..2 left arm: pinned > swing",
        "sword-out": "3 sword: carry > present",
        "wrong-word": "-2 voice: port > starboard",
    },
    "come-about": {
        "small": "3 body: -90 > -70",
        "wrong-way": "2..3 body: -90 > 90",
        "one-swing": """
            2 body: -90 > 0
            3 body: -90 > -180""",
        "no-close": "4 right foot: close slide > -",
        "sword-out": "3 sword: carry > present",
        "arm-loose": "1..2 left arm: pinned > swing",
        "arm-early": "4 left arm: pinned > swing",
        # 108 and 8 in the hundred, from the march before the grader's prompt to the first step after.
        "rushed": "-11..6 cadence: 108 > 116.64",
        "word-dropped": "-3 voice: hard > -",
    },
    "change-step": {
        "walked": """
            1.5 left foot: toe to heel slide > -
            1.5 left arm: pinned > swing
            2 right foot: step 28 > -
            2 left foot: - > toe to heel slide
            2 left arm: swing > pinned
            3 left foot: step 28 > -
            3 right foot: - > step 28
            4 right foot: step 28 > -
            4 left foot: - > step 28""",
        "alongside": "1.5 left foot: toe to heel slide > close slide",
        # With the count goes all that it asks for, the arm as well.
        "hop": """
            1.5 left foot: toe to heel slide > -
            1.5 left arm: pinned > swing""",
        "short-off": "2 right foot: step 28 > step 14",
        "word-early": """
            -2 voice: - > change
            -1 voice: change > -""",
        "arm-stops": "2..3 left arm: swing > pinned",
    },
    "short-pace": {
        "at-once": "1 other foot: step 28 > step 14",
        "wide": """
            2 same foot: step 14 slide > step 18 slide
            3 other foot: step 14 slide > step 18 slide""",
        "heels": """
            2 same foot: step 14 slide > step 14 heel
            3 other foot: step 14 slide > step 14 heel""",
        "arm-loose": "2..3 left arm: pinned > swing",
        # No foot on beat 2, so the foot that was left out comes a beat later.
        "pause": """
            2 same foot: step 14 slide > -
            2 left arm: pinned > swing
            3 other foot: step 14 slide > -
            3 same foot: - > step 14 slide""",
        "word-early": """
            -3 voice: - > short
            -2 voice: short > -""",
    },
    "full-ahead": {
        "at-once": "1 right foot: step 14 slide > step 28 slide",
        "short-on": """
            2 left foot: step 28 > step 22
            3 right foot: step 28 > step 22""",
        "arm-dead": "2..3 left arm: swing > pinned",
        "arm-early": "1 left arm: pinned > swing",
        "wrong-word": "-2 voice: full > half",
        "run-together": """
            -2 voice: full > -
            -1 voice: - > full""",
    },
    "halt-from-mark-time": {
        "run-together": """
            -2 voice: by > -
            -1 voice: - > by""",
        "word-dropped": "-2 voice: by > -",
        "no-lift": "1 left foot: in place lift 5 > -",
        "stamp": "2 right foot: in place ball lift 2 > in place heel lift 8",
        "forward": """
            1 left foot: in place lift 5 > step 14
            2 right foot: in place ball lift 2 > close ball""",
        "sword-early": "1..2 sword: carry > order",
    },
    "side-starboard": {
        "wide": """
            2 right foot: side 13 slide > side 20 slide
            4 right foot: side 13 slide > side 20 slide""",
        "drag": """
            3 left foot: close slide > -
            4 right foot: side 13 slide > -
            4 left foot: - > close slide
            5 left foot: close slide > -
            5 right foot: - > side 13 slide""",
        "sword-late": "1 sword: carry > order",
        "one-arm": """
            1 left arm: pinned > still
            2..4 left arm: pinned > swing""",
        "stamp": "2 right foot: side 13 slide > side 13 heel lift 4",
        "wrong-word": "-2 voice: side starboard > side right",
        "no-wait": """
            1 right foot: - > side 13 slide
            2 right foot: side 13 slide > -
            2 left foot: - > close slide
            3 left foot: close slide > -
            3 right foot: - > side 13 slide
            4 right foot: side 13 slide > -
            4 left foot: - > close slide""",
    },
    "side-port": {
        "wide": """
            2 left foot: side 13 slide > side 20 slide
            4 left foot: side 13 slide > side 20 slide""",
        "drag": """
            3 right foot: close slide > -
            4 left foot: side 13 slide > -
            4 right foot: - > close slide
            5 right foot: close slide > -
            5 left foot: - > side 13 slide""",
        "sword-late": "1 sword: carry > order",
        "one-arm": """
            1 left arm: pinned > still
            2..4 left arm: pinned > swing""",
        "diagonal": "2 left foot: side 13 slide > step 13 slide",
        "run-together": """
            -2 voice: side port > -
            -1 voice: - > side port""",
    },
    "side-halt": {
        "apart": """
            0 voice: FAST > -
            1 voice: - > FAST""",
        "stops-dead": """
            1 other foot: side 13 slide > -
            2 same foot: close slide > -""",
        "narrow": "1 other foot: side 13 slide > side 6 slide",
        "late-close": """
            2 same foot: close slide > -
            3 same foot: - > close slide
            3 arms: still > pinned
            3 sword: order > carry""",
        "sword-early": "1..2 sword: carry > order",
        "arm-early": "1..2 left arm: pinned > still",
    },
    "drum-stop": {
        "early": """
            2 right foot: step 14 slide > close slide
            3 left foot: step 14 slide > -
            3 sword: carry > present
            4 right foot: close slide > -
            4 sword: carry > order
            4..5 arms: pinned > still
            5 sword: present > order""",
        "deaf": """
            4 right foot: close slide > step 14 slide
            5 left foot: - > step 14 slide
            5 sword: present > carry
            6 right foot: - > close slide
            6 sword: order > carry
            6..7 arms: still > pinned
            7 sword: order > present""",
        "no-present": "5 sword: present > order",
        "hangs": "6 sword: order > present",
        "long-last": "3 left foot: step 14 slide > step 28 slide",
        "arm-loose": "5 left arm: pinned > swing",
        "stamp": "4 right foot: close slide > close heel lift 4",
    },
}
