"""The sentence over the room: who throws how, on what, from where; at its right end what the rules allow now."""

from __future__ import annotations

import re

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from arsenal.acts.cards import hand_words
from arsenal.acts.views import RuleState
from arsenal.desk.lane_side import words
from arsenal.desk.lane_side.seen import Seen
from arsenal.desk.parts import paint
from arsenal.desk.parts.sentence import Sentence, paint_rule_icon
from arsenal.desk.parts.text import caption, set_tip
from arsenal.desk.theme import look

GAMES = (0, 1, 3, 6)
FORECAST = (
    "Fresh is the condition as it is kept. After some games is reckoned, not seen: every shot takes oil off its track "
    "and carries a little down the lane."
)


def after_game(game: int) -> str:
    """“fresh”, “after game 3”."""
    return f"after game {game}" if game else "fresh"


def without_fresh(name: str) -> str:
    """The condition's name without a “fresh” at its end, which the next word says."""
    cut = re.sub(r"[,;]?\s+fresh$", "", name, flags=re.IGNORECASE)
    return cut or name


class RuleButton(QAbstractButton):
    """The rule state; a click sets when the competition starts and ends."""

    def __init__(self) -> None:
        super().__init__()
        self._rule: RuleState | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        look().changed.connect(self.updateGeometry)

    def show_rule(self, rule: RuleState | None) -> None:
        """Another state, or none."""
        self._rule = rule
        self.setVisible(rule is not None)
        if rule is not None:
            self.setText(caption(rule.sentence))
            self.setAccessibleName(f"Rule: {rule.sentence}")
            self.setAccessibleDescription("Sets when the competition starts and ends")
            set_tip(self, f"{rule.hover} Click to set when the competition starts and ends.")
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """Icon and sentence."""
        sentence = self._rule.sentence if self._rule else ""
        wide = QFontMetricsF(look().font(15, 500)).horizontalAdvance(sentence)
        return QSize(round(wide + 0.5) + look().px(30), look().px(28))

    def minimumSizeHint(self) -> QSize:
        """Icon and a few words."""
        return QSize(min(self.sizeHint().width(), look().px(110)), look().px(28))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw it."""
        if self._rule is None:
            return
        painter, now = QPainter(self), look()
        side, left = now.px(15), now.px(27)
        paint_rule_icon(
            painter, QRectF(4, (self.height() - side) / 2.0, side, side), allowed=self._rule.pads_allowed
        )  # fmt: skip
        painter.setFont(now.font(15, 500))
        painter.setPen(now.color("good" if self._rule.pads_allowed else "warn"))
        room = QRectF(left, 0, self.width() - left, self.height())
        metrics = QFontMetricsF(painter.font())
        shown = metrics.elidedText(self._rule.sentence, Qt.TextElideMode.ElideRight, room.width() + 1)
        painter.drawText(room, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, shown)
        if self.underMouse():
            base = round((self.height() + metrics.height()) / 2) - 1
            painter.fillRect(
                QRectF(left, base, metrics.horizontalAdvance(shown), now.line(1)), painter.pen().color()
            )  # fmt: skip
        if self.hasFocus():
            paint.focus_ring(painter, self.rect(), 4)
        painter.end()


class Bar(Sentence):
    """“*Mirel Oster* throws *16.4 mph, 325 rpm* on *41 ft house* *after game 3* from *22, over 15*”."""

    bowler_picked = Signal(object)
    lane_picked = Signal(object)
    game_picked = Signal(object)
    """Games bowled on the lane before, 0 for fresh."""
    asked = Signal(object)
    """Something to open or do: add bowler, edit bowler, release, add lane, edit lane, usual lane, own line, best line,
    on the pair, competition.
    """

    def __init__(self, system: str, parent: QWidget | None = None) -> None:
        super().__init__("Who throws how, where and from where", parent=parent)
        self.system = system
        self.who = self.word("Bowler")
        self.hand = self.say("", optional=1)
        self.throws = self.say("", optional=2)
        self.how = self.word("Release")
        self.on = self.say("", optional=2)
        self.where = self.word("Lane condition")
        self.after = self.word("Games bowled on it before")
        self.from_ = self.say("", optional=2)
        self.line = self.word("Line")
        self.same = self.say("with the same shot for every ball", optional=1)
        self.as_whom = self.say("", optional=2)
        self.seen_as = self.word("Seen as", "bowler")
        self.seen_as.set_choices([("bowler", "bowler"), ("coach, one row a bowler", "coach")], "bowler")
        self.rule = RuleButton()
        self.right(self.rule)
        self.who.picked.connect(self.bowler_picked)
        self.where.picked.connect(self.lane_picked)
        self.after.picked.connect(self.game_picked)
        self.how.clicked.connect(lambda: self.asked.emit("release"))
        self.rule.clicked.connect(lambda: self.asked.emit("competition"))
        self.line.picked.connect(self.asked)
        self.show_seen(None)

    def show_seen(self, seen: Seen | None) -> None:
        """Say what was read."""
        person = seen.person if seen else None
        lane = seen.lane if seen else None
        side = seen.side if seen else None
        several = seen is not None and len(seen.people) > 1
        for widget, there in (
            (self.who, person), (self.how, person), (self.where, person), (self.after, person and lane),
            (self.line, side), (self.seen_as, several),
        ):  # fmt: skip
            widget.setVisible(bool(there))
        for words_, text, there in (
            (self.throws, "throws", person), (self.on, "on", person), (self.from_, "from", side),
            (self.as_whom, "seen as", several),
        ):  # fmt: skip
            words_.setText(text if there else "")
        self.hand.setText(f"{hand_words(person)}," if person else "")
        self.same.setText("with the same shot for every ball" if side else "")
        self.rule.show_rule(side.rule if side else None)
        if seen is None or person is None:
            self.fit()
            return
        self._say_who(seen)
        self.how.set_word(words.throw(person.style, self.system))
        self._say_where(seen)
        if side is not None and lane is not None:
            self._say_line(seen)
        self.fit()

    def _say_who(self, seen: Seen) -> None:
        assert seen.person is not None  # noqa: S101 - looked at before
        self.who.set_word(seen.person.name)
        self.who.set_choices(
            [(person.name, person.id) for person in seen.people], seen.person.id,
            more=[("Add a bowler …", lambda: self.asked.emit("add bowler")),
                  (f"Change {seen.person.name} …", lambda: self.asked.emit("edit bowler"))],
        )  # fmt: skip

    def _say_where(self, seen: Seen) -> None:
        person, lane = seen.person, seen.lane
        self.where.set_word(without_fresh(lane.name) if lane else "no condition yet")
        set_tip(self.where, lane.name if lane else "")
        more = [("Add a condition …", lambda: self.asked.emit("add lane"))]
        if lane is not None and person is not None:
            more.append((f"Change {lane.name} …", lambda: self.asked.emit("edit lane")))
            if person.usual_lane_id != lane.id:
                more.append((f"{person.name} usually plays this", lambda: self.asked.emit("usual lane")))
        self.where.set_choices([(one.name, one.id) for one in seen.lanes], lane.id if lane else None, more=more)

        self.after.set_word(after_game(seen.game))
        self.after.set_choices(
            [(after_game(game), game) for game in GAMES], seen.game,
            more=[("Who is on the pair …", lambda: self.asked.emit("on the pair"))],
        )  # fmt: skip
        told = seen.side.traffic_words if seen.side else ""
        set_tip(self.after, f"A forecast of the lane {told}. {FORECAST}" if told else FORECAST)

    def _say_line(self, seen: Seen) -> None:
        assert seen.side is not None  # noqa: S101 - looked at before
        order = seen.side.order
        self.line.set_word(words.line(seen.side.bowler, order.line))
        now = "own line" if order.line_is_own else "best line"
        self.line.set_choices(
            [("the best line of the reference ball", "best line"), ("an own line …", "own line")], now
        )
        set_tip(
            self.line,
            "Laydown and the board at the arrows, from the own gutter. Every ball is compared on this one shot: "
            + ("the bowler’s own line here." if order.line_is_own else "the best line of a plain solid ball at 2000."),
        )
