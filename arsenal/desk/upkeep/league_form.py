"""What a bowler plays regularly: its day, games, hour, condition and balls, and the dates it is not played."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from arsenal.desk.dialogs.fields import ClockField, Named, Several
from arsenal.desk.dialogs.form import Choice, Done, FormDialog
from arsenal.desk.parts.number import NumberField
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.desk.upkeep import repeats
from arsenal.trade.calendar import League
from arsenal.trade.limits import Limit

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes

GAMES = Limit("games", 0.5, 30.0, "games")
SHOTS = Limit("strike shots of an evening", 1.0, 400.0, "shots")


@dataclass(frozen=True, slots=True)
class Offers:
    """What the form offers: conditions and the bowler's balls, each (name, id)."""

    lanes: Sequence[tuple[str, int]]
    balls: Sequence[tuple[str, int]]


class LeagueDialog(FormDialog):
    """The form."""

    def __init__(
        self, shared: Shared, parent: QWidget, league: League, offers: Offers, today: date, done: Done | None
    ) -> None:
        old = league.id != 0
        super().__init__(
            "A league or practice", shared, parent, done, keep="Keep" if old else "Add it", width=560
        )  # fmt: skip
        self._league = league
        self.name = Named("Name", league.name, "House league, practice", "It needs a name: House league, or practice.")
        self.games = NumberField(GAMES, league.games, digits=1, required=True, name="games")
        self.shots = NumberField(SHOTS, league.shots, digits=0, name="strike shots of an evening")
        self.starts = ClockField("Starts at", league.starts)
        lanes: list[tuple[str, int | None]] = [("the usual one", None), *offers.lanes]
        self.lane = Choice("Condition", lanes, league.lane_id)
        self.balls = Several("Balls", "all in the bag", league.ball_ids)
        self.balls.offer(offers.balls)
        self.when = repeats.Repeating(league, today)
        self.rows.field("Name", self.name)
        self.rows.field("Games", self.games)
        self.when.put_in(self.rows, "Not played on")
        for label, field in (
            ("Starts at", self.starts), ("Condition", self.lane), ("Balls", self.balls),
            ("Strike shots, if known", self.shots),
        ):  # fmt: skip
            self.rows.field(label, field)
        self.body.addWidget(
            Plain("The weeks are planned from what is played. The log says what was.", px=13, token="ink2", wrap=True)
        )
        if old:
            repeats.before_the_rest(self, self.offer("No longer", "X", self._remove, destructive=True))
        self.name.setFocus()

    def league(self) -> League:
        """The record the fields say."""
        when = self.when
        return replace(
            self._league, name=self.name.words(), games=self.games.value() or 0.0, shots=self.shots.value(),
            starts=self.starts.at(),
            lane_id=self.lane.value, ball_ids=self._balls(), first_on=when.first(), last_on=when.last(),
            repeats=when.how(), skipped=when.skipped(),
        )  # fmt: skip

    def _balls(self) -> tuple[int, ...]:
        return tuple(value for value in self.balls.values() if isinstance(value, int))

    def keep(self) -> None:
        """Every field first, the topmost wrong one gets the focus."""
        if repeats.all_well(self, self.name, self.games, self.when, self.starts, self.shots):
            super().keep()

    def act(self) -> Callable[[Shop], Changes]:
        """Add it, or put it in the place of the old one."""
        league = self.league()

        def run(shop: Shop) -> Changes:
            from arsenal.acts import calendar_records  # noqa: PLC0415 - heavy, on the worker's thread

            return calendar_records.keep_league(shop, league)

        return run

    def _remove(self) -> None:
        gone = self._league.id

        def run(shop: Shop) -> Changes:
            from arsenal.acts import calendar_records  # noqa: PLC0415 - heavy, on the worker's thread

            return calendar_records.remove_league(shop, gone)

        self.shared.keep(run, self._finish, failed=self._failed)


def open_league(
    shared: Shared, parent: QWidget, bowler_id: int, league: League | None = None, done: Done | None = None
) -> None:
    """Add something a bowler plays, or change it; conditions and balls are read first."""

    def read(shop: Shop) -> tuple[Offers, date]:
        from arsenal.acts import reading  # noqa: PLC0415 - heavy, on the worker's thread

        lanes = [(lane.name, lane.id) for lane in reading.lanes(shop)]
        balls = [(ball.name, ball.id) for ball in reading.balls(shop) if ball.owner_id == bowler_id]
        return Offers(lanes, balls), shop.today()

    def show(found: tuple[Offers, date]) -> None:
        offers, today = found
        LeagueDialog(shared, parent, league or League(0, bowler_id, "", today), offers, today, done).open_()

    shared.ask("league form", read, show, failed=shared.trouble)
