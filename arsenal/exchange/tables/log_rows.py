"""A row of a log: the same one-line reader as the desk's, with ball, day and the rest in their columns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from arsenal.exchange.one_line.reader import read_drafts
from arsenal.exchange.one_line.who import Scene
from arsenal.exchange.tables.index import Index
from arsenal.exchange.tables.problems import Bad, reason_of
from arsenal.exchange.tables.rows import Row, before
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Compared, Draft, Kind, Note, OilDrawn, Payload, Played, Saw, Shot, Wiped
from arsenal.trade.errors import KnownError
from arsenal.trade.lane import Lane
from arsenal.trade.pads import Pad
from arsenal.trade.person import Person

_WIPED = {"each shot": Wiped.EACH, "each": Wiped.EACH, "yes": Wiped.EACH, "sometimes": Wiped.SOMETIMES,
          "never": Wiped.NEVER, "no": Wiped.NEVER}  # fmt: skip


class LogReader:
    """Reads rows of a log against the bowlers, balls, conditions and pads that are about."""

    def __init__(
        self, people: Index[Person], balls: Index[Ball], lanes: Index[Lane], pads: Sequence[Pad], today: date
    ) -> None:
        self._people, self._balls, self._lanes, self._today = people, balls, lanes, today
        self._read: dict[str, Sequence[Draft]] = {}
        self._scene = Scene(tuple(balls.all), today, tuple(people.all), pads, tuple(lanes.all), choose_pads=False)

    def drafts(self, row: Row) -> list[Draft]:
        """The entries of one row. Raises Bad."""
        ball = self._ball(row)
        day = row.day("date", self._today)
        if day is None:
            raise Bad(row.header("date"), "This cell may not be empty.")
        if ball.bought_on is not None and day < ball.bought_on:
            raise before(day, ball.bought_on, ball.name)
        wiped, lane = self._wiped(row), row.text("lane")
        lane_id = self._lanes.one(lane, row.header("lane")).id if lane else None
        made = [replace(d, payload=self._placed(d.payload, wiped, lane_id, row)) for d in self._entry(row, ball, day)]
        if wiped is not None and not any(isinstance(d.payload, Played | Shot) for d in made):
            raise Bad(row.header("wiped"), "Wiping goes with shots or games; leave it empty here.")
        if lane_id is not None and not any(isinstance(d.payload, Played | Compared | Saw | Shot) for d in made):
            raise Bad(row.header("lane"), "A condition goes with play or what was seen; leave it empty here.")
        if note := row.text("note"):
            made.append(Draft(ball.id, Kind.NOTE, day, Note(note), note))
        late = row.yes("late")
        return [replace(d, late=late) for d in made]

    def _ball(self, row: Row) -> Ball:
        bowler = row.text("bowler")
        owner = self._people.one(bowler, row.header("bowler")) if bowler else None
        return self._balls.one(
            row.text("ball"), row.header("ball"), None if owner is None else lambda ball: ball.owner_id == owner.id
        )

    def _entry(self, row: Row, ball: Ball, day: date) -> Sequence[Draft]:
        text, header = row.text("entry"), row.header("entry")
        if text in self._read:
            return [replace(d, ball_id=ball.id, on=day) for d in self._read[text]]
        scene = replace(self._scene, today=day, ball_id=ball.id)
        try:
            drafts, sheet = read_drafts(text, scene)
        except KnownError as error:
            raise Bad(header, reason_of(error)) from None
        if any(d.ball_id != ball.id for d in drafts):
            raise Bad(header, "The entry names a ball; the ball has its own column.")
        if any(d.on != day for d in drafts):
            raise Bad(header, "The entry names a day; the day has its own column.")
        if any(d.kind is Kind.UNDO for d in drafts):
            raise Bad(header, "Leave the row out instead of taking it back.")
        if sheet.to_confirm and any(isinstance(d.payload, OilDrawn) and not d.payload.confirmed for d in drafts):
            raise Bad(header, "Over 130 °F, or in an unusual way: add the word confirmed to keep it.")
        if sheet.on is None and not any(isinstance(d.payload, Compared | Shot) for d in drafts):
            self._read[text] = drafts  # means the same of any ball on any day
        return drafts

    def _wiped(self, row: Row) -> Wiped | None:
        text = row.text("wiped").casefold()
        if text and text not in _WIPED:
            raise Bad(row.header("wiped"), f"“{text}” must be each shot, sometimes or never.")
        return _WIPED.get(text)

    def _placed(self, payload: Payload, wiped: Wiped | None, lane_id: int | None, row: Row) -> Payload:
        if not isinstance(payload, Played | Compared | Saw | Shot):
            return payload
        if lane_id is not None and payload.lane_id not in (None, lane_id):
            raise Bad(row.header("lane"), "The entry names another condition.")
        payload = replace(payload, lane_id=payload.lane_id if lane_id is None else lane_id)
        if isinstance(payload, Played) and wiped is not None:
            if payload.wiped not in (None, wiped):
                raise Bad(row.header("wiped"), "The entry says otherwise.")
            payload = replace(payload, wiped=wiped)
        if isinstance(payload, Shot) and wiped is not None:
            if wiped is Wiped.SOMETIMES or payload.wiped not in (None, wiped is Wiped.EACH):
                raise Bad(row.header("wiped"), "One shot was wiped or not; the entry must not say otherwise.")
            payload = replace(payload, wiped=wiped is Wiped.EACH)
        return payload
