"""Lines of the week: each day has as many as it needs, each with at most one job, one play and one thing after."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from arsenal.acts.calendar_views import DayView, PlayItem, WeekView, WorkItem

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class WeekLine:
    """One line of one day."""

    day: DayView
    number: int
    """0 for the day's first line, which carries its name."""
    last: bool
    before: WorkItem | None = None
    same_pad: bool = False
    """The pad is out already for the job above it."""
    play: PlayItem | None = None
    after: str = ""
    after_work: WorkItem | None = None
    aside: str = ""
    """Time for work of the day and what is odd about it: a low line of its own below the jobs."""

    @property
    def item(self) -> WorkItem | None:
        """The job on the line."""
        return self.before or self.after_work

    @property
    def quiet(self) -> bool:
        """Nothing stands on it."""
        return not (self.item or self.play or self.after)

    @property
    def low(self) -> bool:
        """Only the day's time for work."""
        return self.quiet and bool(self.aside) and self.number > 0


def lines_of(week: WeekView) -> list[WeekLine]:
    """Every line, Monday to Sunday."""
    return [line for day in week.days for line in _day(day)]


def _day(day: DayView) -> list[WeekLine]:
    start = max(len(day.before), len(day.after))
    most = max(len(day.before), len(day.play), len(day.after), start + len(day.after_work) if day.after_work else 0)
    aside = "; ".join([*(slot.words for slot in day.slots), *day.remarks])
    count = max(1, most + bool(aside))
    lines = []
    for n in range(count):
        before = _at(day.before, n)
        late = _at(day.after_work, n - start) if n >= start else None
        above = _at(day.before, n - 1) if n else None
        lines.append(
            WeekLine(
                day, n, n == count - 1, before, _same(before, above), _at(day.play, n), _at(day.after, n) or "", late,
                aside if n == count - 1 else "",
            )
        )  # fmt: skip
    return lines


def _at(row: tuple[T, ...], number: int) -> T | None:
    return row[number] if 0 <= number < len(row) else None


def _same(item: WorkItem | None, above: WorkItem | None) -> bool:
    if item is None or above is None or not item.steps_key:
        return False
    return item.steps_key == above.steps_key and item.slot_key == above.slot_key


def work_words(item: WorkItem, *, same_pad: bool = False) -> str:
    """Under the ball: “1000 h, 3 min, same pad”, “deep oil, 40 min, heat cabinet”: what may be cut off comes last."""
    refresh = item.work == "refresh" and item.how
    parts = [item.how, item.minutes_words] if refresh else [item.work, item.minutes_words, item.how]
    return ", ".join(part for part in (*parts, "same pad" if same_pad else "", item.remark) if part)


def spoken(line: WeekLine) -> str:
    """One line for a screen reader; the day's first says the whole day's name and its time for work."""
    state = {"fine": "", "soon": "soon", "due": "due", "over": "over"}
    parts = [line.day.name + (", today" if line.day.today else "")]
    if line.aside:
        parts.append(line.aside)
    if line.before:
        item = line.before
        parts.append(f"before play: {item.ball}, {_said(item, same_pad=line.same_pad)}")
        parts += [said for said in (state.get(item.mark, ""), item.due_words, item.owner) if said]
    if line.play:
        parts.append(f"{line.play.name}, {line.play.words}")
    if line.after:
        parts.append(f"after: {line.after}")
    if line.after_work:
        parts.append(f"after: {line.after_work.ball}, {_said(line.after_work)}")
    if line.quiet:
        parts.append("nothing to do")
    return ", ".join(parts)


def _said(item: WorkItem, *, same_pad: bool = False) -> str:
    words = work_words(item, same_pad=same_pad)
    return words if words.startswith(item.work) else f"{item.work} {words}"
