"""The Bench room: the bag, one ball's line of entry, timeline and pads, its facts and the quick log."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from arsenal.desk.bench import asking, asking_work, dialogs, words
from arsenal.desk.bench.asking_wish import ALWAYS, FIRST, Answer, Wish, answer, wishes
from arsenal.desk.bench.ball_list import BallPainter
from arsenal.desk.bench.confirm import must_confirm, open_confirm
from arsenal.desk.bench.doing import Doing
from arsenal.desk.bench.entry import EntryLine
from arsenal.desk.bench.facts import Facts
from arsenal.desk.bench.planes import Sheet, page, scroll
from arsenal.desk.bench.timeline import Timeline
from arsenal.desk.bench.work_table import PADS, RECIPES, WorkTable
from arsenal.desk.parts.dialog import Line
from arsenal.desk.parts.empty import Empty
from arsenal.desk.parts.lists import RowsModel, RowsView
from arsenal.desk.parts.text import Plain, Runs, runs_of
from arsenal.desk.rooms import Room, Shared
from arsenal.desk.theme import look
from arsenal.trade.pads import Recipe
from arsenal.trade.units import POUND_KG

if TYPE_CHECKING:
    from datetime import date

    from arsenal.acts.views import BallSheet, Changes, Meaning
    from arsenal.desk.bench.asking import Pads, Quick, View
    from arsenal.trade.person import Person

LEFT_WIDE, RIGHT_WIDE, LOW, NARROW, TALL = 256, 282, 680, 900, 860
PAD_ROWS, PAD_ROWS_LOW, PAD_ROWS_TALL = 5, 3, 11
LEGEND = "line: estimate, shaded doubt   ◆ reading   ○ surface work   drag the line to see any past day"
PAST = "as it was known by that day   drag the line, or ← →   Esc: today"


class BenchRoom(Room):
    """The room."""

    name = "Bench"
    digit = 2

    def __init__(self, shared: Shared, parent: QWidget | None = None) -> None:
        super().__init__(shared, parent)
        self._view: View | None = None
        self._quick: Quick | None = None
        self._shown_ball: int | None = None
        self._day: date | None = None
        self._wish = FIRST
        self._wishes: Sequence[tuple[str, Wish]] = ALWAYS
        self._answer: Answer | None = None
        self._worth = ""
        self.doing = Doing(self)
        self._make_left()
        self._make_middle()
        self.facts = Facts()
        self.facts.pressed.connect(self._press)
        self._facts_scroll = scroll(self.facts)
        self.empty = Empty(
            "No balls in this bag yet",
            "A ball is kept with its finish and every game on it.",
            "Add the first ball",
            "N",
        )
        self.empty.wanted.connect(self._add_ball)
        whole = QHBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        for widget, share in ((self.left, 0), (self.middle, 1), (self._facts_scroll, 0), (self.empty, 1)):
            whole.addWidget(widget, share)
        self.empty.hide()
        look().changed.connect(self._dress)
        self._dress()

    def _make_left(self) -> None:
        self.left = QWidget()
        self.bag = Plain("", px=12, token="ink2", elide=True)
        self._model = RowsModel(words.spoken_line)
        self.list = RowsView("Balls", self._model, BallPainter())
        self.list.chosen.connect(lambda line: self._take(line.ball.id))
        self._left_column = QVBoxLayout(self.left)
        self._left_column.addWidget(self.bag)
        self._left_column.addWidget(Line("edge"))
        self._left_column.addWidget(self.list, 1)

    def _make_middle(self) -> None:
        self.middle = Sheet()
        self.entry = EntryLine(self._read_line)
        self.entry.kept.connect(self._keep_meaning)
        self.entry.field.left.connect(self.list.setFocus)
        self.title = Plain("", px=22, weight=600)
        self.about = Plain("", px=13, token="ink2", elide=True)
        self.sentence = Runs(px=14)
        self.worth = Plain("", px=12, token="ink2", elide=True)
        self.timeline = Timeline()
        self.timeline.day_wanted.connect(self._pick_day)
        self.legend = Plain(LEGEND, px=12, token="ink2", elide=True)
        self.work = WorkTable()
        self.pads, self.recipes = self.work.pads, self.work.recipes
        self.work.sand_with.connect(lambda row: self.doing.offer(row.recipe))
        self.work.use_recipe.connect(lambda row: self.doing.use(row.recipe))
        self.work.wished.connect(self._wish_for)
        self.work.wanted.connect(self.doing.wants)
        self.work.turned.connect(lambda _shows: self._ask_work())
        head = QHBoxLayout()
        head.addWidget(self.title)
        head.addWidget(self.about, 1)
        self._head = head
        self._words = QVBoxLayout()
        self._words.addLayout(head)
        self._words.addWidget(self.sentence)
        self._words.addWidget(self.worth)
        column = QVBoxLayout(self.middle)
        column.setContentsMargins(1, 0, 1, 0)
        column.setSpacing(0)
        column.addWidget(self.entry)
        column.addWidget(Line("rule"))
        self._legend_row = QVBoxLayout()
        self._legend_row.addWidget(self.legend)
        column.addWidget(scroll(page(self._words, self.timeline, self._legend_row, self.work)), 1)

    def _dress(self) -> None:
        px = look().px
        self.left.setFixedWidth(px(LEFT_WIDE))
        self._facts_scroll.setFixedWidth(px(RIGHT_WIDE))
        self._left_column.setContentsMargins(0, px(12), 0, px(8))
        self._left_column.setSpacing(px(8))
        self.bag.setContentsMargins(px(20), 0, px(20), 0)
        self._words.setContentsMargins(px(20), px(10), px(20), px(6))
        self._words.setSpacing(px(4))
        self._head.setSpacing(px(14))
        self._legend_row.setContentsMargins(px(48), px(2), px(20), px(6))
        self._fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """A low window keeps fewer pads in sight; a narrow one leaves the facts to the title."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        high = look().logical(self.height())
        low = high < LOW - 60
        rows = PAD_ROWS_LOW if low else PAD_ROWS if high < TALL else PAD_ROWS_TALL
        self.work.keep_rows(rows)
        self.legend.setVisible(not low)
        self.worth.setVisible(not low and bool(self._worth))
        narrow = look().logical(self.width()) < NARROW
        some = self._view is None or self._view.sheet is not None
        self._facts_scroll.setVisible(some and not narrow)

    # what a room is

    def enter(self) -> None:
        """Take up the ball in hand."""
        self._day = None
        self._ask()

    def refresh(self, changes: Changes) -> None:
        """Something was kept."""
        self._ask()

    def panes(self) -> Sequence[QWidget]:
        """Field, balls, timeline, pads or recipes, quick log."""
        return (self.entry.field, self.list, self.timeline, self.work.view(), self.facts.keys["same"])

    def keys_help(self) -> Sequence[tuple[str, str]]:
        """Beyond the buttons."""
        return words.KEYS

    def letter(self, key: str) -> bool:
        """Keys without a button."""
        calls: dict[str, Callable[[], None]] = {
            "/": self.entry.field.setFocus, "N": self._add_ball, "P": self._add_pad, "U": self._used_up,
            "B": self._edit_ball, "V": self._turn, "Q": self.work.wish_word.showMenu, "O": self._try_ball,
            "K": lambda: self._press("known"), "A": lambda: self.doing.wants("new"),
            "D": lambda: self.doing.wants("change"), "J": lambda: self.doing.wants("full"),
            "L": lambda: self.doing.wants("print"),
            "Y": lambda: self.doing.wants("answer"), "F": lambda: self._press("fit"), "T": lambda: self._press("hands"),
            "I": lambda: self._press("print"), "W": lambda: self._of_owner(dialogs.owner),
            "X": lambda: self._of_owner(dialogs.records),
        }  # fmt: skip
        call = calls.get(key)
        if call is not None:
            call()
        return call is not None

    # asking

    def _ask(self) -> None:
        bowler, ball, day = self.shared.bowler_id, self.shared.ball_id, self._day
        self.shared.ask("bench", lambda shop: asking.view(shop, bowler, ball, day), self._show)

    def _show(self, view: View) -> None:
        self._view = view
        sheet = view.sheet
        some = sheet is not None
        for part in (self.left, self.middle):
            part.setVisible(some)
        self.empty.setVisible(not some)
        self._fit()
        if sheet is None:
            return
        other = sheet.ball.id != self._shown_ball
        self._shown_ball = sheet.ball.id
        if view.bowler is not None and view.bowler.id != self.shared.bowler_id:
            self.shared.hold_bowler(view.bowler.id)
        self.shared.hold_ball(sheet.ball.id)
        count = len(view.lines)
        self.bag.setText(f"{view.bowler.name if view.bowler else ''}, {count} ball{'s' if count != 1 else ''}")
        self.list.blockSignals(True)
        self._model.set_rows(view.lines)
        self.list.choose_where(lambda line: line.ball.id == sheet.ball.id)
        self.list.blockSignals(False)
        self._show_ball(view, sheet, other=other)
        if view.day is None:
            ball_id = sheet.ball.id
            self.shared.ask("bench quick", lambda shop: asking.quick(shop, ball_id), self._show_quick)
            self.shared.ask("bench pads", lambda shop: asking.pads(shop, ball_id), self._show_pads)
            self._ask_work()

    def _show_ball(self, view: View, sheet: BallSheet, *, other: bool) -> None:
        ball = sheet.ball
        self.title.setText(ball.name)
        pounds = f"{ball.mass_kg / POUND_KG:.0f} lb"
        told = [str(ball.cover), pounds, f"serial {ball.serial}" if ball.serial else ""]
        told += [f"called {ball.nickname}"] if ball.nickname else []
        self.about.setText(", ".join(part for part in told if part))
        refresh = next((job for job in sheet.jobs if job.work.value == "refresh"), None)
        self.sentence.set_runs(runs_of(words.sentence(sheet.state, refresh, view.today)))
        self.entry.show_ball(ball.nickname)
        if view.day is None:
            self.timeline.show_ball(sheet.moments, sheet.state.settled_grit, view.today, other=other)
        if other:
            self._wish = FIRST
            self.work.empty()
        self.work.show_past(past=view.day is not None)
        self.worth.setText(sheet.next_reading)
        if view.day is None:  # a past day keeps the place: the timeline must not move while it is dragged
            self._worth = sheet.next_reading
            self._fit()
        self.legend.setText(PAST if view.day is not None else LEGEND)
        self.facts.show_view(view)

    def _show_quick(self, quick: Quick) -> None:
        self._quick = quick
        self.facts.show_quick(quick)

    def _show_pads(self, found: Pads) -> None:
        self.work.show_pads(found.pads, found.to_buy)
        self.facts.show_pads(found)
        ball_id = self._shown_ball
        if ball_id is None:
            return
        choices = wishes(found.order, ball_id)
        if all(wish != self._wish for _, wish in choices):
            self._wish = FIRST
        self.work.show_wishes(choices, self._wish)
        self._wish_for(self._wish, choices)

    def _ask_work(self) -> None:
        ball_id = self._shown_ball
        if ball_id is not None and self.work.shown() == RECIPES and self._day is None:
            self.shared.ask("bench recipes", lambda shop: asking_work.book(shop, ball_id), self.work.show_recipes)

    def _wish_for(self, wish: Wish, choices: Sequence[tuple[str, Wish]] = ()) -> None:
        self._wish, self._wishes = wish, choices or self._wishes
        self.work.show_wishes(self._wishes, wish)
        self.work.show_answer(None)
        if self._shown_ball is not None:
            self.shared.ask("bench wish", answer(self._shown_ball, wish), self._show_answer)

    def _show_answer(self, found: Answer) -> None:
        self._answer = found
        self.work.show_answer(found)

    def _take(self, ball_id: int) -> None:
        if ball_id != self._shown_ball:
            self._day = None
            self.shared.hold_ball(ball_id)
            self._ask()

    def _pick_day(self, day: date | None) -> None:
        self._day = day
        self._ask()

    # logging

    def _read_line(self, text: str, done: Callable[[Meaning], None]) -> None:
        bowler, ball = self.shared.bowler_id, self._shown_ball
        self.shared.ask("bench line", lambda shop: asking.read_line(shop, text, bowler, ball), done)

    def _keep_meaning(self, meaning: Meaning) -> None:
        if must_confirm(meaning):
            open_confirm(self, meaning, lambda: self._keep(meaning, confirmed=True))
        else:
            self._keep(meaning)

    def _keep(self, meaning: Meaning, *, confirmed: bool = False) -> None:
        drafts, typed = meaning.drafts, self.entry.field.text()
        if self._day is not None:
            self.timeline.go(None)

        def kept(_changes: Changes) -> None:
            if self.entry.field.text() == typed:
                self.entry.done()

        self.shared.keep(lambda shop: asking.keep(shop, drafts, confirmed=confirmed), kept)

    def _press(self, what: str) -> None:
        quick = self._quick
        if what in ("same", "sanded", "cleaned") and quick is not None:
            meaning = {"same": quick.same, "sanded": quick.sanded, "cleaned": quick.cleaned}[what]
            if meaning is not None and meaning.drafts:
                self._keep_meaning(meaning)
        elif what == "reading" and self._view is not None and self._view.sheet is not None:
            self.entry.put(f"{self._view.sheet.ball.nickname} r ")
        elif self._shown_ball is not None and what in _DIALOGS:
            _DIALOGS[what](self.shared, self.window(), self._shown_ball)

    def _turn(self) -> None:
        self.work.turn(RECIPES if self.work.shown() == PADS else PADS)

    def _used_up(self) -> None:
        row = self.pads.in_hand() if self.work.shown() == PADS else None
        if row is not None:
            pad = row.pad
            self.shared.keep(lambda shop: asking.mark_used_up(shop, pad.id, used_up=not pad.used_up))

    def sheet(self) -> BallSheet | None:
        """The ball in hand as it is today; None while a past day is looked at, where nothing is done."""
        return self._view.sheet if self._view is not None and self._day is None else None

    def answered(self) -> Recipe | None:
        """What the question the other way round came to."""
        return self._answer.recipe if self._answer is not None else None

    def _bowler_id(self) -> int | None:
        return self._view.bowler.id if self._view is not None and self._view.bowler is not None else None

    def _add_ball(self) -> None:
        bowler_id = self._bowler_id()
        if bowler_id is not None:
            dialogs.ball(self.shared, self.window(), bowler_id, done=self._added)

    def _added(self, changes: Changes) -> None:
        balls = [change.id for change in changes.changed if change.what == "ball"]
        if balls:
            self._take(balls[0])

    def _edit_ball(self) -> None:
        sheet = self._view.sheet if self._view is not None else None
        if sheet is not None:
            dialogs.ball(self.shared, self.window(), sheet.ball.owner_id, sheet.ball)

    def _of_owner(self, open_one: Callable[[Shared, QWidget, Person], None]) -> None:
        person = self._view.bowler if self._view is not None else None
        if person is not None:
            open_one(self.shared, self.window(), person)

    def _add_pad(self) -> None:
        bowler_id = self._bowler_id()
        if bowler_id is not None:
            dialogs.pad(self.shared, self.window(), bowler_id)

    def _try_ball(self) -> None:
        bowler_id = self._bowler_id()
        if bowler_id is not None:
            dialogs.trial(self.shared, self.window(), bowler_id)


_DIALOGS = {
    "else": dialogs.something_else, "history": dialogs.history, "known": dialogs.known, "fit": dialogs.fits,
    "hands": dialogs.hand_over, "print": dialogs.print_history,
}  # fmt: skip


def make(shared: Shared) -> BenchRoom:
    """The room, as the desk asks for it."""
    return BenchRoom(shared)
