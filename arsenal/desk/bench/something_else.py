"""Log anything else: every kind of entry in a list, its form beside it, and what it means before it is kept."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QRect, Qt, QTimer
from PySide6.QtGui import QKeyEvent, QPainter
from PySide6.QtWidgets import QFrame, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from arsenal.desk.bench import forms_ask
from arsenal.desk.bench.confirm import must_confirm, open_confirm
from arsenal.desk.bench.forms import FormPanel
from arsenal.desk.bench.forms_fields import Around, Form
from arsenal.desk.bench.forms_kinds import FORMS
from arsenal.desk.parts.dialog import Caution, Dialog
from arsenal.desk.parts.lists import RowPainter, RowsModel, RowsView, write
from arsenal.desk.parts.text import Plain, Run, Runs, runs_of
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look
from arsenal.trade.errors import KnownError

if TYPE_CHECKING:
    from arsenal.acts.views import Changes, Meaning
    from arsenal.trade.ball import Ball
    from arsenal.trade.entries import Draft
    from arsenal.trade.lane import Lane
    from arsenal.trade.pads import Pad
    from arsenal.trade.person import Person

WAIT_MS = 150
LOW = 480
"""Logical height under which the meaning scrolls with the form."""
ROOMY = 640
"""Logical height under which all of the screen is taken."""
NARROW = 760
"""Logical width under which list and form take turns."""


@dataclass(frozen=True, slots=True)
class Group:
    """A heading in the list of kinds."""

    title: str


def kinds() -> list[Group | Form]:
    """The list: headings and kinds in the order of the trade."""
    rows: list[Group | Form] = []
    for number, form in enumerate(FORMS):
        if number == 0 or FORMS[number - 1].group != form.group:
            rows.append(Group(form.group))
        rows.append(form)
    return rows


class KindPainter(RowPainter):
    """A kind or a heading."""

    height = 30

    def row_height(self, row: Any) -> float:
        """Headings have air above."""
        return 34 if isinstance(row, Group) else self.height

    def line_below(self, row: Any) -> bool:
        """Only below headings."""
        return isinstance(row, Group)

    def paint_row(self, painter: QPainter, box: QRect, row: Any, *, chosen: bool) -> None:
        """Draw it."""
        inner = box.adjusted(look().px(14), 0, -look().px(6), 0)
        if isinstance(row, Group):
            write(painter, inner.adjusted(0, look().px(8), 0, 0), row.title, look().font(12, 500), "ink2")
        else:
            write(painter, inner, row.title, look().font(14, 600 if chosen else 400), "ink")


class KindList(RowsView):
    """The kinds; a letter goes to the next kind that begins with it, → and Enter to its form."""

    def __init__(self, enter: Callable[[], object]) -> None:
        model = RowsModel(lambda row: row.title, lambda row: isinstance(row, Form))
        model.set_rows(kinds())
        super().__init__("Kind of entry", model, KindPainter())
        self._enter = enter

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter and → leave for the form; ↑ ↓ step over headings."""
        key = Qt.Key(event.key())
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Right):
            self._enter()
        elif key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self.step(1 if key == Qt.Key.Key_Down else -1)
        else:
            super().keyPressEvent(event)

    def step(self, by: int) -> None:
        """To the next kind in that direction."""
        rows, at = self.rows_model.rows(), self.currentIndex().row() + by
        while 0 <= at < len(rows) and isinstance(rows[at], Group):
            at += by
        if 0 <= at < len(rows):
            self.choose(at)
            if at == 1:
                self.scrollToTop()

    def letter(self, key: str) -> None:
        """To the next kind that begins with it, round the end."""
        rows = self.rows_model.rows()
        start = self.currentIndex().row() + 1
        for number in [*range(start, len(rows)), *range(start)]:
            if isinstance(rows[number], Form) and rows[number].title.upper().startswith(key):
                self.choose(number)
                return


class SomethingElse(Dialog):
    """List left, form right, the meaning below it, buttons at the foot."""

    def __init__(self, shared: Shared, parent: QWidget, around: Around, done: Callable[[Changes], None] | None) -> None:
        super().__init__(f"Log something for {around.ball.name}", parent, width=860)
        self.shared, self.around, self._kept = shared, around, done
        self.panel: FormPanel | None = None
        self.list = KindList(self._into_form)
        self.title = Plain("", px=16, weight=600)
        self.means = Runs(px=14)
        self._cautions = QVBoxLayout()
        self.cautioned: tuple[str, ...] = ()
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(WAIT_MS)
        self._timer.timeout.connect(self._ask)
        self._narrow = look().logical(self._room().width()) < NARROW
        self._lay_out()
        self.offer("Not now", "Esc", self.reject)
        self.others = self.offer("Other kinds", "K", self._to_list)
        self.keep_button = self.offer("Keep", "↵", self.keep, primary=True)
        self.list.chosen.connect(self._open)
        self.list.choose(1)
        self._to_list()

    def _lay_out(self) -> None:
        row = QHBoxLayout()
        row.setSpacing(look().px(20))
        row.addWidget(self.list, 1 if self._narrow else 0)
        if not self._narrow:
            self.list.setFixedWidth(look().px(210))
        self._right = QWidget()
        right = QVBoxLayout(self._right)
        right.setContentsMargins(0, 0, 0, 0)
        right.setSpacing(look().px(10))
        right.addWidget(self.title)
        self.form_scroll = QScrollArea()
        self.form_scroll.setFrameShape(QFrame.Shape.NoFrame)
        self.form_scroll.setWidgetResizable(True)
        self.form_scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.form_scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.form_scroll.viewport().setAutoFillBackground(False)
        self._page = QWidget()
        self._in_page = QVBoxLayout(self._page)
        self._in_page.setContentsMargins(0, 0, 0, 0)
        self.form_scroll.setWidget(self._page)
        self._page.setAutoFillBackground(False)
        right.addWidget(self.form_scroll, 1)
        below = self._in_page if look().logical(self._room().height()) < LOW else right
        below.addWidget(self.means)
        self._cautions.setSpacing(look().px(6))
        below.addLayout(self._cautions)
        row.addWidget(self._right, 1)
        self.body.addLayout(row)
        self.list.setMinimumHeight(min(look().px(470), max(80, self._room().height() - look().px(230))))

    def _open(self, row: object) -> None:
        if not isinstance(row, Form) or (self.panel is not None and self.panel.form is row):
            return
        if self.panel is not None:
            self._in_page.removeWidget(self.panel)
            self.panel.hide()
            self.panel.deleteLater()
        self.panel = FormPanel(row, self.around)
        self._in_page.insertWidget(0, self.panel)
        self.panel.changed.connect(self._changed)
        self.title.setText(row.title)
        self.form_scroll.verticalScrollBar().setValue(0)
        self._changed()

    def fit(self) -> None:
        """As high as there is room where there is little."""
        super().fit()
        if look().logical(self._room().height()) < ROOMY:
            self.resize(self.width(), self._room().height())

    def _to_list(self) -> None:
        self._turn(listed=True)
        self.list.setFocus(Qt.FocusReason.OtherFocusReason)

    def _turn(self, *, listed: bool) -> None:
        """Where there is room for one only, list or form."""
        self.list.setVisible(listed or not self._narrow)
        self._right.setVisible(not listed or not self._narrow)
        self.others.setVisible(self._narrow and not listed)
        self.keep_button.rename("Go on" if self._narrow and listed else "Keep")

    def _into_form(self) -> None:
        if self.panel is not None:
            self._turn(listed=False)
            self.panel.first().setFocus(Qt.FocusReason.TabFocusReason)

    def _letter(self, key: str) -> None:
        if self.list.hasFocus():
            self.list.letter(key)
        else:
            super()._letter(key)

    def _changed(self) -> None:
        self.keep_button.setEnabled(True)
        self.complain("")
        self._timer.start()

    def _draft(self) -> Draft | None:
        """The entry, or None with what is still open told quietly in place of the meaning."""
        assert self.panel is not None  # noqa: S101 - a kind is always chosen
        problems = self.panel.problems()
        try:
            if not problems:
                return self.panel.draft()
            self._quiet(problems[0][1].removesuffix(" Nothing was saved."))
        except KnownError as error:
            self._quiet(f"{error.sentence} {error.next_step}".strip())
        return None

    def _quiet(self, sentence: str) -> None:
        self.shared.worker.drop("something else")
        self.means.set_runs((Run("Nothing to keep yet. ", False, "ink3"), Run(sentence, False, "ink2")))
        self._show_cautions(())

    def _ask(self) -> None:
        draft = self._draft()
        if draft is not None:
            self.shared.ask("something else", forms_ask.look_at(draft), self._show, failed=self._refused)

    def _show(self, meaning: Meaning) -> None:
        if self.panel is not None:
            self.panel.clear()
        after = f" {meaning.after}." if meaning.after else ""
        self.means.set_runs((*runs_of(meaning.parts), Run("."), Run(after)))
        self._show_cautions(meaning.cautions)

    def _refused(self, error: KnownError) -> None:
        if self.panel is None or not self.panel.blame(error):
            self.complain(str(error))
        self._quiet(error.sentence)
        self.keep_button.setEnabled(True)

    def _show_cautions(self, every: Sequence[str]) -> None:
        """What the form does not tell already."""
        told = " ".join(f"{strong} {plain}" for strong, plain in self.panel.cautions) if self.panel else ""
        said = [caution for caution in every if not _told(caution, told)]
        if tuple(said) == self.cautioned:
            return
        self.cautioned = tuple(said)
        while (item := self._cautions.takeAt(0)) is not None:
            old = item.widget()
            if old is not None:
                old.hide()
                old.deleteLater()
        if said:
            self._cautions.addWidget(Caution(said[0], " ".join(said[1:])))

    def keep(self) -> None:
        """Check, look at it once more, then keep it or ask to be sure."""
        assert self.panel is not None  # noqa: S101 - a kind is always chosen
        if self.list.hasFocus() or self._right.isHidden():
            self._into_form()
            return
        if not self.panel.check():
            return
        try:
            draft = self.panel.draft()
        except KnownError as error:
            self._refused(error)
            return
        self._timer.stop()
        self.keep_button.setEnabled(False)
        self.shared.ask("something else", forms_ask.look_at(draft), self._looked, failed=self._refused)

    def _looked(self, meaning: Meaning) -> None:
        self._show(meaning)
        if must_confirm(meaning):
            self.keep_button.setEnabled(True)
            open_confirm(self, meaning, lambda: self._store(meaning, confirmed=True))
        else:
            self._store(meaning, confirmed=False)

    def _store(self, meaning: Meaning, *, confirmed: bool) -> None:
        run = forms_ask.keep(meaning.drafts, confirmed=confirmed)
        self.shared.keep(run, self._finish, failed=self._refused)

    def _finish(self, changes: Changes) -> None:
        self.accept()
        if self._kept is not None:
            self._kept(changes)


_ALREADY = (("dust", "dust"), ("Spinner", "spinner"), ("crack is open", "crack is open"), ("plugged", "is plugged"),
            ("dry towel only", "dry towel only"))  # fmt: skip
"""(a word of a caution, the words that say the same above the form)."""


def _told(caution: str, above: str) -> bool:
    return any(word in caution and same in above for word, same in _ALREADY)


def open_something_else(
    shared: Shared, parent: QWidget, ball: Ball | int, balls: Sequence[Ball] = (), people: Sequence[Person] = (),
    lanes: Sequence[Lane] = (), pads: Sequence[Pad] = (), today: date | None = None,
    done: Callable[[Changes], None] | None = None,
) -> None:  # fmt: skip
    """Show every kind of entry for `ball`; `done` gets the changes once one is kept. With the ball's id alone, or
    without a day, what the forms need is read first and the dialog comes a moment later.
    """

    def show(around: Around) -> None:
        SomethingElse(shared, parent, around, done).open_()

    if isinstance(ball, int) or today is None:
        ball_id = ball if isinstance(ball, int) else ball.id
        shared.ask("something else around", forms_ask.around(ball_id, shared.settings.units), show)
    else:
        show(Around(ball, balls, people, lanes, pads, today, shared.settings.units))
