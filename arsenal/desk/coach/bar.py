"""The sentence over the coach's sheet: which bowlers, on what, seen as whom; at its right end what the rules allow."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Signal

from arsenal.acts.coach import CoachRow
from arsenal.desk.coach import words
from arsenal.desk.coach.asking import Frame
from arsenal.desk.parts.sentence import RuleMark, Sentence
from arsenal.desk.parts.text import set_tip

EVERYBODY = "Everybody"


class Bar(Sentence):
    """“*Thursday juniors, 8 bowlers* on *38 ft house* seen as *coach*”."""

    group_picked = Signal(object)
    """The name of a group; empty is everybody."""
    lane_picked = Signal(object)
    asked = Signal(object)
    """Something to open or do: new group, change group, drop group, add lane, edit lane, add bowler."""

    def __init__(self) -> None:
        super().__init__("Which bowlers, on what")
        self._frame: Frame | None = None
        self._rules = (True, "", "")
        self.who = self.word("Bowlers")
        self.on = self.say("on")
        self.where = self.word("Lane condition")
        self.as_whom = self.say("seen as")
        self.seen_as = self.word("Seen as", "coach")
        self.seen_as.set_choices([("bowler", "bowler"), ("coach, one row a bowler", "coach")], "coach")
        self.rule = RuleMark()
        self.right(self.rule)
        self.who.picked.connect(self.group_picked)
        self.where.picked.connect(self.lane_picked)
        self.finish()

    def show_frame(self, frame: Frame) -> None:
        """Say what was read."""
        if frame == self._frame:
            return
        self._frame = frame
        name = frame.group.name if frame.group else EVERYBODY
        count = len(frame.bowlers)
        more = f" of {count + frame.left_over}" if frame.left_over else ""
        self.who.set_word(f"{name}, {count}{more} bowler{'' if count == 1 and not more else 's'}")
        set_tip(self.who, ", ".join(person.name for person in frame.bowlers))
        choices: list[tuple[str, object]] = [(EVERYBODY, "")]
        choices += [(f"{one.name}, {len(one.bowler_ids)}", one.name) for one in frame.groups]
        self.who.set_choices(choices, frame.group.name if frame.group else "", more=self._more(frame))
        self.where.set_word(frame.lane.name if frame.lane else "no condition yet")
        lanes: list[tuple[str, Callable[[], object]]] = [("Add a condition …", lambda: self.asked.emit("add lane"))]
        if frame.lane is not None:
            lanes.append((f"Change {frame.lane.name} …", lambda: self.asked.emit("edit lane")))
        current = frame.lane.id if frame.lane else None
        self.where.set_choices([(lane.name, lane.id) for lane in frame.lanes], current, more=lanes)
        self.fit()

    def _more(self, frame: Frame) -> list[tuple[str, Callable[[], object]]]:
        more: list[tuple[str, Callable[[], object]]] = [
            ("Make a group of the ticked …", lambda: self.asked.emit("new group"))
        ]
        if frame.group is not None:
            more.append((f"Change {frame.group.name} …", lambda: self.asked.emit("change group")))
            more.append((f"Take the group {frame.group.name} away", lambda: self.asked.emit("drop group")))
        return [*more, ("Add a bowler …", lambda: self.asked.emit("add bowler"))]

    def show_rules(self, rows: Sequence[CoachRow]) -> None:
        """What may be done to the balls of all of them now."""
        rules = words.rule(rows)
        if rules != self._rules:
            self._rules = rules
            self.rule.show_rule(*rules)
            self.fit()
