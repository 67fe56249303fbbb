"""Fit sheets and drillings by day: of one ball and its owner, or of one person."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QPointF, QRect, QSize
from PySide6.QtGui import QPainter, QResizeEvent
from PySide6.QtWidgets import QListView, QStyleOptionViewItem, QWidget

from arsenal.desk.bench.history_rows import wrapped
from arsenal.desk.dialogs.drill_form import DrillDialog
from arsenal.desk.dialogs.fit_form import FitDialog
from arsenal.desk.parts.dialog import Dialog
from arsenal.desk.parts.lists import ROW, Index, RowPainter, RowsModel, RowsView, write
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look

if TYPE_CHECKING:
    from arsenal.acts.fit_book import FitBook, FitRow
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes
    from arsenal.trade.errors import KnownError

PAD = 12
MOST_LETTERS = 2000
NOTHING = (
    "No fit was measured and no drilling was written down yet. Measure the hand first: a drilling then starts "
    "with its holes."
)


def spoken(row: FitRow) -> str:
    """A row for a screen reader."""
    return ". ".join(part for part in (row.title, row.beside, *row.lines) if part)


def _below(row: FitRow) -> str:
    return "\n".join(part for part in (row.beside, *row.lines) if part)[:MOST_LETTERS]


class FitRowPainter(RowPainter):
    """Title, then its lines, wrapped."""

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """As high as its lines at the view's width."""
        row, view = index.data(ROW), option.widget
        wide = view.viewport().width() if view is not None else look().px(760)  # type: ignore[attr-defined]
        below = wrapped(_below(row), look().font(13), wide - look().px(2 * PAD))[1]
        return QSize(look().px(120), look().px(40) + below)

    def paint_row(self, painter: QPainter, box: QRect, row: Any, *, chosen: bool) -> None:
        """Draw it."""
        px = look().px
        inner = box.adjusted(px(PAD), px(7), -px(PAD), 0)
        write(painter, QRect(inner.left(), inner.top(), inner.width(), px(20)), row.title, look().font(15, 600), "ink")
        painter.setPen(look().color("ink2"))
        said, _ = wrapped(_below(row), look().font(13), inner.width())
        said.draw(painter, QPointF(inner.left(), inner.top() + px(24)))


class FitListDialog(Dialog):
    """The list with what can be done: measure anew, drill, change the chosen one."""

    def __init__(self, shared: Shared, parent: QWidget, *, person_id: int | None, ball_id: int | None) -> None:
        super().__init__("Fit and drilling", parent, width=720)
        self.shared, self._person_id, self._ball_id = shared, person_id, ball_id
        self.book: FitBook | None = None
        self.list = RowsView("Fit sheets and drillings, newest first", RowsModel(spoken), FitRowPainter())
        self.list.setResizeMode(QListView.ResizeMode.Adjust)
        self.list.setMinimumHeight(max(look().px(120), min(look().px(380), self._room().height() - look().px(290))))
        self.body.addWidget(self.list)
        self.none = Plain(NOTHING, token="ink2", wrap=True)
        self.none.hide()
        self.body.addWidget(self.none)
        self.offer("Close", "Esc", self.reject)
        self.change = self.offer("Change", "E", self._change)
        self.drill = self.offer("Drill it", "D", self._drill)
        self.measure = self.offer("Measure", "M", self._measure, primary=True)
        self.drill.setVisible(ball_id is not None)
        self.change.setEnabled(False)
        self.list.opened.connect(lambda _row: self._change())
        self.list.setFocus()
        self.reload()

    def reload(self, _changes: Changes | None = None) -> None:
        """Read it again."""
        ball_id, person_id, metric = self._ball_id, self._person_id, self.shared.settings.units == "metric"

        def read(shop: Shop) -> FitBook:
            from arsenal.acts import fit_book  # noqa: PLC0415 - heavy, on the worker's thread

            if ball_id is not None:
                return fit_book.of_ball(shop, ball_id, metric=metric)
            return fit_book.of_person(shop, person_id or 0, metric=metric)

        self.shared.ask("fit book", read, self._show, failed=self._failed)

    def _show(self, book: FitBook) -> None:
        self.book = book
        who = book.person.name[:80]
        self.heading.setText(f"Drilling of {book.ball.name[:80]}, fit of {who}" if book.ball else f"Fit of {who}")
        self.setWindowTitle(f"Fit of {who} – Padbook")
        self.list.rows_model.set_rows(book.rows)
        self.list.doItemsLayout()
        self.list.setVisible(bool(book.rows))
        self.none.setVisible(not book.rows)
        self.change.setEnabled(bool(book.rows))
        if book.rows:
            self.list.choose(0)
            self.list.scrollToTop()
        self.fit()

    def _failed(self, error: KnownError) -> None:
        self.complain(str(error))

    def _measure(self) -> None:
        if self.book is not None:
            self._open_fit(self.book.new_fit())

    def _drill(self) -> None:
        book = self.book
        if book is not None and book.ball is not None:
            drill = book.new_drill(book.ball)
            DrillDialog(self.shared, self, book.ball.name[:80], drill, book.today, self.reload).open_()

    def _change(self) -> None:
        book, row = self.book, self.list.in_hand()
        if book is None or row is None:
            return
        if row.fit is not None:
            self._open_fit(row.fit)
        elif row.drill is not None:
            name = row.title.rsplit(" drilled, ", 1)[0][:80]
            DrillDialog(self.shared, self, name, row.drill, book.today, self.reload).open_()

    def _open_fit(self, fit: object) -> None:
        book = self.book
        if book is not None:
            FitDialog(self.shared, self, book.person.name[:80], fit, book.today, self.reload).open_()  # type: ignore[arg-type]

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Wrap again."""
        super().resizeEvent(event)
        self.list.scheduleDelayedItemsLayout()


def open_fits(
    shared: Shared, parent: QWidget, *, person_id: int | None = None, ball_id: int | None = None
) -> FitListDialog:
    """Show the list of a ball and its owner, or of a person."""
    dialog = FitListDialog(shared, parent, person_id=person_id, ball_id=ball_id)
    dialog.open_()
    return dialog
