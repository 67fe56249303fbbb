"""Views of a practice, made by hand: invented balls, boards and sentences, so that panes can be seen without a file."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from arsenal.acts.practice_views import (
    InHand,
    NextShots,
    NextView,
    PlanLine,
    PlanView,
    PracticeSession,
    QuestionChoice,
    ResponseRow,
    ShotKey,
    ShotRow,
    TaughtRow,
)
from arsenal.acts.views import RuleState
from arsenal.desk.practice.asking import Found
from arsenal.practice.asked_of import Asks, Question
from arsenal.surface import fold
from arsenal.trade.ball import Ball, Cover
from arsenal.trade.entries import Entry, Kind, New, Step, Wiped
from arsenal.trade.lane import FilmSummary, Lane
from arsenal.trade.pads import Recipe
from arsenal.trade.person import Hand, Person
from arsenal.trade.priors import default_priors
from arsenal.trade.release import Line, Style
from arsenal.trade.units import DEGREE_RAD, FOOT_M, MILLILITRE_M3, MPH_MPS, RPM_RADPS

DAY = date(2026, 3, 12)
STYLE = Style(16.4 * MPH_MPS, 325 * RPM_RADPS, 45 * DEGREE_RAD, 15 * DEGREE_RAD)
MIREL = Person(1, "Mirel Oster", "mirel", style=STYLE)
ANNEKE = Person(2, "Anneke Roos", "anneke", hand=Hand.LEFT, style=STYLE)
LANE = Lane(1, "41 ft house, 25 mL, fresh", FilmSummary(41 * FOOT_M, 25 * MILLILITRE_M3, 8.0))
BALLS = ("Umber Kestrel", "Quarry Song", "Slow Lantern", "Bramble Vow", "Paper Moth", "Rook Hollow")
KEYS = tuple(
    ShotKey(word, said, low, high)
    for word, said, low, high in (
        ("long", "stayed out", None, 15.5), ("light", "14½ to 17", 14.5, 17.0), ("flush", "17 to 18", 17.0, 18.0),
        ("high", "18 to 20½", 18.0, 20.5), ("over", "crossed over", 20.5, None),
        ("rolled out", "rolled out, no hit", None, 17.5), ("hung", "turned, then stood up", 14.5, 17.5),
    )
)  # fmt: skip
PADS_ALLOWED = RuleState(True, "practice, pads allowed", hover="Rule book says, check yours.")


def ball(number: int) -> Ball:
    """One of the six."""
    return Ball(number, BALLS[number - 1], BALLS[number - 1].split()[0].lower(), 1, Cover.SOLID)


def in_hand(number: int = 2, shot: int = 10, own: int = 3) -> InHand:
    """A ball at 1000, and which shot is its next."""
    came = Entry(1, number, Kind.NEW, DAY, New((Step(number=1000.0),)), None, 0)  # type: ignore[arg-type]
    state = fold(ball(number), (came,), default_priors())
    return InHand(ball(number), state, "1000 h", "plays about 2100 ± 300", shot, own, f"shot {shot}, its {own}rd")


def shot(number: int, of: int, expected: float, half: float, seen: str, **more: object) -> ShotRow:
    """A shot expected within ± `half`; `more` are other fields."""
    told = {
        "seen_board": None, "seen_low": None, "seen_high": None, "outside": False, "odd": False, "kept_out": "",
        "finish": "1000 h", "wiped": True,
    } | more  # fmt: skip
    return ShotRow(
        seq=100 + number, number=number, ball_id=of, name=BALLS[of - 1], expected_board=expected,
        expected_low=expected - half, expected_high=expected + half, seen=seen,
        expected=f"expected {expected:g} ± {half:g}", **told,  # type: ignore[arg-type]
    )  # fmt: skip


def shots() -> tuple[ShotRow, ...]:
    """Nine, newest first: numbers, words, one outside its doubt."""
    return (
        shot(9, 2, 19.4, 1.2, "19", seen_board=19.0),
        shot(8, 2, 19.5, 1.3, "high", seen_low=18.0, seen_high=20.5),
        shot(7, 1, 21.6, 1.5, "19½, rolled out", seen_board=19.5, outside=True),
        shot(6, 3, 17.6, 1.0, "flush", seen_low=17.0, seen_high=18.0),
        shot(5, 3, 17.7, 1.1, "17", seen_board=17.0),
        shot(4, 6, 12.6, 2.4, "light", seen_low=14.5, seen_high=17.0, outside=True),
        shot(3, 5, 16.6, 1.9, "15½", seen_board=15.5),
        shot(2, 3, 17.8, 1.5, "18", seen_board=18.0),
        shot(1, 3, 17.9, 1.9, "flush", seen_low=17.0, seen_high=18.0),
    )


def taught(hand: int = 2) -> tuple[TaughtRow, ...]:
    """Six balls, one of them never thrown."""
    told = (
        (3, "rolls out: 2 weaker than its sheet", 2.0, -2.1, 0.8), (9, "as its sheet says", 1.6, 0.2, 0.6),
        (14, "fixes tonight’s lane", 1.1, 0.0, 0.4), (0, "not thrown yet", 2.0, None, None),
        (4, "1 weaker; 500/2000 m closes less", 1.8, -0.9, 0.7), (6, "2 stronger early, settles later", 2.6, 2.1, 0.9),
    )  # fmt: skip
    said = "1000 by hand makes Quarry Song read 2.1 ± 0.5 ft earlier on medium oil; 7 trials."
    response = ResponseRow(-1.6, 1.1, -2.1, 0.5, 7, said)
    return tuple(
        TaughtRow(i, BALLS[i - 1], count, said, before, now, sd, i == 3, i == hand, (response,) if i == 2 else ())
        for i, (count, said, before, now, sd) in enumerate(told, 1)
    )


def session(**other: object) -> PracticeSession:
    """Mirel on the house condition with Quarry Song in hand; `other` are fields that shall be different."""
    made = PracticeSession(
        MIREL, LANE, Line(0.55, -0.02), "22, over 15", "pair 7 and 8", Wiped.EACH, DAY, "evening", PADS_ALLOWED, KEYS,
        in_hand(), shots(), taught(), "", (), 41,
    )  # fmt: skip
    return replace(made, **other)  # type: ignore[arg-type]


def found(**other: object) -> Found:
    """What the room reads, with a session in it."""
    made = session(**other)
    return Found((MIREL, ANNEKE), (LANE,), made.bowler, made.lane, made)


ORDER = QuestionChoice(Question(), "by the order’s doubt")
TWO = QuestionChoice(Question(Asks.TWO_BALLS, 4, 5), "by Bramble Vow against Paper Moth")


def next_shots() -> NextShots:
    """A pair that is two of one kind, and a pad."""
    pair = NextView(
        "Bramble Vow, then Paper Moth, same line",
        "They are 0 ± 2 boards apart and take two places in the bag. One pair of shots brings that to ± 1: more than "
        "any other pair would.",
        ("The order’s doubt is 6.1 boards; after this pair 5.2.", "Nothing is sanded."), (4, 5), True, None,
        "as they are", 2.0, 6.1, 5.2,
    )  # fmt: skip
    pad = NextView(
        "1000 h on Quarry Song, then one shot", "What one pad does to it is known to ± 1 board only.",
        ("3 min of work; it cannot be undone.",), (2,), True, Recipe(0, "1000 h", (Step(number=1000.0),)),
        "1000 h, 3 min", 4.0, 6.1, 5.6,
    )  # fmt: skip
    return NextShots(ORDER, (ORDER, TWO), (pair, pad), "")


def plan() -> PlanView:
    """Ten shots, two lines thrown."""
    rows = (
        (2, (3,), "Slow Lantern", "as it is", "fixes tonight’s lane", 2),
        (2, (2,), "Quarry Song", "as it is", "before any pad", 2),
        (2, (4, 5), "Bramble Vow, Paper Moth", "as they are", "are they one ball?", 0),
        (1, (2,), "Quarry Song", "1000 h, 3 min", "what one pad does", 0),
        (2, (2,), "Quarry Song", "fresh pad", "expected +1 and 1 ft earlier", 0),
        (1, (3,), "Slow Lantern", "as it is", "has the lane moved?", 0),
    )
    lines = tuple(
        PlanLine(n, ids, names, finish, why, float(n), None, True, done, True, i == 2)
        for i, (n, ids, names, finish, why, done) in enumerate(rows)
    )
    return PlanView(1, "Plan: ten shots, unsanded first", lines, "", 15.0, 12.0, "12 min left on the pair")
