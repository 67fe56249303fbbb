"""The Upkeep sentence: for whom, at what pace, until when, and how much lost counts as due."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from arsenal.acts.words import MONTHS
from arsenal.desk.parts.sentence import Sentence
from arsenal.desk.upkeep import asking
from arsenal.desk.upkeep.rows import DAYS

if TYPE_CHECKING:
    from arsenal.desk.upkeep.room import UpkeepRoom

PACES = (2.0, 3.0, 4.0, 6.0, 7.0, 9.0, 12.0, 15.0)
LOST = ((1.0, 1.0), (2.0, 2.0), (3.0, 3.0))


def long_day(day: date) -> str:
    """“Sun 29 Nov”."""
    return f"{DAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}"


def pace_words(games: float) -> str:
    """“7 games a week”."""
    return f"{games:.3g} games a week"


def lost_words(boards: float, feet: float) -> str:
    """“2 boards or 2 ft”."""
    return f"{boards:g} board{'s' if boards != 1 else ''} or {feet:g} ft"


class Bar(Sentence):
    """The bar; its words act through the room's shared ground."""

    def __init__(self, room: UpkeepRoom) -> None:
        super().__init__("What is due")
        self._room = room
        self._found: asking.Found | None = None
        self.say("What is due for")
        self.bowler = self.word("Bowler", "…")
        self.say("at")
        self.pace = self.word("Pace", "…")
        self.say("until", optional=True)
        self.until = self.word("Until", "…")
        self._when = self.say("when it has lost", optional=True)
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
        sunday = sheet.today + timedelta(days=6 - sheet.today.weekday())
        ends = [sunday, sunday + timedelta(weeks=1), sunday + timedelta(weeks=4), sunday + timedelta(weeks=13)]
        self.until.set_word(long_day(sheet.until))
        self.until.set_choices([(long_day(day), day) for day in ends], sheet.until)
        now = (found.boards, found.first_read_ft)
        self.lost.set_word(lost_words(*now))
        self.lost.set_choices([(lost_words(*pair), pair) for pair in LOST], now, more=(("Intervals…", self._table),))
        self.fit()

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
