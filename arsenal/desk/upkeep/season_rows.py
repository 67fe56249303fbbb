"""Lines of the season: how much falls into each week, then each ball with its jobs; and what a line says."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from arsenal.trade import days

if TYPE_CHECKING:
    from arsenal.acts.calendar_views import SeasonMark, SeasonRow, SeasonView, SeasonWeek


@dataclass(frozen=True, slots=True)
class Loads:
    """The first line: every week with its minutes of work."""

    weeks: tuple[SeasonWeek, ...]

    @property
    def most(self) -> float:
        """Minutes of the fullest week."""
        return max((week.minutes for week in self.weeks), default=0.0)


@dataclass(frozen=True, slots=True)
class BallLine:
    """A ball with its marks, in the order of their days."""

    row: SeasonRow
    marks: tuple[SeasonMark, ...]


SeasonLine = Loads | BallLine


@dataclass(frozen=True, slots=True)
class Stop:
    """What ← → stop at on a line: a week or a mark, the day it stands on, and its words."""

    on: date
    words: str
    mark: SeasonMark | None = None


def lines_of(season: SeasonView) -> list[SeasonLine]:
    """The weeks, then every ball."""
    lines: list[SeasonLine] = [Loads(season.weeks)] if season.weeks else []
    for row in season.rows:
        marks = sorted((m for m in row.marks if day_of(m) is not None), key=lambda m: (day_of(m) or date.max, m.work))
        lines.append(BallLine(row, tuple(marks)))
    return lines


def day_of(mark: SeasonMark) -> date | None:
    """Where a mark stands: its planned day, else when it most likely falls due."""
    return mark.on or mark.likely or mark.early


def stops_of(line: SeasonLine) -> list[Stop]:
    """Everything on a line, left to right."""
    if isinstance(line, Loads):
        return [Stop(week.monday, week_words(week)) for week in line.weeks]
    return [Stop(day, f"{line.row.ball}: {mark.words}", mark) for mark in line.marks if (day := day_of(mark))]


def week_words(week: SeasonWeek) -> str:
    """“Week 48, from Mon 23 Nov: 4 jobs, 38 min, 7 games, Autumn singles, Sat 28 Nov”."""
    parts = [week.words]
    if week.games:
        parts.append(f"{week.games:g} games")
    return f"Week {week.number}, from {days.weekday_and_day(week.monday)}: {', '.join([*parts, *week.events])}"


def spoken(line: SeasonLine) -> str:
    """A line for a screen reader."""
    if isinstance(line, Loads):
        return "Work of each week: " + "; ".join(week_words(week) for week in line.weeks)
    return line.row.spoken


def nearest(stops: list[Stop], day: date) -> int:
    """The stop closest to a day; −1 where there is none."""
    return min(range(len(stops)), key=lambda i: abs(stops[i].on - day), default=-1)


def monday_of(day: date) -> date:
    """The Monday of its week."""
    return day - timedelta(days=day.weekday())
