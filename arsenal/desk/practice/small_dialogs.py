"""The room’s small questions: the pair of lanes, the line, how long a plan, why a shot, surface work between shots."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from arsenal.acts import own_side
from arsenal.acts.practice_views import NextView, PracticeSession
from arsenal.desk.bench.entry import EntryLine
from arsenal.desk.dialogs.form import Choice, Done, FormDialog, Words
from arsenal.desk.lane_side.asking import line_through
from arsenal.desk.parts.dialog import Caution, Dialog, Facts
from arsenal.desk.parts.number import NumberField
from arsenal.desk.parts.text import Plain
from arsenal.desk.practice import asking
from arsenal.desk.rooms import Shared
from arsenal.motion import at_arrows
from arsenal.trade.errors import KnownError
from arsenal.trade.limits import LIMITS, Limit

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes, Meaning
    from arsenal.trade.ball import Ball


class PairWords(FormDialog):
    """Which pair of lanes, in the bowler’s own words."""

    def __init__(self, shared: Shared, parent: QWidget, session: PracticeSession, done: Done | None = None) -> None:
        super().__init__("Which pair of lanes", shared, parent, done)
        self._session = session
        self.words = Words("Pair of lanes", session.pair, "pair 7 and 8", 60)
        self.rows.field("Pair", self.words)
        self.body.addWidget(Plain(
            "In your own words. Another pair is another outing: whatever is odd about its lanes is its own.",
            px=13, token="ink2", wrap=True,
        ))  # fmt: skip
        self.words.setFocus()
        self.words.selectAll()

    def act(self) -> Callable[[Shop], Changes]:
        """Keep it for what follows."""
        return asking.set_pair(self._session, self.words.words())


class LineOfSession(FormDialog):
    """Laydown, and the board at the arrows, of the shots that follow."""

    def __init__(self, shared: Shared, parent: QWidget, session: PracticeSession, done: Done | None = None) -> None:
        super().__init__(f"The line of {session.bowler.name}", shared, parent, done)
        self._session = session
        person, line = session.bowler, session.line
        self.laydown = NumberField(
            LIMITS["board"], own_side.board(person, line.lateral_m), digits=1, required=True, name="laydown board"
        )  # fmt: skip
        self.arrows = NumberField(
            LIMITS["board"], own_side.board(person, at_arrows(line)[1]), digits=1, required=True,
            name="board at the arrows",
        )  # fmt: skip
        self.rows.field("Laydown, board", self.laydown)
        self.rows.field("At the arrows, board", self.arrows)
        self.body.addWidget(Plain(
            "Boards count from the own gutter. Shots logged from now on are set against this line.", px=13,
            token="ink2", wrap=True,
        ))  # fmt: skip
        self.laydown.setFocus()

    def act(self) -> Callable[[Shop], Changes]:
        """Keep it for what follows."""
        laydown, arrows = self.laydown.value(), self.arrows.value()
        if laydown is None or arrows is None:
            raise KnownError("A line needs both boards.")
        return asking.set_line(self._session, line_through(self._session.bowler, laydown, arrows))


class HowLong(Dialog):
    """A plan for so many shots or minutes."""

    def __init__(self, parent: QWidget, length: tuple[str, int], chosen: Callable[[str, int], None]) -> None:
        super().__init__("How long a practice", parent, width=420)
        self._chosen = chosen
        self.what = Choice("Counted in", (("shots", "shots"), ("minutes", "minutes")), length[0])
        self.number = NumberField(Limit("number", 1, 200), float(length[1]), digits=0, required=True, name="number")
        rows = Facts()
        rows.field("How many", self.number)
        rows.field("Counted in", self.what)
        self.body.addWidget(rows)
        self.offer("Not now", "Esc", self.reject)
        self.offer("Plan it", "↵", self._take, primary=True)
        self.number.setFocus()

    def _take(self) -> None:
        number = self.number.value() if self.number.check() else None
        if number is not None:
            self._chosen(str(self.what.value), max(1, round(number)))
            self.accept()


class Why(Dialog):
    """Why a shot is worth throwing, what it would narrow, what stands against it."""

    def __init__(self, parent: QWidget, one: NextView) -> None:
        super().__init__(one.title, parent, width=560)
        self.body.addWidget(Plain(one.sentence, px=15, wrap=True))
        for sentence in one.why:
            self.body.addWidget(Plain(sentence, px=14, token="ink2", wrap=True))
        self.offer("Close", "Esc", self.reject).setFocus()

    @staticmethod
    def open_why(parent: QWidget, one: NextView) -> Why:
        """Show it."""
        made = Why(parent, one)
        made.open_()
        return made


class WorkDialog(Dialog):
    """Surface work between shots, typed as on the Bench or taken as it was asked for; its words stand there first."""

    def __init__(
        self, shared: Shared, parent: QWidget, ball: Ball, rule: str, offers: Sequence[str] = (),
    ) -> None:  # fmt: skip
        super().__init__(f"Surface work on {ball.name}", parent, width=620)
        self.shared, self._ball = shared, ball
        if rule:
            self.body.addWidget(Caution(rule, "A dry towel only, the rule book says; check yours."))
        self.entry = EntryLine(self._read)
        self.entry.show_ball(ball.nickname or ball.name)
        self.entry.field.setPlaceholderText("What happened?")
        self.entry.field.left.connect(self.reject)
        self.entry.kept.connect(self._keep)
        self.body.addWidget(self.entry)
        self.offer("Not now", "Esc", self.reject)
        self.keep_button = self.offer("Log it", "", self.entry.field.returnPressed.emit, primary=True)
        if offers:
            self.entry.put(offers[0])
        self.entry.field.setFocus()

    def _read(self, text: str, arrived: Callable[[Meaning], None]) -> None:
        ball = self._ball
        self.shared.ask("practice work", lambda shop: asking.read_line(shop, text, ball.owner_id, ball.id), arrived)

    def _keep(self, meaning: Meaning) -> None:
        from arsenal.desk.bench.confirm import must_confirm, open_confirm  # noqa: PLC0415 - seldom

        if must_confirm(meaning):
            open_confirm(self, meaning, lambda: self._log(meaning, confirmed=True))
        else:
            self._log(meaning, confirmed=False)

    def _log(self, meaning: Meaning, *, confirmed: bool) -> None:
        drafts = meaning.drafts
        self.shared.keep(lambda shop: asking.keep_drafts(shop, drafts, confirmed=confirmed),
                         lambda _changes: self.accept(), failed=lambda error: self.complain(str(error)))  # fmt: skip
