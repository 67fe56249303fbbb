"""A ball's history on paper, for its owner or for a buyer without anybody's name: seen as it prints, then printed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, QSizeF
from PySide6.QtGui import QFontMetricsF, QPageSize, QPainter
from PySide6.QtWidgets import QWidget

from arsenal.desk import fonts, pdf_file
from arsenal.desk.counter_prints import ink
from arsenal.desk.counter_prints.ink import CounterPaper, plain
from arsenal.desk.dialogs.paper import Asked, Page, Paper, open_paper
from arsenal.desk.print_page import INK, PT_MM, sheet_layout, sheet_size
from arsenal.desk.rooms import Shared
from arsenal.trade import days

if TYPE_CHECKING:
    from arsenal.acts.ball_paper import BallPaper
    from arsenal.acts.counter_views import HistoryLine
    from arsenal.acts.shop import Shop

EDGE, DAY, GAMES = 15.0, 26.0, 16.0
LINE_PT, FACT_PT, HAZARD_PT = 9.5, 10.0, 11.0
FOOT = 12.4
SPACE = 1.2
COPIES = (("owner’s copy", False), ("buyer’s copy, names off", True))
KNOWN = "Every name this file knows is off it, and every note. Read it once before you give it away."
DEFERS = "Estimates from the log; the rule book in force decides."


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the history with its height in mm."""

    line: HistoryLine
    high: float


class HistoryPaper(CounterPaper):
    """Draws the pages; the painter's unit is a millimetre."""

    def __init__(self, painter: QPainter | None, told: BallPaper, page: QSizeF) -> None:
        super().__init__(painter, EDGE, page.width() - EDGE, EDGE)  # type: ignore[arg-type]
        self.told, self.bottom = told, page.height() - EDGE - FOOT
        self.wide = self.right - self.left
        self.room = self.wide - DAY - GAMES
        self.facts = [(what, plain(value, 300)) for what, value in told.facts]

    # how it falls into pages

    def pages(self) -> list[tuple[Row, ...]]:
        """Lines page by page; the first page has the facts above."""
        made: list[list[Row]] = [[]]
        free = self.bottom - EDGE - self._head_height()
        for line in self.told.lines:
            high = ink.height(plain(line.what), LINE_PT, most=self.room) + SPACE
            if high > free and (made[-1] or len(made) == 1):
                made.append([])
                free = self.bottom - EDGE - 14.0
            made[-1].append(Row(line, high))
            free -= high
        return [tuple(rows) for rows in made]

    def _fact_rows(self) -> list[tuple[str, str, float]]:
        """(what, value, height) of each fact."""
        room = self.wide - 42.0
        return [(w, v, max(5.0, ink.height(v, FACT_PT, 500, most=room) + 0.6)) for w, v in self.facts]

    def _head_height(self) -> float:
        hazards = sum(ink.height(plain(said), HAZARD_PT, 600, most=self.wide - 6.0) + 1.6 for said in self.told.hazards)
        return 22.0 + sum(high for *_, high in self._fact_rows()) + hazards + 13.0

    # drawing

    def draw(self, number: int, pages: list[tuple[Row, ...]]) -> None:
        """One page."""
        self.p.setPen(INK)
        if number == 0:
            self._head()
        else:
            self.name(self.left, self.y + 4.5, self.told.ball.name, 12.0, 600, least=9.0, most=0.75 * self.wide)
            self.y += 7.0
        self._columns()
        for row in pages[number]:
            self._row(row)
        if not self.told.lines:
            self.text(self.left, self.y + 4.5, "Nothing is logged for this ball yet.", LINE_PT)
        self._foot(number, len(pages))

    def _head(self) -> None:
        told = self.told
        copy = "History for the next owner" if told.buyers else "History, owner’s copy"
        self.name(self.left, self.y + 7.0, told.ball.name, 20.0, 600, least=12.0, most=self.wide)
        self.text(self.left, self.y + 13.5, copy, 11.0, 500)
        if told.owner:
            self.name(self.right, self.y + 13.5, told.owner, 11.0, 500, least=8.5, side="right", most=0.55 * self.wide)
        self.y += 16.5
        self.rule(self.y, 0.5)
        self.y += 2.5
        for what, value, high in self._fact_rows():
            self.text(self.left, self.y + _ascent(FACT_PT), what, FACT_PT, most=40.0)
            self.wrapped(self.left + 42.0, self.y, value, FACT_PT, 500, most=self.wide - 42.0)
            self.y += high
        for said in told.hazards:
            high = ink.height(plain(said), HAZARD_PT, 600, most=self.wide - 6.0) + 1.6
            self.p.fillRect(QRectF(self.left, self.y + 0.4, 1.6, high - 1.0), INK)
            self.wrapped(self.left + 4.0, self.y + 0.5, plain(said), HAZARD_PT, 600, most=self.wide - 6.0)
            self.y += high
        self.y += 5.0

    def _columns(self) -> None:
        base = self.y + 3.6
        self.text(self.left, base, "Day", 8.5, 500)
        self.text(self.left + DAY, base, "What was done", 8.5, 500)
        self.text(self.right, base, "games by then", 8.5, 500, side="right")
        self.y = base + 1.6
        self.rule(self.y, 0.3)
        self.y += 1.4

    def _row(self, row: Row) -> None:
        line, base = row.line, self.y + _ascent(LINE_PT)
        on = line.on
        self.text(self.left, base, days.day_and_year(on), LINE_PT, 500, most=DAY - 2.0)
        self.wrapped(self.left + DAY, self.y, plain(line.what), LINE_PT, most=self.room)
        self.text(self.right, base, f"{line.games:.0f}", LINE_PT, side="right")
        self.y += row.high

    def _foot(self, number: int, pages: int) -> None:
        told, base = self.told, self.bottom + FOOT
        out = told.left_out
        left = f"{out} line{'s' if out != 1 else ''} that may name somebody left out. " if out else ""
        left += "Names taken out. " if told.buyers else ""
        self.rule(base - 7.8, 0.15)
        first = f"{left}Printed {days.day_and_year(told.on)}."
        self.text(self.left, base - 3.6, first, 8.0, most=0.85 * self.wide)
        self.text(self.left, base, DEFERS, 8.0, most=0.85 * self.wide)
        self.text(self.right, base, f"page {number + 1} of {pages}", 8.0, side="right")


def _ascent(pt: float) -> float:
    """From the top of wrapped text to its first base line, in mm."""
    return QFontMetricsF(fonts.make(100, 400)).ascent() * pt * PT_MM / 100.0


def page_mm() -> QSizeF:
    """The page of this place."""
    return sheet_size().size(QPageSize.Unit.Millimeter)


def hands(told: BallPaper) -> list[Callable[[QPainter, float], None]]:
    """One hand for each page."""
    size = page_mm()
    pages = HistoryPaper(None, told, size).pages()
    return [partial(_draw, told, size, pages, number) for number in range(len(pages))]


def _draw(
    told: BallPaper, size: QSizeF, pages: list[tuple[Row, ...]], number: int, painter: QPainter, dots_a_mm: float
) -> None:  # fmt: skip
    painter.save()
    painter.scale(dots_a_mm, dots_a_mm)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    HistoryPaper(painter, told, size).draw(number, pages)
    painter.restore()


def write_pdf(path: Path, told: BallPaper) -> Path:
    """The history as PDF; the file appears whole or not at all. Raises KnownError."""
    return pdf_file.write_pdf(path, f"History of {plain(told.ball.name, 80)}", sheet_layout(), hands(told))


def spoken(told: BallPaper) -> str:
    """The sheet in words, for a screen reader: its head and how much follows."""
    facts = "; ".join(f"{what} {value}" for what, value in told.facts)
    copy = "for the next owner" if told.buyers else f"of {told.owner}"
    return ". ".join((f"History of {told.ball.name} {copy}", facts, *told.hazards, f"{len(told.lines)} lines"))


def paper_of(told: BallPaper) -> Paper:
    """The history as something to show and print."""
    drawn, words = hands(told), plain(spoken(told), 2000)
    pages = tuple(Page(f"page {n + 1} of {len(drawn)}", words, hand) for n, hand in enumerate(drawn))
    name = plain(told.ball.name, 60)
    copy = "buyer" if told.buyers else "owner"
    note = KNOWN if told.buyers else "With the owner’s name and everything logged."
    return Paper(
        f"History of {name}", f"the history of {name}", f"history-{told.ball.id}-{copy}.pdf",
        f"{sheet_size().name()}, black only. {note}", sheet_layout(), pages, lambda path: write_pdf(path, told),
    )  # fmt: skip


def open_history_print(shared: Shared, parent: QWidget, ball_id: int, *, buyers: bool = False) -> None:
    """Read a ball's history and show it as it will print."""
    metric = shared.settings.units == "metric"

    def read(shop: Shop) -> tuple[BallPaper, BallPaper]:
        from arsenal.acts import ball_paper  # noqa: PLC0415 - heavy, on the worker's thread

        both = [ball_paper.paper(shop, ball_id, buyers=so, metric=metric) for so in (False, True)]
        return both[0], both[1]

    def show(both: tuple[BallPaper, BallPaper]) -> None:
        asked = Asked("Copy", COPIES, buyers, lambda so: paper_of(both[bool(so)]))
        open_paper(shared, parent, paper_of(both[buyers]), (asked,))

    shared.ask("history print", read, show, failed=shared.trouble)
