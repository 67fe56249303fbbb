"""A ball not owned yet, tried in the order of a bowler's set before anybody pays; nothing is kept."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from arsenal.desk.dialogs.ball import COVERS, finish_steps
from arsenal.desk.dialogs.form import Choice, FormDialog, Measured, Words
from arsenal.desk.parts.lists import RowPainter, RowsModel, RowsView, write
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look
from arsenal.order import words as say
from arsenal.trade.ball import Ball, Cover
from arsenal.trade.errors import KnownError

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.tried import TriedBall
    from arsenal.acts.views import Changes

TRIED_NAME = "the new ball"
ROWS_SEEN = 6


@dataclass(frozen=True, slots=True)
class Place:
    """One ball of the order with the tried one in it."""

    place: int
    name: str
    boards: float
    boards_sd: float
    words: str
    tried: bool


def places(found: TriedBall) -> list[Place]:
    """The order, strongest first."""
    return [
        Place(
            row.place, row.ball.name, row.boards, row.boards_sd, f"{row.read_word}, {row.shape_word}",
            row.ball.id == found.row.ball.id,
        )
        for row in found.order.rows
    ]  # fmt: skip


def spoken(row: Place) -> str:
    """A row for a screen reader."""
    boards = f"{say.signed(row.boards, row.boards_sd)} ± {say.doubt(row.boards_sd)} boards"
    return f"{row.place}, {row.name}{', tried' if row.tried else ''}, {row.words}, {boards}"


class PlacePainter(RowPainter):
    """Place, name, read and shape, boards from the benchmark's line."""

    height = 28

    def paint_row(self, painter: QPainter, box: QRect, row: Any, *, chosen: bool) -> None:
        """Draw it; the tried ball is the one in hand."""
        px = look().px
        strong = look().font(13, 600 if row.tried else 500)
        at = box.adjusted(px(12), 0, -px(12), 0)
        write(painter, QRect(at.left(), at.top(), px(20), at.height()), str(row.place), look().font(13), "ink2")
        name = QRect(at.left() + px(30), at.top(), px(190), at.height())
        wide = write(painter, name, row.name, strong, "hand" if row.tried else "ink")
        if row.tried:
            write(painter, name.adjusted(round(wide) + px(8), 0, 0, 0), "tried", look().font(12), "ink2")
        write(painter, QRect(name.right() + px(8), at.top(), px(120), at.height()), row.words, look().font(12), "ink2")
        doubt = f"± {say.doubt(row.boards_sd)}"
        wide = write(painter, at, doubt, look().font(12), "ink2", right=True)
        number = at.adjusted(0, 0, -round(wide) - px(8), 0)
        write(painter, number, say.signed(row.boards, row.boards_sd), look().font(14, 600), "ink", right=True)


class TrialDialog(FormDialog):
    """The form above, where it would stand below."""

    def __init__(self, shared: Shared, parent: QWidget, bowler_id: int) -> None:
        super().__init__("Try a ball not owned yet", shared, parent, keep="Try it", width=620)
        self._bowler_id, system = bowler_id, shared.settings.units
        self.name = Words("Name", "", TRIED_NAME)
        self.cover = Choice("Cover", COVERS, Cover.SOLID)
        self.mass = Measured("weight", system, Ball(0, "", "", 0, Cover.SOLID).mass_kg, required=True)
        self.rg, self.differential = Measured("RG", system), Measured("differential", system)
        self.finish = Words("Finish", "", "empty: opened the usual way; or 500/2000 m, polish")
        for caption, field in (
            ("Name", self.name), ("Cover", self.cover), ("Weight", self.mass), ("RG", self.rg),
            ("Differential", self.differential), ("Finish", self.finish),
        ):  # fmt: skip
            self.rows.field(caption, field)
        said = "On the condition in hand, with the bowler’s own throw. Nothing is kept. Unknown numbers may stay empty."
        self.told = Plain(said, px=13, token="ink2", wrap=True)
        self.body.addWidget(self.told)
        self._model = RowsModel(spoken)
        self.list = RowsView("The order with it", self._model, PlacePainter())
        self.list.setFixedHeight(look().px(28 * ROWS_SEEN))
        self.list.hide()
        self.body.addWidget(self.list)
        self.name.setFocus()

    def ball(self) -> Ball:
        """What the fields say."""
        rg, differential = self.rg.si(), self.differential.si()
        base = Ball(0, self.name.words() or TRIED_NAME, "", self._bowler_id, self.cover.value)
        return Ball(
            0, base.name, "", self._bowler_id, base.cover, mass_kg=self.mass.si() or base.mass_kg,
            rg_m=rg or base.rg_m, differential_m=base.differential_m if differential is None else differential,
            spec_known=rg is not None and differential is not None,
        )  # fmt: skip

    def keep(self) -> None:
        """Try it: nothing is kept."""
        fields = (self.mass, self.rg, self.differential)
        wrong = [field for field in fields if not field.check()]
        if wrong:
            wrong[0].setFocus()
            return
        self.complain("")
        self.keep_button.setEnabled(False)
        run = tried(self._bowler_id, self.shared.lane_id, self.ball(), self.finish.words())
        self.shared.ask("trial", run, self.show_tried, failed=self._failed)

    def act(self) -> Callable[[Shop], Changes]:
        """Nothing is ever kept here."""
        raise KnownError("Nothing is kept.")

    def show_tried(self, found: TriedBall) -> None:
        """Where it would stand."""
        self.keep_button.setEnabled(True)
        self.told.setText(found.sentence)
        self._model.set_rows(places(found))
        self.list.show()
        self.list.choose_where(lambda row: row.tried)
        self.fit()
        self.list.setFocus(Qt.FocusReason.OtherFocusReason)


def tried(bowler_id: int, lane_id: int | None, ball: Ball, finish: str) -> Callable[[Shop], TriedBall]:
    """The ball in the order, new with that finish; with none it is opened the usual way."""

    def run(shop: Shop) -> TriedBall:
        from arsenal.acts.tried import try_ball  # noqa: PLC0415 - heavy, on the worker's thread

        return try_ball(shop, bowler_id, lane_id, ball, box=finish_steps(shop, finish, ball) if finish else ())

    return run


def open_trial(shared: Shared, parent: QWidget, bowler_id: int) -> TrialDialog:
    """Ask what ball it is, then show where it would stand."""
    dialog = TrialDialog(shared, parent, bowler_id)
    dialog.open_()
    return dialog
