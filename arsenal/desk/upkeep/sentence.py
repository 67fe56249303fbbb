"""The Upkeep sentence: for whom, what is played, when there is time, until when, and how much lost counts as due."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from arsenal.desk.parts.sentence import Sentence
from arsenal.desk.upkeep import asking
from arsenal.desk.upkeep.sentence_words import (
    league_words,
    lost_words,
    pace_words,
    short_leagues,
    short_slots,
    slot_words,
)
from arsenal.trade import days
from arsenal.trade.calendar import League, Slot

if TYPE_CHECKING:
    from arsenal.desk.upkeep.room import UpkeepRoom

PACES = (2.0, 3.0, 4.0, 6.0, 7.0, 9.0, 12.0, 15.0)
LOST = ((1.0, 1.0), (2.0, 2.0), (3.0, 3.0))


class Bar(Sentence):
    """The bar; its words act through the room's shared ground."""

    def __init__(self, room: UpkeepRoom) -> None:
        super().__init__("What is due")
        self._room = room
        self._found: asking.Found | None = None
        self.say("What is due for")
        self.bowler = self.word("Bowler", "…")
        self.say("playing")
        self.leagues = self.word("Leagues and practice", "…")
        self.pace = self.word("Pace", "…")
        self.say("worked on", optional=1)
        self.slots = self.word("Time for work", "…")
        self.say("until", optional=1)
        self.until = self.word("Until", "…")
        self.say("when it has lost", optional=1)
        self.lost = self.word("Due when it has lost", "…")
        self.finish()
        self.pace.picked.connect(self._pick_pace)
        self.lost.picked.connect(self._pick_lost)

    def show_sheet(self, found: asking.Found) -> None:
        """What is asked for now, and what else may be."""
        self._found = found
        sheet = found.sheet
        everybody: list[tuple[str, object]] = [("everybody", None)]
        self.bowler.set_word(sheet.bowler.name if sheet.bowler else "everybody")
        self.bowler.set_choices(
            [*((p.name, p.id) for p in found.bowlers), *everybody], sheet.bowler.id if sheet.bowler else None
        )
        self.pace.set_word(pace_words(sheet.games_a_week))
        self.pace.setEnabled(sheet.bowler is not None)
        self.pace.set_choices([(pace_words(p), p) for p in PACES], sheet.games_a_week, more=(("Other…", self._edit),))
        self._show_times(found)
        sunday = sheet.today + timedelta(days=6 - sheet.today.weekday())
        ends = [sunday, sunday + timedelta(weeks=1), sunday + timedelta(weeks=4), sunday + timedelta(weeks=13)]
        self.until.set_word(days.weekday_and_day(sheet.until))
        self.until.set_choices([(days.weekday_and_day(day), day) for day in ends], sheet.until)
        now = (found.boards, found.first_read_ft)
        self.lost.set_word(lost_words(*now))
        self.lost.set_choices([(lost_words(*pair), pair) for pair in LOST], now, more=(("Intervals…", self._table),))
        self.fit()

    def _show_times(self, found: asking.Found) -> None:
        sheet = found.sheet
        self.leagues.set_word(short_leagues(found.leagues, sheet.today))
        leagues: list[tuple[str, Callable[[], object]]] = [
            (f"{league_words(one)}…", partial(self.open_league, one)) for one in found.leagues
        ]
        if sheet.bowler is not None:
            leagues.append(("Add a league or practice…", partial(self.open_league, None)))
        self.leagues.set_choices((), more=leagues)
        self.leagues.setEnabled(bool(leagues))
        self.slots.set_word(short_slots(found.slots, sheet.today))
        slots = [(f"{slot_words(one)}…", partial(self.open_slot, one)) for one in found.slots]
        add = "Add time for work…" if sheet.bowler is not None else "Add bench time…"
        self.slots.set_choices((), more=[*slots, (add, partial(self.open_slot, None))])

    def slots_now(self) -> tuple[Slot, ...]:
        """The time for work that is shown."""
        return self._found.slots if self._found is not None else ()

    def open_league(self, league: League | None) -> None:
        """Add or change what is played."""
        from arsenal.desk.upkeep.league_form import open_league  # noqa: PLC0415 - when first wanted

        bowler = self._found.sheet.bowler if self._found is not None else None
        bowler_id = league.bowler_id if league is not None else bowler.id if bowler is not None else None
        if bowler_id is not None:
            open_league(self._room.shared, self._shared_window(), bowler_id, league)

    def open_slot(self, slot: Slot | None) -> None:
        """Add or change time for work."""
        from arsenal.desk.upkeep.slot_form import open_slot  # noqa: PLC0415 - when first wanted

        bowler = self._found.sheet.bowler if self._found is not None else None
        open_slot(self._room.shared, self._shared_window(), bowler.id if bowler is not None else None, slot)

    def _shared_window(self) -> QWidget:
        return self._room.window()

    def _pick_pace(self, games: object) -> None:
        if self._found is not None and self._found.sheet.bowler is not None and isinstance(games, float):
            bowler = self._found.sheet.bowler
            self._room.shared.keep(lambda shop: asking.pace(shop, bowler, games))

    def _pick_lost(self, pair: object) -> None:
        if isinstance(pair, tuple):
            boards, feet = pair
            self._room.shared.keep(lambda shop: asking.lost(shop, boards, feet))

    def _edit(self) -> None:
        if self._found is not None and self._found.sheet.bowler is not None:
            from arsenal.desk.dialogs.bowler import open_bowler  # noqa: PLC0415 - when first wanted

            open_bowler(self._room.shared, self._shared_window(), self._found.sheet.bowler)

    def _table(self) -> None:
        from arsenal.desk.upkeep.interval_table import open_intervals  # noqa: PLC0415 - when first wanted

        open_intervals(self._room.shared, self._shared_window())
