"""The week on paper: one page with a box to tick for each job, what is played, and the cautions of the work."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QSizeF
from PySide6.QtGui import QPageSize, QPainter

from arsenal.desk import pdf_file
from arsenal.desk.print_page import PT_MM, Paper, sheet_layout, sheet_size

if TYPE_CHECKING:
    from arsenal.acts.calendar_views import DayView, WeekView, WorkItem

EDGE_MM = 15.0
LINE_MM, LEAST_MM = 7.4, 3.4
POINTS = 0.6
"""Of the height of a line: the least line has 5.8 points."""
DAY_MM, PLAY_SHARE = 24.0, 0.62
NAMED_WITHOUT_PLACE = 6
CAUTIONS = {
    "sand": "Sanding dust: work wet, or with a mask and eye protection. The maker’s sheet and local codes come first.",
    "spinner": "Spinner: no loose sleeves, hair or rag near it; let it stop before you touch the ball.",
    "oil": "Heat: never above 54 °C; look at plugs and cracks first. The maker’s sheet and local codes come first.",
    "clean": "Cleaner: gloves, fresh air, no flame. Which may be used the rule book says: check yours.",
}


@dataclass(frozen=True, slots=True)
class PaperLine:
    """One line of a day."""

    ball: str = ""
    work: str = ""
    play: str = ""
    box: bool = False


def lines_of(day: DayView, *, owners: bool = False) -> list[PaperLine]:
    """The jobs before play beside what is played, then what follows; one empty line where there is nothing."""
    play = [", ".join(part for part in (one.name, one.words) if part) for one in day.play]
    lines = []
    for n in range(max(len(day.before), len(play))):
        said = play[n] if n < len(play) else ""
        item = day.before[n] if n < len(day.before) else None
        lines.append(PaperLine(item.ball, _work(item, owners=owners), said, box=True) if item else PaperLine(play=said))
    lines += [PaperLine(work=f"After play: {said[:1].lower()}{said[1:]}", box=True) for said in day.after]
    lines += [PaperLine(item.ball, f"{_work(item, owners=owners)}, after play", box=True) for item in day.after_work]
    return lines or [PaperLine()]


def fitted(lines: list[PaperLine], most: int) -> list[PaperLine]:
    """No more than `most` lines; the last one says how many are left out."""
    if len(lines) <= most:
        return lines
    kept = lines[: most - 1]
    return [*kept, PaperLine(work=f"and {len(lines) - len(kept)} more, on the screen")]


def _work(item: WorkItem, *, owners: bool) -> str:
    parts = (f"{item.work} {item.how}".strip(), item.minutes_words, item.owner if owners else "", item.remark)
    return ", ".join(part for part in parts if part)


def cautions(week: WeekView) -> list[str]:
    """One line for each kind of work on the page."""
    items = [item for day in week.days for item in (*day.before, *day.after_work)]
    works = {item.work for item in items}
    turned = any(item.how.endswith((" s", " m")) or item.work == "resurface" for item in items)
    cleans = "clean" in works or any(day.after for day in week.days)
    told = (
        ("sand", bool(works & {"refresh", "resurface"})), ("spinner", turned), ("oil", "deep oil" in works),
        ("clean", cleans),
    )  # fmt: skip
    return [CAUTIONS[name] for name, so in told if so]


class WeekPaper(Paper):
    """Draws the page; the painter's unit is a millimetre, the origin the page's top left corner."""

    def __init__(self, painter: QPainter, week: WeekView, printed: str, page: QSizeF) -> None:
        super().__init__(painter, EDGE_MM, page.width() - EDGE_MM, EDGE_MM)
        self.week, self.printed, self.bottom = week, printed, page.height() - EDGE_MM
        self._told = cautions(week)
        whole = [lines_of(day, owners=week.bowler_id is None) for day in week.days]
        foot = 12.0 + 4.6 * len(self._told) + (6.0 if week.unplaced else 0.0)
        room = self.bottom - EDGE_MM - 20.0 - foot - 2.0 * len(whole)
        most = max(len(lines) for lines in whole)
        while most > 1 and LEAST_MM * sum(min(len(lines), most) for lines in whole) > room:
            most -= 1
        self._days = [(day, fitted(lines, most)) for day, lines in zip(week.days, whole, strict=True)]
        self.step = min(LINE_MM, room / sum(len(lines) for _, lines in self._days))

    def draw(self) -> None:
        """The whole page."""
        self._head()
        for day, lines in self._days:
            self._day(day, lines)
        self._foot()

    def _head(self) -> None:
        wide = self.right - self.left
        self.text(self.left, self.y + 6.0, f"{self.week.title}, {self.week.dates}", 18.0, 600, most=0.7 * wide)
        self.text(self.right, self.y + 6.0, self.week.foot, 11.0, side="right", most=0.29 * wide)
        self.text(self.left, self.y + 12.0, self.week.who, 11.0, most=wide)
        for x, name in ((self.left + DAY_MM, "Before play"), (self._play_x(), "Play")):
            self.text(x, self.y + 18.0, name, 9.0, 500)
        self.y += 20.0
        self.rule(self.y, 0.4)

    def _play_x(self) -> float:
        return self.left + PLAY_SHARE * (self.right - self.left)

    def _day(self, day: DayView, lines: list[PaperLine]) -> None:
        points, start = min(11.0, POINTS * self.step / PT_MM), self.y + 0.6
        for number, line in enumerate(lines):
            base = start + (number + 0.72) * self.step
            if number == 0:
                self.text(self.left, base, day.name, points, 600, most=DAY_MM - 2.0)
            self._line(line, base, points)
        self.y = start + len(lines) * self.step + 0.7
        self.rule(self.y, 0.15)

    def _line(self, line: PaperLine, base: float, points: float) -> None:
        x, side = self.left + DAY_MM, 0.5 * self.step
        if line.box:
            self.box(x, base, side)
            x += side + 1.8
        room = (self._play_x() if line.play else self.right) - x - 3.0
        wide = self.text(x, base, line.ball, points, 600, most=room) + 2.0 if line.ball else 0.0
        if line.work and room - wide > 4.0:
            self.text(x + wide, base, line.work, 0.92 * points, most=room - wide)
        if line.play:
            self.text(self._play_x(), base, line.play, 0.92 * points, most=self.right - self._play_x())

    def _foot(self) -> None:
        wide, y = self.right - self.left, self.bottom - 4.6 * len(self._told) - 5.0
        if self.week.unplaced:
            named = ", ".join(f"{item.ball} {item.work}" for item in self.week.unplaced[:NAMED_WITHOUT_PLACE])
            more = len(self.week.unplaced) - NAMED_WITHOUT_PLACE
            said = f"No time for: {named}" + (f" and {more} more" if more > 0 else "")
            self.text(self.left, y - 2.0, said, 9.5, 500, most=wide)
        for caution in self._told:
            y += 4.6
            self.text(self.left, y, caution, 9.0, most=wide)
        self.text(self.left, self.bottom + 1.0, self.printed, 7.5, most=wide)


def page_mm() -> QSizeF:
    """The page of this place."""
    return sheet_size().size(QPageSize.Unit.Millimeter)


def draw(painter: QPainter, week: WeekView, printed: str, dots_a_mm: float) -> None:
    """The whole page; the painter's unit becomes a millimetre."""
    painter.save()
    painter.scale(dots_a_mm, dots_a_mm)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen("#000000")
    WeekPaper(painter, week, printed, page_mm()).draw()
    painter.restore()


def said(week: WeekView) -> str:
    """The page in words, for a screen reader."""
    return ". ".join([f"{week.title}, {week.dates}, {week.who}", *(day.spoken for day in week.days), *cautions(week)])


def write_pdf(path: Path, week: WeekView, printed: str) -> Path:
    """The page as PDF; the file appears whole or not at all. Raises KnownError."""
    title = f"{week.title}, {week.dates}"
    return pdf_file.write_pdf(
        path, title, sheet_layout(), [lambda painter, dots: draw(painter, week, printed, dots)]
    )  # fmt: skip
