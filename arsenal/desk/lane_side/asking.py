"""The room's small dialogs: how it is thrown, from where, what was thrown, and what was seen."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from arsenal.acts import own_side
from arsenal.desk.dialogs.form import Choice, Done, FormDialog, Measured
from arsenal.desk.parts.number import NumberField
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.motion import at_arrows
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Compared, Draft, Kind, Wiped
from arsenal.trade.errors import KnownError
from arsenal.trade.lane import Lane
from arsenal.trade.limits import LIMITS, Limit
from arsenal.trade.person import Person
from arsenal.trade.release import Line, Style
from arsenal.trade.units import DEGREE_RAD, RPM_RADPS, SHOTS_A_GAME

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes

WIPES = (("every shot", Wiped.EACH), ("sometimes", Wiped.SOMETIMES), ("never", Wiped.NEVER), ("not said", None))
WAYS = (("stronger than", 1.0), ("weaker than", -1.0))
SEEN_SD_BOARDS = 1.5


class ReleaseDialog(FormDialog):
    """Speed off the hand, revs, rotation, tilt."""

    def __init__(self, shared: Shared, parent: QWidget, person: Person, done: Done | None) -> None:
        super().__init__(f"How {person.name} throws", shared, parent, done)
        self._person = person
        style = person.style or Style(0.0, 0.0, 45.0 * DEGREE_RAD, 15.0 * DEGREE_RAD)
        system, known = shared.settings.units, person.style is not None
        self._style = style
        self.speed = Measured("speed", system, style.speed_mps if known else None, required=True)
        self.revs = Measured("revs", system, style.rev_rate_radps / RPM_RADPS if known else None, required=True)
        self.rotation = Measured("rotation", system, style.axis_rotation_rad / DEGREE_RAD, required=True)
        self.tilt = Measured("tilt", system, style.axis_tilt_rad / DEGREE_RAD, required=True)
        for label, field in (
            ("Speed off the hand", self.speed), ("Revs", self.revs), ("Axis rotation", self.rotation),
            ("Axis tilt", self.tilt),
        ):  # fmt: skip
            self.rows.field(label, field)
        self.body.addWidget(Plain(
            "Houses read the speed farther down: about 1 mph less than off the hand.", px=13, token="ink2", wrap=True
        ))  # fmt: skip
        self.speed.setFocus()

    def act(self) -> Callable[[Shop], Changes]:
        """Keep it."""
        style = replace(
            self._style, speed_mps=self.speed.si() or self._style.speed_mps,
            rev_rate_radps=_si(self.revs, RPM_RADPS, self._style.rev_rate_radps),
            axis_rotation_rad=_si(self.rotation, DEGREE_RAD, self._style.axis_rotation_rad),
            axis_tilt_rad=_si(self.tilt, DEGREE_RAD, self._style.axis_tilt_rad),
        )  # fmt: skip
        bowler = self._person.id

        def run(shop: Shop) -> Changes:
            from arsenal.acts import people  # noqa: PLC0415 - heavy, on the worker's thread

            return people.set_release(shop, bowler, style)

        return run


def _si(field: Measured, factor: float, before: float) -> float:
    """What was typed, in SI; a value nobody touched stays exactly as it was."""
    value = field.si()
    return before if value is None or abs(value * factor - before) < 1e-12 else value * factor


class LineDialog(FormDialog):
    """Laydown, and the board at the arrows."""

    def __init__(
        self, shared: Shared, parent: QWidget, person: Person, lane: Lane, line: Line, done: Done | None
    ) -> None:
        super().__init__(f"The line of {person.name} on {lane.name}", shared, parent, done)
        self._person, self._lane = person, lane
        arrows = own_side.board(person, at_arrows(line)[1])
        self.laydown = NumberField(
            LIMITS["board"], own_side.board(person, line.lateral_m), digits=1, required=True, name="laydown board"
        )  # fmt: skip
        self.arrows = NumberField(LIMITS["board"], arrows, digits=1, required=True, name="board at the arrows")
        self.rows.field("Laydown, board", self.laydown)
        self.rows.field("At the arrows, board", self.arrows)
        self.body.addWidget(Plain(
            "Boards count from the own gutter. All balls are compared on this shot.", px=13, token="ink2", wrap=True
        ))  # fmt: skip
        self.laydown.setFocus()

    def line(self) -> Line:
        """The line through both boards. Raises KnownError where a field is empty."""
        laydown, arrows = self.laydown.value(), self.arrows.value()
        if laydown is None or arrows is None:
            raise KnownError("A line needs both boards.")
        return line_through(self._person, laydown, arrows)

    def act(self) -> Callable[[Shop], Changes]:
        """Keep it as the own line here."""
        line, bowler, lane = self.line(), self._person.id, self._lane.id
        return lambda shop: set_line(shop, bowler, lane, line)


def line_through(person: Person, laydown: float, arrows: float) -> Line:
    """The straight launch line through a laydown board and a board at the arrows, from the own gutter."""
    from arsenal.motion import arrow_distance_m  # noqa: PLC0415 - heavy, loaded by then

    start, over = own_side.lateral_m(person, laydown), own_side.lateral_m(person, arrows)
    return Line(start, math.atan2(over - start, arrow_distance_m(over)))


def set_line(shop: Shop, bowler_id: int, lane_id: int, line: Line | None) -> Changes:
    """The own line on a condition, or with None the reference ball's best."""
    from arsenal.acts import people  # noqa: PLC0415 - heavy, on the worker's thread

    return people.set_line(shop, bowler_id, lane_id, line)


class ThrownDialog(FormDialog):
    """How many shots with the ball in hand, and how it was wiped: Enter logs."""

    last_shots, last_wiped = SHOTS_A_GAME, Wiped.EACH

    def __init__(self, shared: Shared, parent: QWidget, ball: Ball, lane: Lane | None, done: Done | None) -> None:
        super().__init__(f"Thrown with {ball.name}", shared, parent, done, keep="Log it")
        self._ball, self._lane = ball, lane
        limit = LIMITS["shots"]
        self.shots = NumberField(
            Limit("shots", limit.low, limit.high, "shots"), type(self).last_shots, digits=0, required=True,
            units={"g": SHOTS_A_GAME, "game": SHOTS_A_GAME, "games": SHOTS_A_GAME}, name="shots",
        )  # fmt: skip
        self.wiped = Choice("Wiped", WIPES, type(self).last_wiped)
        self.rows.field("Shots, or 3 g for games", self.shots)
        self.rows.field("Wiped", self.wiped)
        if lane is not None:
            self.rows.add("On", lane.name)
        self.shots.setFocus()
        self.shots.edit.selectAll()

    def act(self) -> Callable[[Shop], Changes]:
        """Log it today."""
        shots, wiped = self.shots.value() or 1.0, self.wiped.value
        type(self).last_shots, type(self).last_wiped = shots, wiped
        ball, lane = self._ball.id, self._lane.id if self._lane else None

        def run(shop: Shop) -> Changes:
            from arsenal.acts import logging  # noqa: PLC0415 - heavy, on the worker's thread

            return logging.thrown(shop, ball, shots, lane, wiped)

        return run


class SawDialog(FormDialog):
    """“Quarry Song ended 3 boards stronger than Slow Lantern”: what was seen, kept with its doubt."""

    def __init__(
        self, shared: Shared, parent: QWidget, ball: Ball, others: Sequence[Ball], lane: Lane | None, done: Done | None
    ) -> None:
        super().__init__(f"I saw {ball.name} end", shared, parent, done, keep="Keep what I saw")
        self._ball, self._lane = ball, lane
        limit = LIMITS["boards"]
        self.boards = NumberField(
            Limit("boards", 0.0, limit.high, "boards"), None, digits=1, required=True, name="boards"
        )  # fmt: skip
        self.way = Choice("Stronger or weaker", WAYS, 1.0)
        self.other = Choice("Than which ball", [(one.name, one.id) for one in others], others[0].id)
        self.rows.field("Boards at the pins", self.boards)
        self.rows.field("It ended", self.way)
        self.rows.field("This ball", self.other)
        self.body.addWidget(Plain(
            f"Thrown one after the other on the same line; kept as ± {SEEN_SD_BOARDS:g} boards.",
            px=13, token="ink2", wrap=True,
        ))  # fmt: skip
        self.boards.setFocus()

    def act(self) -> Callable[[Shop], Changes]:
        """Keep it today."""
        boards = (self.boards.value() or 0.0) * float(self.way.value)
        seen = Compared(int(self.other.value), boards, SEEN_SD_BOARDS, self._lane.id if self._lane else None)
        ball = self._ball.id

        def run(shop: Shop) -> Changes:
            from arsenal.acts import logging  # noqa: PLC0415 - heavy, on the worker's thread

            return logging.keep(shop, (Draft(ball, Kind.COMPARED, shop.today(), seen),))

        return run
