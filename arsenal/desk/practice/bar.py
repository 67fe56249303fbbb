"""“*Mirel Oster* throws *22, over 15* on *41 ft house* at *pair 7 and 8* and wipes *every shot*.”"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal

from arsenal.desk.lane_side.bar import RuleButton, without_fresh
from arsenal.desk.parts.sentence import Sentence
from arsenal.desk.parts.text import set_tip
from arsenal.trade.entries import Wiped

if TYPE_CHECKING:
    from arsenal.acts.practice_views import PracticeSession
    from arsenal.desk.practice.asking import Found
    from arsenal.trade.lane import Lane
    from arsenal.trade.person import Person

WIPES = {Wiped.EACH: "every shot", Wiped.SOMETIMES: "when told", Wiped.NEVER: "never", None: "not said"}
NOBODY, NO_PAIR = "nobody", "a pair"


class Bar(Sentence):
    """The sentence of one bowler's practice. `beside` offers another bowler for the other half."""

    bowler_picked = Signal(object)
    lane_picked = Signal(object)
    wiping_picked = Signal(object)
    beside_picked = Signal(object)
    """A bowler's id, or None for nobody."""
    asked = Signal(object)
    """line, best line, pair words, no pair, add bowler, edit bowler, add lane, edit lane, release, competition."""

    def __init__(self, name: str = "Who practises how, where", *, beside: bool = True) -> None:
        super().__init__(name)
        self.who = self.word("Bowler")
        self.throws = self.say("", optional=2)
        self.line = self.word("Line")
        self.on = self.say("", optional=2)
        self.where = self.word("Lane condition")
        self.at = self.say("", optional=2)
        self.pair = self.word("Pair of lanes")
        self.wipes = self.say("", optional=2)
        self.wiping = self.word("Wipes the ball")
        self.and_ = self.say("")
        self.beside = self.word("Beside, on the other half")
        self.rule = RuleButton()
        self.right(self.rule)
        self._offers_beside = beside
        self.who.picked.connect(self.bowler_picked)
        self.where.picked.connect(self.lane_picked)
        self.wiping.picked.connect(self.wiping_picked)
        self.beside.picked.connect(lambda one: self.beside_picked.emit(one or None))
        self.line.picked.connect(self.asked)
        self.pair.picked.connect(self.asked)
        self.rule.clicked.connect(lambda: self.asked.emit("competition"))
        self.show_found(None)

    def show_found(self, found: Found | None, beside: Person | None = None, *, but: int | None = None) -> None:
        """Say what was read. `beside` is on the other half; the bowler `but` is not offered here."""
        person = found.person if found else None
        lane = found.lane if found else None
        session = found.session if found else None
        several = self._offers_beside and found is not None and session is not None and len(found.people) > 1
        for widget, there in (
            (self.who, person), (self.where, person), (self.line, session), (self.pair, session),
            (self.wiping, session), (self.beside, several),
        ):  # fmt: skip
            widget.setVisible(bool(there))
        for label, text, there in (
            (self.throws, "throws", session), (self.on, "on", person), (self.at, "at", session),
            (self.wipes, "and wipes", session), (self.and_, "beside", several),
        ):  # fmt: skip
            label.setText(text if there else "")
        self.rule.show_rule(session.rule if session else None)
        if found is not None and person is not None:
            self._say_who(person, [one for one in found.people if one.id != but])
            self._say_where(person, lane, found.lanes)
        if found is not None and session is not None:
            self._say_session(session)
            others = [one for one in found.people if one.id != session.bowler.id]
            self.beside.set_word(beside.name if beside else NOBODY)
            self.beside.set_choices([(NOBODY, 0), *((one.name, one.id) for one in others)], beside.id if beside else 0)
        self.fit()

    def _say_who(self, person: Person, people: Sequence[Person]) -> None:
        self.who.set_word(person.name)
        self.who.set_choices(
            [(one.name, one.id) for one in people], person.id,
            more=[("Add a bowler …", lambda: self.asked.emit("add bowler")),
                  (f"Change {person.name} …", lambda: self.asked.emit("edit bowler")),
                  ("How it is thrown …", lambda: self.asked.emit("release"))],
        )  # fmt: skip

    def _say_where(self, person: Person, lane: Lane | None, lanes: Sequence[Lane]) -> None:
        self.where.set_word(without_fresh(lane.name) if lane else "no condition yet")
        set_tip(self.where, lane.name if lane else "")
        more = [("Add a condition …", lambda: self.asked.emit("add lane"))]
        if lane is not None:
            more.append((f"Change {lane.name} …", lambda: self.asked.emit("edit lane")))
        self.where.set_choices([(one.name, one.id) for one in lanes], lane.id if lane else None, more=more)

    def _say_session(self, session: PracticeSession) -> None:
        self.line.set_word(session.line_words)
        self.line.set_choices([("another line …", "line"), ("the best line of the reference ball", "best line")])
        set_tip(self.line, "Laydown and the board at the arrows, from the own gutter. Every shot is set against it.")
        self.pair.set_word(session.pair or NO_PAIR)
        self.pair.set_choices([("in your own words …", "pair words"), ("not said", "no pair")])
        set_tip(self.pair, "Shots on one pair at one time share whatever is odd about its lanes.")
        self.wiping.set_word(WIPES[session.wiping])
        self.wiping.set_choices([(words, wiping) for wiping, words in WIPES.items()], session.wiping)
        set_tip(self.wiping, "When told: W says of the next shot whether the ball was wiped before it.")
