"""What the moves say: keys side by side with where each now ends, the sentence of the chosen one, remarks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from arsenal.acts import own_side
from arsenal.motion.moves import Moved
from arsenal.motion.records import BestLine
from arsenal.order import words as say
from arsenal.order.corrections import Correction
from arsenal.order.records import OrderRow, Remark
from arsenal.surface.state import Estimate
from arsenal.trade.person import Person
from arsenal.trade.units import BOARD_M

if TYPE_CHECKING:
    from arsenal.acts.moves import MovesSheet


@dataclass(frozen=True, slots=True)
class Saw:
    """How a shot ended: `word` is high, light, long, or empty for flush as it is reckoned; `boards` from 17½."""

    word: str = ""
    boards: float | None = None

    @property
    def label(self) -> str:
        """“2 high”, “flush”, “2 light and late”."""
        if not self.word:
            return "flush"
        return f"{say.halves(self.boards or 0.0)} {'light and late' if self.word == 'long' else self.word}"


FLUSH = Saw()
SAWS = (
    Saw("high", 1.0), Saw("high", 2.0), Saw("high", 3.0), FLUSH, Saw("light", 1.0), Saw("light", 2.0),
    Saw("light", 3.0), Saw("long", 2.0),
)  # fmt: skip
FIRST = SAWS[1]
REMARKED = (Saw("high", 2.0), Saw("light", 2.0))
SHORT = {"through the nose": "nose", "washes out": "washes"}
SAME_ROOM = 0.04
"""Shares of shots that differ less are called the same room (our own assumption)."""
OUT_OF_REACH = "out of this bowler’s reach"
LATER = "for the next block"
STAYS = "What is unknown of ball and lane stays the same in both shots, so the doubt is that of the change."


@dataclass(frozen=True, slots=True)
class End:
    """One line of a key: “left 16 ± ½ light”. `first` may be empty; `tails` from long to short, as there is room."""

    first: str
    board: str
    tails: tuple[str, ...]
    faint: bool = False


@dataclass(frozen=True, slots=True)
class Told:
    """One key: its name, the lines where it ends, a last line of words, the whole in words, and the sentence below."""

    name: str
    ends: tuple[End, ...]
    last: str
    spoken: str
    sentence: tuple[tuple[tuple[str, bool], ...], ...]
    """In parts of (text, strong) pieces, the most telling first."""


def board(person: Person, landing_m: Estimate) -> tuple[str, str]:
    """(“17½”, “± ½”)."""
    sd = landing_m.sd / BOARD_M
    return say.amount(own_side.board(person, landing_m.mean), sd), f"± {say.doubt(sd)}"


def tails(doubt: str, word: str) -> tuple[str, ...]:
    """What follows a board, from long to short; the bare board is the shortest."""
    return tuple(dict.fromkeys((f"{doubt} {word}", f"{doubt} {SHORT.get(word, word)}", doubt, "")))


def room_word(room: float, usual: float | None) -> str:
    """“more room”, “same room”, “less room” against the ball's own best line; empty where it has none."""
    if usual is None:
        return ""
    if abs(room - usual) < SAME_ROOM:
        return "same room"
    return "more room" if room > usual else "less room"


def in_ten(room: float) -> str:
    """“about 3 shots in 10”, “under 1 shot in 10”."""
    tenths = round(10.0 * room)
    return f"about {tenths} shot{'' if tenths == 1 else 's'} in 10" if tenths else "under 1 shot in 10"


def keys(sheet: MovesSheet, row: OrderRow, person: Person) -> tuple[Told, ...]:
    """The corrections side by side where something was seen, else the usual moves, each both ways."""
    usual = row.best.room if isinstance(row.best, BestLine) else None
    if sheet.saw:
        return tuple(_correction(one, person, usual, sheet.stance_board) for one in sheet.corrections)
    pairs = zip(sheet.moved[::2], sheet.moved[1::2], strict=True)
    return tuple(_pair(a, b, person, usual) for a, b in pairs)


def _correction(one: Correction, person: Person, usual: float | None, stance: float | None) -> Told:
    name, _, further = one.words.removeprefix("ball ").partition(", ")
    name = name[:1].upper() + name[1:] if one.kind in ("ball", "wipe") else name
    if one.landing_m is None:
        parts = ((f"{one.words}: ", False), (one.why_not, True))
        return Told(name, (), one.why_not, f"{one.words}: {one.why_not}", (parts,))
    at, doubt = board(person, one.landing_m)
    end = End(f"and {further}:" if further else "ends", at, tails(doubt, one.word))
    room = room_word(one.room or 0.0, usual)
    last = one.why_not or room if one.allowed else LATER
    spoken = f"{one.words}: ends on {at} {doubt}, {one.word}"
    begun = ((f"{one.words[:1].upper()}{one.words[1:]}: ", False), (f"ends on {at} {doubt}, {one.word}", True))
    rest = [] if one.room is None else [f"{in_ten(one.room)} flush{_against(usual)}"]
    if one.move is not None and stance is not None:
        rest.append(f"feet from {say.halves(stance)} to {say.halves(stance + _own(person, one.move.feet_boards))}")
    rest += [] if one.allowed else [LATER]
    told = (begun, *(((f" · {text}", False),) for text in rest))
    return Told(name, (end,), last, ", ".join([spoken, *([last] if last else [])]), told)


def _against(usual: float | None) -> str:
    return "" if usual is None else f", on its best line {in_ten(usual)}"


def _own(person: Person, boards: float) -> float:
    """Boards toward the hook side as the bowler counts them, from the own gutter."""
    return -boards if person.back_up else boards


def _pair(one: Moved, other: Moved, person: Person, usual: float | None) -> Told:
    name = f"{say.halves(one.move.feet_boards)} and {say.halves(one.move.target_boards)}"
    ends, told = [], []
    for moved in (one, other):
        way = "left" if (moved.move.feet_boards > 0.0) == person.hooks_to_left else "right"
        at, doubt = board(person, moved.landing_m)
        word = "off the lane" if moved.left_lane else moved.word
        ends.append(End(way, at, tails(doubt, word), faint=not moved.in_zone))
        more = OUT_OF_REACH if not moved.in_zone else room_word(moved.room, usual)
        told.append(f"{way} ends on {at} {doubt}, {word}{', ' + more if more else ''}")
    sentence = ((f"{name}: ", False), (told[0], True)), ((" · ", False), (told[1], True))
    return Told(name, tuple(ends), "", f"{name} of feet and target: {'; '.join(told)}", sentence)


def film_words(sheet: MovesSheet) -> str:
    """The lane as that shot shows it."""
    if not sheet.saw or not sheet.corrections:
        return STAYS
    times = sheet.film_factor
    oil = "about the oil" if abs(times - 1.0) < 0.05 else f"about {times:.1f} times the oil"
    return f"Reckoned on the lane as that shot shows it: {oil} the condition says. {STAYS}"


def remark(sheet: MovesSheet, saw: Saw, person: Person) -> Remark | None:
    """“Moves, if it ends 2 high: 2 and 1 left ends 17½ ± ½. …”; nothing where nothing helps."""
    helps = sorted((c for c in sheet.corrections if c.landing_m and c.allowed), key=lambda c: not c.reaches)
    told = []
    for one in helps[:3]:
        assert one.landing_m is not None  # noqa: S101 - looked at just before
        at, doubt = board(person, one.landing_m)
        told.append(f"{one.words[:1].upper()}{one.words[1:]} ends {at} {doubt}.")
    return Remark("moves", f"Moves, if it ends {saw.label}", " ".join(told)) if told else None


def remarks(sheets: Sequence[tuple[Saw, MovesSheet]], person: Person) -> tuple[Remark, ...]:
    """One for each way a shot may end."""
    found = (remark(sheet, saw, person) for saw, sheet in sheets)
    return tuple(one for one in found if one is not None)
