"""An invented event plan for the tests of the Event room: four balls that go, two that stay, five stages."""

from __future__ import annotations

from datetime import date, datetime, timedelta, timezone

from arsenal.acts.event_views import (
    AtTheLanes,
    BallLine,
    Covered,
    EventName,
    EventPlan,
    FinishOffer,
    Mark,
    OneMore,
    PrepLine,
    PrepPart,
    PrepSheet,
    Reach,
    RegisteredBall,
    Registration,
    RoomCell,
    StageCard,
    StageCardRow,
    StageHead,
    Thrown,
)
from arsenal.acts.views import RuleState
from arsenal.order.records import Stamp
from arsenal.trade.event import Block, Event, Squad

HERE = timezone(timedelta(hours=1))
BAN = datetime(2026, 11, 28, 8, 55, tzinfo=HERE)
NOW = BAN - timedelta(minutes=12)
HOSTILE = '<b>Autumn</b> & <img src="file:///etc/hostname"> singles'
STAGES = (
    StageHead("fresh", "Fresh", "to shot 40", "22, over 15", "As it was oiled.", to_shot=40),
    StageHead("drying", "Track drying", "40 to 110", "24, over 16", "", from_shot=40, to_shot=110),
    StageHead("moved", "Moved in", "110 to 190", "28, over 18", "", from_shot=110, to_shot=190),
    StageHead("burnt", "Burnt fronts", "from 190", "30, over 19", "", from_shot=190,
              likely="may not come to it in 6 games"),
    StageHead("carrydown", "Carrydown", "urethane on the pair", "21, over 13", "", variant=True),
)  # fmt: skip
ROLLS, EARLY, LATE = "rolls out", "early", "late"
WORDS = (
    ("1 in, ½ out", ROLLS, ROLLS, ROLLS, "1½ in, 1 out"),
    ("2 in, 1 out", "1 in, 1 out", "1 in, ½ out", EARLY, "2 in, 1½ out"),
    ("2 in, 1½ out", "1½ in, 1½ out", "1 in, 1 out", "½ in, ½ out", "1 in, 1 out"),
    (LATE, "1 in, 1 out", "2 in, 1½ out", "1 in, 1 out", LATE),
    ("2 in, 1 out", "1 in, 1 out", "1 in, ½ out", EARLY, "2 in, 1½ out"),
    ("1 in, 1 out", "½ in, ½ out", EARLY, EARLY, "1 in, 1 out"),
)
BALLS = (
    ("Umber Kestrel", "1000 s", "was 500 h", (480, 1000), WORDS[0], True),
    ("Quarry Song", "1000 h", "as it is", (1000, 2100), WORDS[1], True),
    ("Slow Lantern", "2000 s", "as it is, benchmark", (2000, 2900), WORDS[2], True),
    ("Paper Moth", "500/2000 m", "as it is", (2000, 2600), WORDS[3], True),
    ("Tidewrack", "1500 s", "same as Quarry Song", (1500, 1900), WORDS[4], False),
    ("Rook Hollow", "1000 h", "refreshed Fri", (1000, 3200), WORDS[5], False),
)
BEST = (2, 2, 3, 3, 1)
HALVES = {"½": 0.5, "1": 1.0, "1½": 1.5, "2": 2.0}
OFFERS = (
    FinishOffer("as it is", "as it is", "as it is", 0.0),
    FinishOffer("1000 by hand", "1000 h", "3 min", 3.0),
    FinishOffer("500/1000 spinner", "1000 s", "5 min", 5.0),
    FinishOffer("3000 by hand", "3000 h", "no pad of 3000", 3.0, possible=False),
)


def sides(words: str) -> tuple[float | None, float | None]:
    if "in," in words:
        inside, outside = words.split(" in, ")
        return HALVES[inside], HALVES[outside.removesuffix(" out")]
    return (None, None) if words == "rolls out" else (0.4, 0.4)


def line(number: int) -> BallLine:
    name, finish, note, (set_grit, grit), words, taken = BALLS[number]
    cells = tuple(
        RoomCell(stage.key, said, *sides(said), 0.6, 0.05, stage.line, BEST[at] == number)
        for at, (stage, said) in enumerate(zip(STAGES, words, strict=True))
    )
    given = "Left at home: burnt fronts 1 in, 1 out → ½ in, ½ out." if number == 3 else ""
    return BallLine(
        number + 1, name, taken, None, finish, "500/1000 spinner" if number == 0 else "as it is", number == 0, note,
        cells, OFFERS, given_up=given, set_grit=set_grit, grit=grit,
    )  # fmt: skip


def prep() -> PrepSheet:
    def job(key: str, ball: int, what: str, minutes: str, mark: Mark = Mark.OPEN) -> PrepLine:
        return PrepLine(key, mark, "", BALLS[ball][0], what, minutes, True, True, ball_id=ball + 1)

    def at(clock: str, what: str, mark: Mark = Mark.OPEN, when: datetime | None = None) -> PrepLine:
        return PrepLine(f"at {clock}", mark, clock, "", what, "", mark is Mark.OPEN, False, when=when)

    before = (
        job("sand 1", 0, "1000 s, from 500 h", "5 min", Mark.DONE),
        job("clean 3", 2, "clean, inspect bridge", "4 min", Mark.DONE),
        job("clean 4", 3, "clean, leave 500/2000 m", "4 min"),
        PrepLine("serials", Mark.OPEN, "", "All four", "serials and weights on the sheet", "2 min", True, False),
    )
    day = (
        at("7:45", "out of the car: room temperature first"),
        at("8:30", "registration closes, surfaces locked 8:55", Mark.SOON),
        at("8:35", "practice, 8 shots: Slow Lantern 3, Paper Moth 3"),
        at("8:55", "last pad: dry towel only from now", Mark.BAN, BAN),
        at("9:00", "first scored ball"), at("11:20", "re-oiled, 25 min: pads allowed? ask"),
        at("14:00", "clean all used, same night"),
    )  # fmt: skip
    facts = (
        ("Rule, this event", "ban from the first bowler’s first ball; check your book"),
        ("Bags", "two, 3 and 2 balls with spare: 48 and 35 lb of 50 lb"),
        ("Registration", "Tidewrack’s serial is not on the sheet"),
        ("Stays home", "polish and solvent cleaner: flammables do not travel in a bag; check the carrier’s rules"),
    )
    cautions = ("Sanding: wet keeps the dust down; mask and glasses. Local rules come first.",)
    parts = (PrepPart("By Fri 27 Nov, 21:00", before), PrepPart("Sat 28 Nov", day))
    return PrepSheet(parts, "2 of 11 done", 15.0, 2, cautions, facts)


def registration() -> Registration:
    def row(number: int, serial: str, hardness: str) -> RegisteredBall:
        name = BALLS[number][0]
        return RegisteredBall(
            number + 1, name, serial, "15 lb 1 oz", "solid", hardness, "Thu 26 Nov, 23 °C" if hardness else "",
            "" if serial else "serial is not known",
        )  # fmt: skip

    rows_ = (row(0, "7KQ4411", "76 D"), row(1, "7KQ4502", "77 D"), row(2, "", "75 D"), row(3, "8AA0190", ""))
    return Registration("Autumn singles, Sat 28 Nov", "Mirel Oster", "Squad 1", rows_, ("List checked on 20 Nov.",))


def cards() -> tuple[StageCard, ...]:
    made = []
    for at, stage in enumerate(STAGES):
        order = sorted(range(4), key=lambda n, a=at: n != BEST[a])
        card_rows = tuple(
            StageCardRow(n + 1, BALLS[n][0], BALLS[n][1], BALLS[n][4][at], stage.line, n == BEST[at]) for n in order
        )
        then = "after shot 110: moved in, Paper Moth" if stage.key == "drying" else ""
        made.append(StageCard(stage.key, stage.title, stage.shots, card_rows, then, 14))
    return tuple(made)


def event(name: str = "Autumn singles") -> Event:
    squad = Squad("Squad 1", (Block(BAN + timedelta(minutes=5), 3), Block(BAN + timedelta(hours=3), 3)))
    return Event(1, name, date(2026, 11, 28), "Weststadt", (squad,), (1,), balls_allowed=6)


def plan(name: str = "Autumn singles", **fields: object) -> EventPlan:
    lines = tuple(line(number) for number in range(len(BALLS)))
    names = [lines[best].name for best in BEST]
    more = ("and 1 more", "and 2 more", "and 1 more", "barely", "and 2 more")
    reach = (Reach.GOOD, Reach.GOOD, Reach.GOOD, Reach.BARELY, Reach.GOOD)
    feet = tuple(
        Covered(s.key, best + 1, n, m, r) for s, best, n, m, r in zip(STAGES, BEST, names, more, reach, strict=True)
    )
    buys = (
        OneMore("A pad", "3000 h on Slow Lantern, Fri", "burnt fronts  ½ in, ½ out → 1 in, 1 out", "3 min"),
        OneMore("A ball you have", "Rook Hollow, refreshed", "carrydown  nothing better than Quarry Song", "1 place"),
        OneMore("A ball you do not own", "weak pearl", "burnt fronts  1 in, 1 out → 2 in, 1 out ± ½", "before Sat"),
    )  # fmt: skip
    made = {
        "id": 7, "event": event(name), "entered_id": 1, "bowler_id": 1, "title": f"{name}, Sat 28 Nov",
        "bowler": "Mirel Oster", "lanes": "41 ft house, 25 mL", "balls": "4 of 6 balls",
        "side": "± ½ board; shots on your own side", "rule": RuleState(True, "pads allowed until 8:55, Sat", BAN),
        "stages": STAGES, "rows": lines, "covered": feet, "at_least": "at least 1 in, 1 out", "more": buys,
        "sentences": (), "problems": (), "prep": prep(), "registration": registration(), "cards": cards(),
        "stamp": Stamp("m", "p", 1, 200, "x"), "made_at": NOW - timedelta(days=1),
    }  # fmt: skip
    return EventPlan(**{**made, **fields})  # type: ignore[arg-type]


def names(name: str = "Autumn singles") -> tuple[EventName, ...]:
    return (EventName(1, name, f"{name}, Sat 28 Nov", date(2026, 11, 28), False, (1,), ("Mirel Oster",)),)


def at_lanes(**fields: object) -> AtTheLanes:
    made = {
        "countdown": "no pads from now: 12 min", "pads_until": BAN, "rule": RuleState(True, "pads allowed until 8:55"),
        "thrown": (Thrown(3, "Slow Lantern", "14 shots, wiped every shot"),), "shots_on_pair": 60, "stage": "drying",
        "stage_words": "track drying, about shot 60 on the pair", "in_hand": "Slow Lantern, 2000 s, on 24 over 16",
        "next_ball": "Paper Moth", "next_reason": "covers moved in, from about shot 110",
        "wipe": "every shot: 25 mL and a solid cover", "block": "block 1 of 2, 3 games, since 9:00",
        "between": "re-oiled; pads not allowed", "block_number": 1,
        "clean": "clean all used tonight: Slow Lantern, Paper Moth",
    }  # fmt: skip
    return AtTheLanes(**{**made, **fields})  # type: ignore[arg-type]
