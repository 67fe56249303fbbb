"""A practice shot as a form of the Bench: as much or as little as was seen, in the boards of who threw it."""

from __future__ import annotations

import re
from typing import Any

from arsenal.desk.bench.forms_fields import Around, Choices, Form, Made, Number, Pick, Text, Values
from arsenal.trade.entries import Kind, Shot
from arsenal.trade.errors import KnownError
from arsenal.trade.limits import Limit
from arsenal.trade.person import Person
from arsenal.trade.trial import PINS

NOT_SAID = ("not said", None)
WORDS: Choices = (("not said", ""), *((word, word) for word in ("long", "light", "flush", "high", "over")))
GAVE_UP: Choices = (("no", ""), ("quit: rolled out, no hit", "rolled out"), ("hung: turned, then stood up", "hung"))
TARGET: Choices = (NOT_SAID, ("hit", 0.0), ("missed to the left", -1.0), ("missed to the right", 1.0))
OFF = Limit("boards", 0.0, 20.0, "boards")


def _throwers(around: Around) -> Choices:
    """The owner stands for himself: nothing is said of who threw it."""
    owner = around.ball.owner_id
    others = [(one.name, one.id) for one in around.people if one.id != owner and one.style is not None]
    return [("its owner", None), *others]


def _lanes(around: Around) -> Choices:
    return (("the usual condition", None), *((lane.name, lane.id) for lane in around.lanes))


def pins_of(text: str) -> tuple[int, ...]:
    """“6 10”, “6, 10”: pins in order. Raises KnownError."""
    said = re.split(r"[\s,;/–-]+", text.strip()) if text.strip() else []
    if not all(one.isdigit() and int(one) in PINS for one in said):
        raise KnownError(f"“{text}” are no pins.", next_step="Write their numbers, 1 to 10, as in 6 10.")
    return tuple(sorted({int(one) for one in said}))


def _bowler(values: Values, around: Around) -> Person:
    wanted = values["by"] if values["by"] is not None else around.ball.owner_id
    found = next((one for one in around.people if one.id == wanted), None)
    if found is None:
        raise KnownError("Nobody is known who could have thrown this.", next_step="Add the bowler first.")
    return found


def _shot(values: Values, around: Around) -> Made:
    from arsenal.acts import practice_rows  # noqa: PLC0415 - heavy
    from arsenal.acts.practice_views import AsSeen  # noqa: PLC0415

    bowler = _bowler(values, around)
    words = ", ".join(word for word in (values["word"], values["gave_up"]) if word)
    seen = AsSeen(
        words, values["landing"], values["first_read"], values["breakpoint"], values["breakpoint_board"],
        values["arrows"], _off(values, bowler), pins_of(values["pins"]),
    )  # fmt: skip
    if not seen.says_something:
        raise KnownError("Nothing was seen of this shot.", next_step="One word or one number is enough.")
    by = bowler.id if bowler.id != around.ball.owner_id else None
    shot = Shot(practice_rows.sighting(bowler, seen), by, values["lane"], wiped=values["wiped"], outing=values["pair"])
    return Made(Kind.SHOT, shot)


def _off(values: Values, bowler: Person) -> float | None:
    """Boards off the target, toward the hook side positive."""
    way: Any = values["target"]
    if way is None or way == 0.0:
        return way  # type: ignore[no-any-return]
    if values["off"] is None:
        raise KnownError("By how many boards was the target missed?", next_step="Half a board is enough.")
    return float(values["off"] * way * (-1.0 if bowler.hooks_to_left else 1.0))


SHOT = Form("shot", "Played", "Practice shot", (
    Pick("word", "It was", WORDS, ""),
    Pick("gave_up", "Gave up", GAVE_UP, ""),
    Number("landing", "Ended at board", "board seen"),
    Number("first_read", "Read at", "seen at"),
    Number("breakpoint", "Broke at", "seen at"),
    Number("breakpoint_board", "… on board", "board seen"),
    Number("arrows", "Arrows, board", "board seen"),
    Pick("target", "Target at the arrows", TARGET),
    Number("off", "… missed by", OFF, only=("target", (-1.0, 1.0))),
    Text("pins", "Pins left", "6 10; as seen, nothing is read into them"),
    Pick("wiped", "Wiped before it", (NOT_SAID, ("yes", True), ("no", False))),
    Pick("by", "Thrown by", _throwers),
    Pick("lane", "On", _lanes),
    Text("pair", "Pair of lanes", "in your own words", most=40),
), _shot, blames="word")  # fmt: skip
