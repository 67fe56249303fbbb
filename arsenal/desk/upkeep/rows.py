"""Rows of the Upkeep list: headings Now, This week, Later, Left out, with their jobs, in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING

from arsenal.trade import days

if TYPE_CHECKING:
    from arsenal.acts.views import UpkeepSheet
    from arsenal.plan.records import Job

FAR_DAYS = 330
ALARMS_SHOWN = 2


@dataclass(frozen=True, slots=True)
class Heading:
    """A section's title and what it adds up to."""

    title: str
    detail: str
    folded: bool = False


@dataclass(frozen=True, slots=True)
class JobRow:
    """One job of one ball, or of several balls alike."""

    job: Job
    ball: str
    below: str
    """Under the ball: its cover, or which balls; with the owner where several bowlers are shown."""
    work: str
    why: str
    detail: str
    by: str
    minutes: str
    mark: str
    """State of the due mark."""
    alike: tuple[Job, ...] = field(default=())
    """The jobs this row stands for, itself included."""
    left_out: bool = False

    @property
    def meter(self) -> bool:
        """Whether a bar of how far to due says something."""
        return self.job.work.value in ("refresh", "resurface", "deep oil")


Row = Heading | JobRow


def day_words(day: date | None, today: date) -> str:
    """“Tue 24” within a week, “8 Dec” farther on, “Mar ’28” where the day says nothing any more."""
    if day is None:
        return ""
    away = abs((day - today).days)
    if away < 7:
        return f"{days.weekday(day)} {day.day}"
    month = days.month(day)
    return f"{day.day} {month}" if away < FAR_DAYS else f"{month} ’{day.year % 100:02d}"


def is_now(job: Job) -> bool:
    """Due already."""
    return job.due.value in ("due", "over")


def this_week(job: Job, sheet: UpkeepSheet) -> bool:
    """Soon, or falling in the days shown."""
    return not is_now(job) and (job.due.value == "soon" or (job.by is not None and job.by <= sheet.until))


def sections(
    sheet: UpkeepSheet, owners: Mapping[int, str] | None = None, *, all_later: bool = False, most_later: int = 8
) -> list[Row]:
    """Every row, top to bottom; Later shows the nearest few unless all are asked for. `owners` are the names by id that
    stand with the balls where several bowlers are shown.
    """
    now = [j for j in sheet.jobs if is_now(j)]
    week = [j for j in sheet.jobs if this_week(j, sheet)]
    later = sorted(
        (j for j in sheet.jobs if not is_now(j) and not this_week(j, sheet) and j.by), key=lambda j: j.by or date.max
    )
    rows: list[Row] = []
    for title, jobs in (("Now", now), ("This week", week)):
        rows.append(Heading(title, _adds_up(jobs)))
        rows += _rows(jobs, sheet, owners)
    shown = _rows(later, sheet, owners)
    hidden = 0 if all_later else max(0, len(shown) - most_later)
    if shown:
        rows.append(Heading("Later", count(len(later), "job"), folded=hidden > 0))
        rows += shown[: len(shown) - hidden]
    if sheet.left_out:
        rows.append(Heading("Left out", count(len(sheet.left_out), "job")))
        rows += [_row((job,), sheet, owners, left_out=True) for job in sheet.left_out]
    return rows


def count(number: int, what: str) -> str:
    """“1 job”, “6 jobs”."""
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def minutes_words(minutes: float) -> str:
    """“3 min”, “½ day” for the long ones."""
    return f"{minutes:.0f} min" if minutes < 240 else "½ day"


def _adds_up(jobs: Sequence[Job]) -> str:
    if not jobs:
        return "nothing"
    return f"{count(len(jobs), 'job')}, {sum(j.minutes for j in jobs):.0f} min"


def _rows(jobs: Sequence[Job], sheet: UpkeepSheet, owners: Mapping[int, str] | None) -> list[JobRow]:
    """Cleaning, wiping and looking over several balls by the same day stand in one row."""
    groups: dict[tuple[object, ...], list[Job]] = {}
    for job in jobs:
        alone = job.damage or job.work.value not in ("clean", "wipe", "inspect")
        owner = sheet.balls[job.ball_id].owner_id
        key = (job.ball_id, job.work) if alone else (owner, job.work, job.due, job.by)
        groups.setdefault(key, []).append(job)
    return [_row(tuple(group), sheet, owners) for group in groups.values()]


def _row(
    jobs: tuple[Job, ...], sheet: UpkeepSheet, owners: Mapping[int, str] | None, *, left_out: bool = False
) -> JobRow:
    job = jobs[0]
    names = [sheet.balls[j.ball_id].name for j in jobs]
    if len(jobs) > 1:
        ball, below = _together(names), "each of them"
        detail = job.detail if len({j.detail for j in jobs}) == 1 else ""
    else:
        ball, below, detail = names[0], str(sheet.balls[job.ball_id].cover), job.detail
    if owners:
        below = f"{owners.get(sheet.balls[job.ball_id].owner_id, '')}, {below}".removeprefix(", ")
    why = job.why + (", moved" if job.moved else "")
    state = "fine" if left_out else job.due.value
    total = sum(j.minutes for j in jobs)
    title = str(job.work.value).capitalize()
    return JobRow(
        job, ball, below, title, why, detail, day_words(job.by, sheet.today), minutes_words(total).removesuffix(" min"),
        state, jobs, left_out,
    )  # fmt: skip


def _together(names: Sequence[str]) -> str:
    if len(names) == 2:
        return f"{names[0]} and {names[1]}"
    return f"{names[0]} and {len(names) - 1} more"


def spoken(row: Row) -> str:
    """A row for a screen reader."""
    if isinstance(row, Heading):
        return f"{row.title}, {row.detail}"
    state = {"fine": "", "soon": "soon", "due": "due", "over": "over", "done": "done"}[row.mark]
    parts = (row.ball, row.below, row.work, row.job.how, state, row.why, row.detail, f"by {row.by}" if row.by else "")
    return ", ".join(part for part in parts if part)


def alarm_words(sheet: UpkeepSheet) -> str:
    """What play has done to the sets that no job tells: balls grown alike, one fallen below its neighbour."""
    told = [r for r in sheet.alarms if r.kind != "lost"]
    said = [f"{r.title}. {r.detail}" for r in told[:ALARMS_SHOWN]]
    more = len(told) - len(said)
    return "\n".join(said) + (f"\nand {more} more" if more else "")
