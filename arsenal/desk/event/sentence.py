"""“*Autumn singles, Sat 28 Nov* for *Mirel Oster* on *41 ft house* with *4 of 6 balls*”, and what the rules allow."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal

from arsenal.desk.parts.sentence import RuleMark, Sentence
from arsenal.desk.parts.text import set_tip

if TYPE_CHECKING:
    from arsenal.acts.event_views import EventPlan
    from arsenal.desk.event.asking import Found

ALLOWED = (*range(1, 13), None)
"""Balls an event may allow, as the menu offers them."""
PLAN, LANES = "the plan", "at the lanes"


def allowed_words(number: int | None) -> str:
    """“6 balls”, “any number of balls”."""
    if number is None:
        return "any number of balls"
    return f"{number} ball" if number == 1 else f"{number} balls"


class Bar(Sentence):
    """The bar; what is picked goes to the room."""

    event_picked = Signal(object)
    bowler_picked = Signal(object)
    lanes_picked = Signal(object)
    """Ids of the conditions; empty for unknown."""
    allowed_picked = Signal(object)
    view_picked = Signal(object)
    asked = Signal(str)
    """new, change, add lane."""

    def __init__(self) -> None:
        super().__init__("Which event, for whom, on what, with how many balls")
        self.event_word = self.word("Event")
        self.for_ = self.say("for", optional=2)
        self.who = self.word("Bowler")
        self.on = self.say("on", optional=2)
        self.where = self.word("Lane conditions")
        self.with_ = self.say("with", optional=2)
        self.balls = self.word("Balls allowed")
        self.seen = self.say("seen as", optional=1)
        self.view = self.word("Seen as", PLAN)
        self.rule = RuleMark()
        self.right(self.rule)
        self.event_word.picked.connect(self.event_picked)
        self.who.picked.connect(self.bowler_picked)
        self.where.picked.connect(self.lanes_picked)
        self.balls.picked.connect(self.allowed_picked)
        self.view.picked.connect(self.view_picked)
        self.finish()

    def show_found(self, found: Found | None, *, at_lanes: bool) -> None:
        """Say what is there before, or without, a plan."""
        event = found.event if found else None
        person = found.person if found else None
        for widget, there in (
            (self.event_word, found), (self.who, person), (self.where, event and person),
            (self.balls, event and person), (self.view, event and person),
        ):  # fmt: skip
            widget.setVisible(bool(there))
        for label, text, shown in (
            (self.for_, "for", person), (self.on, "on", event and person), (self.with_, "with", event and person),
            (self.seen, "seen as", event and person),
        ):  # fmt: skip
            label.setText(text if shown else "")
        if found is not None:
            self._say_event(found)
            self._say_where(found)
            if person is not None:
                self.who.set_word(person.name)
                self.who.set_choices([(p.name, p.id) for p in found.people], person.id)
        self.view.set_word(LANES if at_lanes else PLAN)
        self.view.set_choices([(PLAN, False), (LANES, True)], at_lanes)
        self.fit()

    def _say_event(self, found: Found) -> None:
        here = next((n for n in found.events if found.event and n.id == found.event.id), None)
        self.event_word.set_word(here.title if here else "no event yet")
        more: list[tuple[str, Callable[[], object]]] = [("A new event …", lambda: self.asked.emit("new"))]
        if here is not None:
            more.append((f"Change {here.name} …", lambda: self.asked.emit("change")))
            more.append((f"Remove {here.name}", lambda: self.asked.emit("remove")))
        current = here.id if here else None
        self.event_word.set_choices([(name.title, name.id) for name in found.events], current, more=more)

    def _say_where(self, found: Found) -> None:
        if found.event is None:
            return
        held = found.event.lane_ids
        names = {lane.id: lane.name for lane in found.lanes}
        known = [names[i] for i in held if i in names]
        self.where.set_word(_some(known, "condition") or "an unknown condition")
        set_tip(self.where, ", ".join(known))
        more = [(f"{'without' if lane.id in held else 'also'} {lane.name}", self._toggle(held, lane.id))
                for lane in found.lanes if held and (lane.id,) != held]  # fmt: skip
        more.append(("Add a condition …", lambda: self.asked.emit("add lane")))
        offers: list[tuple[str, object]] = [("unknown", ()), *((lane.name, (lane.id,)) for lane in found.lanes)]
        self.where.set_choices(offers, held, more=more)
        self.balls.set_word(allowed_words(found.event.balls_allowed))
        self.balls.set_choices([(allowed_words(n), n) for n in ALLOWED], found.event.balls_allowed)

    def _toggle(self, held: tuple[int, ...], lane_id: int) -> Callable[[], object]:
        kept = tuple(i for i in held if i != lane_id) if lane_id in held else (*held, lane_id)
        return lambda: self.lanes_picked.emit(kept)

    def show_plan(self, plan: EventPlan) -> None:
        """What the plan adds: how many of how many, the conditions in short, the rule."""
        self.balls.set_word(plan.balls)
        if plan.lanes:
            self.where.set_word(plan.lanes)
        self.rule.show_rule(plan.rule.pads_allowed, plan.rule.sentence, plan.rule.hover)
        self.fit()


def _some(names: Sequence[str], what: str) -> str:
    return names[0] if len(names) == 1 else f"{len(names)} {what}s" if names else ""
