"""The week as it is printed, shown before it is."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from arsenal.desk import print_week
from arsenal.desk.dialogs.paper import Page, Paper, PaperDialog, open_paper
from arsenal.desk.print_page import sheet_layout
from arsenal.desk.rooms import Shared
from arsenal.trade import days

if TYPE_CHECKING:
    from arsenal.acts.calendar_views import WeekView


def paper_of(week: WeekView, now: datetime) -> Paper:
    """The week's one page."""
    printed = f"Printed {days.day(now)} {now:%H:%M}"
    page = Page(week.title, print_week.said(week), lambda painter, dots: print_week.draw(painter, week, printed, dots))
    return Paper(
        "Print the week", week.title, f"{week.title.lower().replace(' ', '-')}.pdf", "", sheet_layout(), (page,),
        lambda path: print_week.write_pdf(path, week, printed),
    )  # fmt: skip


def open_week_paper(shared: Shared, parent: QWidget, week: WeekView) -> PaperDialog:
    """Show it."""
    return open_paper(shared, parent, paper_of(week, datetime.now().astimezone()))
