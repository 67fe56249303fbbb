"""Words of the Bench: finish, days, games and facts of a ball."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from arsenal.desk.lane_side.words import finish, games, grit
from arsenal.order import words as say
from arsenal.trade import days
from arsenal.trade.units import FOOT_M

if TYPE_CHECKING:
    from arsenal.acts.views import BallSheet
    from arsenal.desk.bench.asking import BallLine
    from arsenal.plan.records import Job
    from arsenal.surface.state import Estimate, SurfaceState

__all__ = [
    "KEYS", "boards_lost", "day", "finish", "games", "grit", "line_rest", "pressing", "sentence", "set_words",
    "spoken_line",
]  # fmt: skip


KEYS = (
    ("/", "type what happened"), ("← →", "a day back or on, in the timeline"), ("V", "pads or recipes"),
    ("Enter", "on a pad: its line for a look; on a recipe: log it"),
    ("J", "the chosen pad or recipe in full, beside the full sequence"), ("Q", "ask it the other way round"),
    ("Y", "take the answer"), ("A", "another pad or recipe"), ("D", "change the pad or recipe"),
    ("L", "print the recipe"), ("U", "pad used up, or not"), ("K", "all that is known of the ball"),
    ("N", "another ball"), ("B", "change the ball"), ("O", "try a ball not owned yet"),
    ("F", "fit and drilling"), ("T", "lend, take back or sell the ball"), ("I", "print its history"),
    ("W", "whose it is: name, throw, phone, reminders"), ("X", "their records: give out or erase"),
)  # fmt: skip
"""Keys of the room beyond its buttons, for F1."""


def day(on: date | None, today: date) -> str:
    """“2 Nov”, with its year where that is not this season."""
    if on is None:
        return ""
    far = abs((today - on).days) > 300
    return days.day_and_year(on) if far else days.day(on)


def line_rest(state: SurfaceState) -> str:
    """“, 3200, 14 games”."""
    return f", {grit(state)}, {games(state.games_on_finish.mean)}"


def set_words(state: SurfaceState, today: date) -> str:
    """“set 2 Nov”."""
    return f"set {day(state.finish_on, today)}" if state.finish_on else "as it came"


def whole(number: Estimate) -> tuple[str, str]:
    """(“14 games”, “± 1”); no doubt where there is none worth a game."""
    doubt = round(number.sd)
    return games(number.mean), f"± {doubt}" if doubt >= 1 else ""


def sentence(state: SurfaceState, job: Job | None, today: date) -> list[tuple[str, bool]]:
    """“Set 1000 h on 2 Nov, 14 games ago. Since it settled in it has lost 3 ± 1 boards and 2 ft of first read.”"""
    parts: list[tuple[str, bool]] = []
    if state.finish_on is None:
        parts += [("Nobody has said what was put on it. It has played ", False)]
        parts += [(games(state.games_in_all.mean), True), (" in this log.", False)]
    else:
        parts += [("Set ", False), (finish(state), True), (f" on {day(state.finish_on, today)}, ", False)]
        parts += [(games(state.games_on_finish.mean), True), (" ago.", False)]
    if job is not None and job.boards_lost is not None and state.settled_in is not None:
        lost = job.boards_lost
        amount = f"{say.amount(max(lost.mean, 0.0), lost.sd)} ± {say.doubt(lost.sd)} boards"
        parts += [(" Since it settled in it has lost ", False), (amount, True)]
        if job.first_read_lost_m is not None:
            feet = max(job.first_read_lost_m / FOOT_M, 0.0)
            parts += [(" and ", False), (f"{say.halves(feet)} ft", True), (" of first read.", False)]
        else:
            parts += [(".", False)]
    return parts


def boards_lost(boards: Estimate) -> tuple[str, str]:
    """(“2 boards”, “± 1”), (“none”, “± ½”), (“1 board gained”, …)."""
    said = say.amount(boards.mean, boards.sd)
    doubt = f"± {say.doubt(boards.sd)}"
    if said == "0":
        return "0 boards", doubt
    return f"{said} {'board' if said in ('½', '1') else 'boards'}{' gained' if boards.mean < 0.0 else ''}", doubt


_MARKS = {"bad": ("◆", "bad"), "warn": ("●", "warn")}


def pressing(sheet: BallSheet) -> list[tuple[str, str, str]]:
    """(mark, token, sentence) of findings and alarms, the most pressing first; a shape beside each colour."""
    told = [
        (("bad", "warn", "note").index(f.weight.value), *_MARKS.get(f.weight.value, ("○", "ink2")), f.sentence)
        for f in sheet.findings
    ]
    told += [(1, "●", "warn", f"{alarm.title}: {alarm.detail}") for alarm in sheet.alarms]
    return [(mark, token, sentence) for _, mark, token, sentence in sorted(told, key=lambda row: row[0])]


def spoken_line(line: BallLine) -> str:
    """A ball of the list for a screen reader."""
    due = {"fine": "", "soon": "work soon", "due": "work due", "over": "see to it"}[line.due]
    spare = "spare ball" if line.ball.spare else ""
    holder = line.state.holder.value if line.state.holder.value != "in the bag" else ""
    told = f"{line.ball.name}, {finish(line.state)}{line_rest(line.state)}"
    return ", ".join(part for part in (told, spare, holder, due) if part)
