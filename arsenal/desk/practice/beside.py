"""The other half: a second bowler with sentence, keys and shots of the same kind. Kept on this machine."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from arsenal.desk.parts.text import Plain
from arsenal.desk.practice.bar import Bar
from arsenal.desk.practice.throw_pane import ThrowPane
from arsenal.desk.practice.thrower import Thrower
from arsenal.desk.theme import look

if TYPE_CHECKING:
    from arsenal.desk.rooms import Shared
    from arsenal.trade.person import Person

BESIDE = "practice beside"


class Beside(QWidget):
    """A half with its own bowler, condition, ball in hand and shots. Its keys are the same, with Shift."""

    asked = Signal(object)
    menu_wanted = Signal(object)

    def __init__(self, shared: Shared) -> None:
        super().__init__()
        self.shared = shared
        self.bowler_id: int | None = None
        self.person: Person | None = None
        self._but: int | None = None
        self._wanted = shared.settings.kept.get(BESIDE)
        self.bar = Bar("The second bowler", beside=False)
        self.pane = ThrowPane("the second bowler", shifted=True)
        self.thrower = Thrower(shared, self.pane, "practice beside")
        self.missing = Plain("", px=14, token="ink2", wrap=True)
        self.bar.rule.hide()
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._column.addWidget(self.bar)
        self._column.addWidget(self.missing)
        self._column.addWidget(self.pane, 1)
        self.missing.hide()
        self.thrower.read.connect(self._show)
        self.pane.wanted.connect(self.asked)
        self.pane.shots.menu_wanted.connect(self.menu_wanted)
        self.bar.asked.connect(self.asked)
        self.bar.bowler_picked.connect(self._pick)
        self.bar.lane_picked.connect(self._pick_lane)
        self.bar.height_changed.connect(self._fit)
        look().changed.connect(self._fit)

    def settle(self, people: Sequence[Person], first: int) -> None:
        """Who else there is: the one kept last, while he is there and is not the first."""
        ids = {one.id: one for one in people if one.id != first}
        if self._wanted is not None and self._wanted in ids:
            self.bowler_id, self._wanted = int(self._wanted), None
        if self.bowler_id not in ids:
            self.bowler_id = None
        self.person = ids.get(self.bowler_id) if self.bowler_id is not None else None
        self._but = first

    def choose(self, bowler_id: int | None) -> None:
        """Another bowler here, or nobody."""
        if bowler_id != self.bowler_id:
            self.thrower.forget()
            self.thrower.ball_id = self.thrower.lane_id = None
            self.bowler_id, self._wanted = bowler_id, None
            if bowler_id is None:
                self.shared.settings.kept.pop(BESIDE, None)
            else:
                self.shared.settings.kept[BESIDE] = bowler_id

    def load(self, lane_id: int | None) -> None:
        """Read again; the condition is the first bowler’s unless another was picked here."""
        if self.bowler_id is not None:
            self.thrower.bowler_id = self.bowler_id
            self.thrower.lane_id = self.thrower.lane_id or lane_id
            self.thrower.load()

    def step(self, by: int) -> None:
        """Another ball in his hand."""
        ball = self.thrower.step(by)
        if ball is not None:
            self.thrower.hold(ball)

    def _pick(self, bowler_id: object) -> None:
        if isinstance(bowler_id, int):
            self.choose(bowler_id)
            self.load(None)

    def _pick_lane(self, lane_id: object) -> None:
        if isinstance(lane_id, int):
            self.thrower.lane_id = lane_id
            self.load(lane_id)

    def _show(self) -> None:
        found = self.thrower.found
        if found is None:
            return
        self.bar.show_found(found, but=self._but)
        self.bar.rule.hide()
        self.missing.setVisible(found.session is None)
        self.pane.setVisible(found.session is not None)
        if found.session is None and found.missing is not None:
            self.missing.setText(f"{found.missing.title}. {found.missing.sentence}")
        if found.session is not None:
            self.pane.show_session(found.session)
            self.pane.show_shots(found.session.shots, found.session)
        self._fit()

    def _fit(self) -> None:
        self.missing.setContentsMargins(look().px(20), look().px(12), look().px(20), 0)
        self.bar.setFixedHeight(max(look().px(46), self.bar.heightForWidth(self.width())))
