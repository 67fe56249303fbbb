"""Trials out of the balls' logs: practice shots, words for one shot, and two balls thrown back to back.

`trials` gives a `FromLog`: its `trials` go on to `cases_of` together with the same entries, its `findings` stand beside
those that come of that. Entries taken back never count.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType

from arsenal.trade import days
from arsenal.trade.entries import Compared, Entry, Saw, Seen, Shot, effective
from arsenal.trade.findings import Finding, Weight
from arsenal.trade.release import Style
from arsenal.trade.trial import AnyTrial, PairedTrial, Sighting, Trial, Word
from arsenal.trade.units import BOARD_M

WORD_OF = {
    Seen.LONG: Word.LONG, Seen.LIGHT: Word.LIGHT, Seen.FLUSH: Word.FLUSH, Seen.HIGH: Word.HIGH, Seen.OVER: Word.OVER,
    Seen.QUIT: Word.ROLLED_OUT, Seen.HUNG: Word.HUNG,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class FromLog:
    """Trials in order of day and seq, and what was said of entries that tell of no lane or bowler."""

    trials: tuple[AnyTrial, ...]
    findings: tuple[Finding, ...] = ()


def trials(
    entries_by_ball: Mapping[int, Sequence[Entry]], owners: Mapping[int, int],
    usual_lanes: Mapping[int, int] = MappingProxyType({}), styles: Mapping[int, Style] = MappingProxyType({}),
) -> FromLog:  # fmt: skip
    """Every trial of these logs. `owners` is the bowler of each ball; `usual_lanes` the condition of a bowler whose
    entry names none; `styles` each bowler's usual release, into which a measured one is put.
    """
    made: list[AnyTrial] = []
    found: list[Finding] = []
    for ball_id, entries in entries_by_ball.items():
        for entry in effective(list(entries)):
            if isinstance(entry.payload, Shot | Saw | Compared):
                trial = _trial(entry, ball_id, owners, usual_lanes, styles)
                if isinstance(trial, Finding):
                    found.append(trial)
                else:
                    made.append(trial)
    by_day = sorted(made, key=lambda t: (t.on, t.seq))
    return FromLog(tuple(by_day), tuple(sorted(found, key=lambda f: f.seq or 0)))


def outing(on: date, lane_id: int, bowler_id: int, named: str = "") -> str:
    """What shots at one lane at one time share: day, lane and bowler, or the name somebody gave it that day there."""
    return f"{on.isoformat()} lane {lane_id} " + (f"“{named}”" if named else f"bowler {bowler_id}")


def _trial(
    entry: Entry, ball_id: int, owners: Mapping[int, int], usual_lanes: Mapping[int, int], styles: Mapping[int, Style]
) -> AnyTrial | Finding:
    payload = entry.payload
    assert isinstance(payload, Shot | Saw | Compared)  # noqa: S101 -- asked only of these
    told = payload.bowler_id if isinstance(payload, Shot) else None
    bowler_id = told if told is not None else owners.get(ball_id)
    if bowler_id is None:
        return _waits(entry, "trial.no-bowler", "Nobody has said who threw it")
    lane_id = payload.lane_id if payload.lane_id is not None else usual_lanes.get(bowler_id)
    if lane_id is None:
        return _waits(entry, "trial.no-lane", "It names no condition, and its bowler has no usual one")
    if isinstance(payload, Shot):
        return _shot(entry, payload, bowler_id, lane_id, styles)
    key = outing(entry.on, lane_id, bowler_id)
    if isinstance(payload, Saw):
        seen = Sighting(words=(WORD_OF[payload.seen],))
        return Trial(entry.seq, entry.ball_id, bowler_id, lane_id, entry.on, key, seen, typed=entry.typed)
    return PairedTrial(
        entry.seq, entry.ball_id, payload.other_ball_id, bowler_id, lane_id, entry.on, key, payload.boards * BOARD_M,
        payload.sd_boards * BOARD_M, typed=entry.typed,
    )  # fmt: skip


def _shot(entry: Entry, shot: Shot, bowler_id: int, lane_id: int, styles: Mapping[int, Style]) -> Trial:
    usual = styles.get(bowler_id)
    style = shot.measured.over(usual) if shot.measured is not None and usual is not None else None
    key = outing(entry.on, lane_id, bowler_id, shot.outing)
    return Trial(
        entry.seq, entry.ball_id, bowler_id, lane_id, entry.on, key, shot.seen, shot.line,
        None if style == usual else style, shot.wiped, shot.minute, entry.typed,
    )  # fmt: skip


def _waits(entry: Entry, code: str, why: str) -> Finding:
    said = f" “{entry.typed}”" if entry.typed else ""
    text = f"The practice shot{said} of {days.day_and_year(entry.on)} waits. {why}."
    return Finding(code, text, Weight.WARN, entry.seq)
