"""Prep sheet and registration sheet on paper, one page each: drawn smaller where there is much, never a second page."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QSizeF
from PySide6.QtGui import QPageSize, QPainter, QPicture

from arsenal.acts.event_views import EventPlan, Mark, PrepLine, RegisteredBall
from arsenal.desk import pdf_file
from arsenal.desk.print_page import Paper, sheet_layout, sheet_size
from arsenal.trade import days

EDGE_MM, LINE_MM = 15.0, 7.2
LEAST, STEP = 0.62, 0.04
"""The smallest share of its usual size a page is drawn at; lines that still do not fit are counted at its foot."""
PREP, REGISTRATION = "Prep sheet", "Registration sheet"
MOST = {PREP: 1.3, REGISTRATION: 1.0}
WIDTHS = (0.25, 0.17, 0.13, 0.12, 0.12, 0.21)
HEADS = ("Ball", "Serial", "Weight", "Cover", "Hardness", "Read on, at °C")


class SheetPainter(Paper):
    """One of the two sheets; `share` is the size everything is drawn at, `bottom` where the page ends."""

    def __init__(self, painter: QPainter, plan: EventPlan, size: QSizeF, share: float = 1.0) -> None:
        super().__init__(painter, EDGE_MM, size.width() - EDGE_MM, EDGE_MM)
        self.plan, self.share = plan, share
        self.bottom = size.height() - EDGE_MM
        self.left_out = 0

    def draw(self, which: str) -> float:
        """The whole sheet; where it came to an end, in mm."""
        self._head(which)
        if which == PREP:
            self._prep()
        else:
            self._registration()
        return self.y

    def pt(self, points: float) -> float:
        """A size in points at the present share."""
        return points * self.share

    def _head(self, which: str) -> None:
        plan, share = self.plan, self.share
        self.text(self.right, self.y + 5.0 * share, which, self.pt(11), 500, side="right")
        self.text(self.left, self.y + 5.5 * share, plan.title, self.pt(17), 600, most=self.right - self.left - 45.0)
        who = ", ".join(part for part in (plan.bowler, plan.registration.squad, plan.event.place) if part)
        where = " · ".join(part for part in (who, plan.lanes, plan.balls) if part)
        self.text(self.left, self.y + 11.0 * share, where, self.pt(10), most=self.right - self.left)
        self.y += 13.5 * share
        self.rule(self.y, 0.5)
        self.y += 3.0 * share

    # the prep sheet

    def _prep(self) -> None:
        last = self.bottom - (len(self.plan.prep.facts) + len(self.plan.prep.cautions) + 4) * 5.0 * self.share
        for part in self.plan.prep.parts:
            if self.y < last:
                self._part(part.title)
            for line in part.lines:
                if self.y < last or self.share > LEAST:
                    self._line(line)
                else:
                    self.left_out += 1
        self.y += 3.0 * self.share
        for name, words in self.plan.prep.facts:
            high = self.wrapped(self.left, self.y, name, self.pt(9), 600, most=32.0)
            told = self.wrapped(self.left + 34.0, self.y, words, self.pt(9), most=self.right - self.left - 34.0)
            self.y += max(high, told) + 1.0 * self.share
        self._small((*self.plan.problems, *self.plan.prep.cautions, self._foot()))

    def _part(self, title: str) -> None:
        self.text(self.left, self.y + 4.6 * self.share, title, self.pt(11), 600)
        self.y += 6.4 * self.share
        self.rule(self.y, 0.25)

    def _line(self, line: PrepLine) -> None:
        share, ban = self.share, line.mark is Mark.BAN
        base = self.y + 0.68 * LINE_MM * share
        if line.can_tick:
            self.box(self.left, base, 3.6 * share, ticked=line.mark is Mark.DONE)
        weight = 600 if ban or line.warn else 400
        first = self.text(self.left + 7.0, base, line.at or line.who, self.pt(10), 600, most=46.0)
        start = max(self.left + 7.0 + (16.0 if line.at else 40.0) * share, self.left + 10.0 + first)
        what = f"{line.who}: {line.what}" if line.at and line.who else line.what
        at_right = self.text(self.right, base, line.minutes, self.pt(10), side="right")
        most = self.right - start - at_right - 3.0
        high = LINE_MM * share
        if self.width(what, self.pt(10), weight) <= most:
            self.text(start, base, what, self.pt(10), weight, most=most)
        else:
            high = 2.4 * share + self.wrapped(start, self.y + 1.2 * share, what, self.pt(10), weight, most=most)
        self.y += max(high, LINE_MM * share)
        self.rule(self.y, 0.5 if ban else 0.1)

    # the registration sheet

    def _registration(self) -> None:
        wide = self.right - self.left
        starts = [self.left + wide * sum(WIDTHS[:n]) for n in range(len(WIDTHS))]
        rooms = [wide * share - 2.0 for share in WIDTHS]
        for x, head, most in zip(starts, HEADS, rooms, strict=True):
            self.text(x, self.y + 4.2 * self.share, head, self.pt(9), 500, most=most)
        self.y += 6.0 * self.share
        self.rule(self.y, 0.25)
        for row in self.plan.registration.rows:
            self._registered(row, starts, rooms)
        self.y += 3.0 * self.share
        self._small((*self.plan.registration.notes, self._foot()))

    def _registered(self, row: RegisteredBall, starts: list[float], rooms: list[float]) -> None:
        share = self.share
        base = self.y + 6.0 * share
        cells = (row.name, row.serial, row.weight, row.cover, row.hardness, row.hardness_when)
        for number, (x, words, most) in enumerate(zip(starts, cells, rooms, strict=True)):
            if words:
                self.text(x, base, words, self.pt(10.5), 400 if number else 600, most=most)
            else:
                self.rule_between(x, x + most, base + 0.6)
        said = "; ".join((*((row.missing,) if row.missing else ()), *row.advice))
        if said:
            self.text(self.left, base + 4.2 * share, said, self.pt(8), most=self.right - self.left)
        self.y += (11.8 if said else 8.6) * share
        self.rule(self.y, 0.1)

    def rule_between(self, start: float, end: float, y: float) -> None:
        """A line to write on by hand."""
        right, self.right = self.right, end
        self.rule(y, 0.12, start)
        self.right = right

    # the foot

    def _small(self, lines: tuple[str, ...]) -> None:
        for words in lines:
            self.y += 1.2 * self.share
            self.y += self.wrapped(self.left, self.y, words, self.pt(8.5), most=self.right - self.left)

    def _foot(self) -> str:
        made = self.plan.made_at
        more = f"{self.left_out} more lines stand on the screen. " if self.left_out else ""
        return f"{more}Planned {days.day_and_year(made)}, {made:%H:%M}. Ask where the event's own sheet says otherwise."


def fitting(plan: EventPlan, which: str, size: QSizeF) -> float:
    """The share of its full size at which the sheet ends on its page, not under LEAST."""
    share = MOST[which]
    while share > LEAST:
        picture = QPicture()
        painter = QPainter(picture)
        end = SheetPainter(painter, plan, size, share).draw(which)
        painter.end()
        if end <= size.height() - EDGE_MM:
            break
        share = max(LEAST, share - STEP)
    return share


def draw(painter: QPainter, plan: EventPlan, which: str, per_mm: float, page: QPageSize | None = None) -> None:
    """Draw a sheet at the painter's origin with `per_mm` device units a millimetre."""
    size = (page or sheet_size()).size(QPageSize.Unit.Millimeter)
    share = fitting(plan, which, size)
    painter.save()
    painter.scale(per_mm, per_mm)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    SheetPainter(painter, plan, size, share).draw(which)
    painter.restore()


def write_pdf(path: Path, plan: EventPlan) -> Path:
    """Prep sheet and registration sheet, a page each; the file appears whole or not at all. Raises KnownError."""
    pages = [lambda painter, dots, which=which: draw(painter, plan, which, dots) for which in (PREP, REGISTRATION)]
    return pdf_file.write_pdf(path, plan.title, sheet_layout(), pages)
