"""The right half: what each ball has taught, the next shot worth throwing, the plan."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from arsenal.desk.practice import asking
from arsenal.desk.practice.next_pane import NextPane
from arsenal.desk.practice.plan_pane import PlanPane
from arsenal.desk.practice.taught import ROW, TaughtPane
from arsenal.desk.theme import look

if TYPE_CHECKING:
    from arsenal.acts.practice_views import NextShots, NextView, PlanLine, PlanView, PracticeSession, QuestionChoice
    from arsenal.desk.rooms import Shared
    from arsenal.trade.errors import KnownError

LENGTH = "practice length"
NUMBERS = {5: "five", 10: "ten", 12: "twelve", 15: "15", 20: "twenty"}
LEAST_PLAN = 110


def length_words(length: tuple[str, int]) -> str:
    """“ten shots”, “30 minutes”."""
    what, number = length
    return f"{NUMBERS.get(number, number) if what == 'shots' else number} {what}"


class SidePane(QWidget):
    """Asks for next shot and plan by itself, each in a slot of its own; what is shown before stays until then."""

    ball_chosen = Signal(object)
    asked_why = Signal(object)
    work_wanted = Signal(int, object)
    """A ball and the recipe a test asks for first."""
    exported = Signal(object)
    number_wanted = Signal()

    def __init__(self, shared: Shared) -> None:
        super().__init__()
        self.shared = shared
        self.taught, self.next, self.plan = TaughtPane(), NextPane(), PlanPane()
        self._session: PracticeSession | None = None
        self._question: QuestionChoice | None = None
        self._asked: tuple[int, int] | None = None
        self._whole = False
        self.length = _kept_length(shared)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.taught)
        column.addWidget(self.next)
        column.addWidget(self.plan, 1)
        self.next.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.taught.ball_chosen.connect(self.ball_chosen)
        self.next.taken.connect(self._take)
        self.next.asked_why.connect(self.asked_why)
        self.next.another.clicked.connect(self._name_take)
        self.next.question_picked.connect(self._ask_another)
        self.plan.length_wanted.connect(self._set_length)
        self.plan.keep_wanted.connect(self._keep_plan)
        self.plan.line_wanted.connect(self._take_line)
        self.plan.exported.connect(self.exported)

    def show_balls(self, session: PracticeSession) -> None:
        """What each ball has taught."""
        if self._asked != (session.bowler.id, session.lane.id):
            self._question = None
        self._session, self._asked = session, (session.bowler.id, session.lane.id)
        self.taught.show_balls(session.balls)
        self._name_take()
        self._fit()

    def ask(self, session: PracticeSession) -> None:
        """Ask for the next shot and for the plan."""
        self.next.show_working()
        question = self._question.question if self._question else None
        worker = self.shared.worker
        worker.ask("practice next", asking.next_shots(session, question), self._show_next, failed=self._no_next,
                   title="Looking for the next shot", progress=True)  # fmt: skip
        worker.ask("practice plan", asking.plan(session, self.length, question), self._show_plan, failed=self._no_plan,
                   title="Planning the practice", progress=True)  # fmt: skip

    def take_next(self) -> None:
        """As the button does."""
        if self.next.take.isEnabled() and self.next.take.isVisible():
            self.next.take.click()

    def set_length(self, what: str, number: int) -> None:
        """Plan for so many shots or minutes."""
        self._set_length((what, number))

    def set_mode(self, *, tall: bool, whole: bool) -> None:
        """`tall` rows where there is room; `whole` shows everything, because the pane lies in a scroll area."""
        self._whole = whole
        self.taught.view.painter.height = ROW + (8 if tall else 0)
        self.plan.set_tall(tall=tall)
        self._fit()

    def _show_next(self, found: NextShots) -> None:
        self.next.show_next(found)
        self._name_take()
        self._fit()

    def _name_take(self) -> None:
        one = self.next.now()
        if one is not None:
            ball = self._ball_of(one)
            self.next.name_take(self._name(ball), held=ball == self.shared.ball_id)

    def _ball_of(self, one: NextView | PlanLine) -> int:
        """The ball of a test to be thrown now: of two, the other one once the first is in hand."""
        held = self.shared.ball_id
        if held in one.ball_ids and len(one.ball_ids) > 1:
            return one.ball_ids[(one.ball_ids.index(held) + 1) % len(one.ball_ids)]
        return one.ball_ids[0]

    def _name(self, ball_id: int) -> str:
        rows = self._session.balls if self._session else ()
        return next((row.name for row in rows if row.ball_id == ball_id), "it")

    def _take(self, one: NextView) -> None:
        ball = self._ball_of(one)
        self.ball_chosen.emit(ball)
        if one.recipe is not None:
            self.work_wanted.emit(ball, one.recipe)

    def _take_line(self, line: PlanLine) -> None:
        if line.ball_ids:
            ball = self._ball_of(line)
            self.ball_chosen.emit(ball)
            if line.recipe is not None and not line.worked:
                self.work_wanted.emit(ball, line.recipe)

    def _no_next(self, error: KnownError) -> None:
        self.next.fail(str(error))
        self._fit()

    def _show_plan(self, plan: PlanView) -> None:
        self.plan.show_plan(plan, length_words(self.length))
        self._fit()

    def _no_plan(self, error: KnownError) -> None:
        self.plan.fail(str(error))

    def _ask_another(self, question: QuestionChoice) -> None:
        self._question = question
        if self._session is not None:
            self.ask(self._session)

    def _set_length(self, length: object) -> None:
        if length == "own":
            self.number_wanted.emit()
        elif isinstance(length, tuple):
            self.length = (str(length[0]), int(length[1]))
            self.shared.settings.kept[LENGTH] = f"{self.length[0]} {self.length[1]}"
            if self._session is not None:
                self.ask(self._session)

    def _keep_plan(self) -> None:
        if self._session is not None:
            self.shared.keep(
                asking.keep_plan(self._session, self.length, self._question.question if self._question else None)
            )

    def _fit(self) -> None:
        """The balls get what they need, the plan keeps a few lines."""
        width = max(self.width(), 200)
        nexts = max(self.next.heightForWidth(width), look().px(120))
        self.next.setFixedHeight(nexts)
        need = self.taught.wanted_height()
        if self._whole:
            self.taught.setFixedHeight(need)
            self.plan.setMinimumHeight(self.plan.wanted_height())
            return
        self.plan.setMinimumHeight(0)
        free = self.height() - nexts - look().px(LEAST_PLAN)
        self.taught.setFixedHeight(max(look().px(35 + 2 * ROW), min(need, free)))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the height again."""
        super().resizeEvent(event)
        self._fit()


def _kept_length(shared: Shared) -> tuple[str, int]:
    what, _, number = str(shared.settings.kept.get(LENGTH, "")).partition(" ")
    return (what, int(number)) if what in ("shots", "minutes") and number.isdigit() else ("shots", 10)
