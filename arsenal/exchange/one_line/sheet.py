"""What a line has said so far, while it is being read: pieces of log, and the day, lane and wiping they share."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date

from arsenal.exchange.one_line.dates import read_day
from arsenal.exchange.one_line.tokens import Cursor
from arsenal.exchange.one_line.who import Scene
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Compared, Kind, Payload, Played, Saw, Shot, Wiped
from arsenal.trade.errors import KnownError, NotUnderstood


@dataclass
class Piece:
    """One entry to be: the same for every ball the line names, but for what each ball decides."""

    kind: Kind
    payload: Payload
    undoes: int | None = None
    for_ball: Callable[[Ball], tuple[Payload, int | None]] | None = None
    """Where the payload differs by ball (the newest pad of its owner, its last entry): payload and what it undoes."""


@dataclass
class Sheet:
    """The line as far as it has been read."""

    scene: Scene
    pieces: list[Piece] = field(default_factory=list)
    on: date | None = None
    wiped: Wiped | None = None
    wiped_word: str = ""
    lane_id: int | None = None
    lane_word: str = ""
    minute: int | None = None
    """The time the line begins with, minutes after midnight."""
    cautions: list[str] = field(default_factory=list)
    to_confirm: bool = False

    def add(self, kind: Kind, payload: Payload) -> None:
        """One more entry."""
        self.pieces.append(Piece(kind, payload))

    def caution(self, sentence: str) -> None:
        """Something to say once beside what Enter will log."""
        if sentence not in self.cautions:
            self.cautions.append(sentence)

    def settle(self) -> None:
        """Hand wiping and lane to the pieces they belong to. Raises NotUnderstood where there is none."""
        played = [p for p in self.pieces if isinstance(p.payload, Played | Shot)]
        if len({p.kind for p in played}) > 1:
            raise KnownError(
                "Each shot that was seen counts as play already.", next_step="Write other play on a line of its own."
            )
        if self.wiped_word and not played:
            raise NotUnderstood(self.wiped_word, "Wiping goes with shots or games, as in 3g wiped.")
        if self.minute is not None and all(p.kind is not Kind.SHOT for p in self.pieces):
            said = f"{self.minute // 60}:{self.minute % 60:02d}"
            raise NotUnderstood(said, "A time goes with a practice shot, as in 18:42 rook high.")
        on_lane = [p for p in self.pieces if isinstance(p.payload, Played | Compared | Saw | Shot)]
        if self.lane_word and not on_lane:
            raise NotUnderstood(
                self.lane_word, "A condition goes with shots, games or what was seen, as in 3g on house."
            )
        for piece in on_lane:
            if isinstance(piece.payload, Played):
                piece.payload = replace(piece.payload, lane_id=self.lane_id, wiped=self.wiped)
            elif isinstance(piece.payload, Shot):
                if self.wiped is Wiped.SOMETIMES:
                    raise NotUnderstood(self.wiped_word, "One shot was wiped before it or not: wiped, unwiped.")
                wiped = None if self.wiped is None else self.wiped is Wiped.EACH
                piece.payload = replace(piece.payload, lane_id=self.lane_id, wiped=wiped)
            elif isinstance(piece.payload, Compared | Saw):
                piece.payload = replace(piece.payload, lane_id=self.lane_id)


Reader = Callable[[Cursor, Sheet], bool]
"""Reads what stands at the cursor onto the sheet; False, with the cursor where it was, where it is not its business."""


def read_text(cursor: Cursor, sheet: Sheet) -> str:
    """Free words up to a day at the end or to the end; quoted text as it stands."""
    token = cursor.peek()
    if token is None:
        return ""
    if token.quoted:
        return cursor.take().text
    words: list[str] = []
    while (token := cursor.peek()) is not None and not token.quoted and token.text != ";":
        before = cursor.at
        day = read_day(cursor, sheet.scene.today) if words or cursor.low() not in ("may", "mar", "sun", "sat") else None
        if day is not None and (cursor.done or cursor.low() == ";"):
            sheet.on = day
            break
        cursor.at = before
        words.append(cursor.take().text)
    return " ".join(words)
