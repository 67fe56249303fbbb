"""The week on paper: one page, a box for each job, its cautions, and text that stays text."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest
import upkeep_weeks as invented
from PySide6.QtGui import QColor, QGuiApplication, QImage, QPainter
from PySide6.QtWidgets import QWidget

from arsenal.acts.calendar_views import CustomerReminder, NotReminded, WeekView
from arsenal.desk import print_week
from arsenal.desk.dialogs.paper import PaperDialog
from arsenal.desk.rooms import Shared
from arsenal.desk.upkeep.to_remind import ToRemind, left_words, text_of
from arsenal.desk.upkeep.week_paper import paper_of
from arsenal.trade.errors import KnownError

NOW = datetime(2026, 11, 24, 18, 42, tzinfo=timezone(timedelta(hours=1)))
DOTS = 4.0


class Counted(print_week.WeekPaper):
    """A page that keeps what it writes and where."""

    def __init__(self, painter: QPainter, week: WeekView) -> None:
        super().__init__(painter, week, "Printed 24 Nov 18:42", print_week.page_mm())
        self.said: list[tuple[str, float]] = []
        self.boxes: list[float] = []

    def text(self, x: float, base: float, words: str, pt: float, weight: int = 400, **more) -> float:
        self.said.append((words, base))
        return super().text(x, base, words, pt, weight, **more)

    def box(self, x: float, base: float, side: float, *, ticked: bool = False) -> None:
        self.boxes.append(base)
        super().box(x, base, side, ticked=ticked)


@pytest.fixture
def drawn(qapp) -> Iterator[tuple[object, QImage]]:
    page = print_week.page_mm()
    image = QImage(round(page.width() * DOTS), round(page.height() * DOTS), QImage.Format.Format_RGB32)
    image.fill(QColor("#FFFFFF"))
    painter = QPainter(image)
    painter.scale(DOTS, DOTS)

    def draw(week: WeekView) -> Counted:
        made = Counted(painter, week)
        made.draw()
        return made

    yield draw, image
    painter.end()


def full(week: WeekView, count: int) -> WeekView:
    """The week with so many jobs on every day."""
    items = tuple(invented.item(n, f"Ball {n}", "refresh", "1000 h", invented.MONDAY) for n in range(count))
    return replace(week, days=tuple(replace(day, before=items) for day in week.days))


def test_every_job_and_what_follows_play_has_a_box_and_empty_days_have_none(drawn) -> None:
    draw, _ = drawn
    week = invented.week()
    page = draw(week)
    jobs = sum(len(day.before) + len(day.after) + len(day.after_work) for day in week.days)
    assert len(page.boxes) == jobs
    words = [said for said, _ in page.said]
    for day in week.days:
        assert day.name in words
    assert "Rook Hollow" in words
    assert "refresh 1000 h, 3 min" in words
    assert "House league, 3 games, 19:00" in words


def test_each_kind_of_work_on_the_page_brings_its_caution_and_no_other() -> None:
    told = " ".join(print_week.cautions(invented.week()))
    for word in ("dust", "54 °C", "Cleaner"):
        assert word in told
    assert "Spinner" not in told, "all of it is by hand"
    assert "Local codes" in told or "local codes" in told
    idle = replace(invented.week(), days=tuple(
        replace(day, before=(), after=(), after_work=()) for day in invented.week().days
    ))  # fmt: skip
    assert print_week.cautions(idle) == []


@pytest.mark.parametrize("count", [0, 3, 7, 60])
def test_a_full_week_still_is_one_page_with_nothing_below_its_edge(drawn, count: int) -> None:
    draw, image = drawn
    page = draw(full(invented.week(unplaced=True), count))
    bottom = print_week.page_mm().height() - print_week.EDGE_MM
    days = [base for words, base in page.said if re.match(r"(Mon|Sun) ", words)]
    assert days == sorted(days)
    assert max(base for _, base in page.said) <= bottom + 1.5
    lowest_line = max(page.boxes, default=0.0)
    cautions = min(base for words, base in page.said if words in print_week.CAUTIONS.values())
    assert lowest_line < cautions
    margin = round((print_week.EDGE_MM - 4.0) * DOTS)
    assert (count > 7) == any("more, on the screen" in words for words, _ in page.said)
    assert page.step >= print_week.LEAST_MM
    edges = {QColor(image.pixel(x, y)).name() for x in range(0, image.width(), 7) for y in range(0, margin, 5)}
    assert edges == {"#ffffff"}


def test_the_pdf_has_one_page_and_appears_whole_or_not_at_all(qapp, tmp_path: Path) -> None:
    path = print_week.write_pdf(tmp_path / "week.pdf", full(invented.week(name=invented.HOSTILE), 6), "Printed")
    data = path.read_bytes()
    assert data.startswith(b"%PDF")
    assert len(re.findall(rb"/Type\s*/Page\b", data)) == 1
    assert not list(tmp_path.glob("*.part"))
    wrong = tmp_path / "week.pdf" / "below a file.pdf"
    with pytest.raises(KnownError):
        print_week.write_pdf(wrong, invented.week(), "Printed")
    assert path.read_bytes() == data


def test_the_preview_says_the_page_to_a_screen_reader_and_keeps_it_as_pdf(
    shared: Shared, window: QWidget, qtbot, tmp_path: Path
) -> None:
    dialog = PaperDialog(shared, window, paper_of(invented.week(name=invented.HOSTILE), NOW))
    dialog.open_()
    pages = [w for w in dialog.findChildren(QWidget) if w.accessibleName().startswith("Week 48")]
    assert "Rook Hollow, refresh" in pages[0].accessibleName()
    assert invented.HOSTILE in pages[0].accessibleName()
    with qtbot.waitSignal(shared.said) as said:
        dialog.write_pdf(tmp_path / "week.pdf")
    assert "Week 48" in said.args[0]
    assert (tmp_path / "week.pdf").exists()


def reminder(name: str, to: str = "000 1234") -> CustomerReminder:
    return CustomerReminder(1, name, to, name, f"Hello {name},\nRook Hollow is due.", ("Rook Hollow",), NOW.date())


def test_copying_takes_the_text_of_all_who_agreed_and_sends_nothing(shared: Shared, window: QWidget, qtbot) -> None:
    known = (reminder(invented.HOSTILE), reminder("Bo Tillander", "bo@house.example"))
    dialog = ToRemind(shared, window, known, (NotReminded(3, "Cato Windt", "no consent recorded"),))
    dialog.open_()
    assert dialog.heading.whole() == "2 customers to remind"
    assert dialog.text.toPlainText() == text_of(known)
    with qtbot.waitSignal(shared.said) as said:
        dialog.copy()
    assert said.args[0] == "Copied the text for 2 customers"
    copied = QGuiApplication.clipboard().text()
    assert invented.HOSTILE in copied
    assert "bo@house.example" in copied
    assert "Cato Windt" not in copied


def test_who_is_left_out_is_named_with_the_reason(shared: Shared, window: QWidget) -> None:
    left = tuple(NotReminded(n, f"Person {n}", "no consent recorded") for n in range(12))
    assert left_words(left).endswith("and 4 more")
    dialog = ToRemind(shared, window, (), left)
    dialog.open_()
    assert dialog.heading.whole() == "Nobody to remind"
    assert not dialog.text.isVisible()
    dialog.reject()


def test_the_shop_prints_whose_ball_it_is_and_a_bowler_need_not(drawn) -> None:
    draw, _ = drawn
    items = (invented.item(1, "Rook Hollow", "refresh", "1000 h", invented.MONDAY, owner=invented.HOSTILE),)
    week = invented.week()
    week = replace(week, days=(replace(week.days[0], before=items), *week.days[1:]))
    assert not any(invented.HOSTILE in words for words, _ in draw(week).said)
    assert any(invented.HOSTILE in words for words, _ in draw(replace(week, bowler_id=None)).said)
