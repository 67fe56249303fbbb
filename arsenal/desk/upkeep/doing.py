"""What the Upkeep room does with a plan: make it, give way where it does not fit, write, print and remind."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from arsenal.desk import file_dialogs
from arsenal.desk.upkeep import asking_weeks

if TYPE_CHECKING:
    from arsenal.acts.calendar_views import Relaxation, UpkeepPlan
    from arsenal.desk.upkeep.room import UpkeepRoom

EVENT_ROOM, BENCH_ROOM = 4, 2
FILES = "calendar files"

# ruff: noqa: PLC0415 - each dialog is loaded when it is first wanted


class Doing(QObject):
    """Acts on behalf of one room."""

    def __init__(self, room: UpkeepRoom) -> None:
        super().__init__(room)
        self._room = room

    def plan(self) -> None:
        """Put the jobs into the time there is."""
        room, bowler_id = self._room, self._room.whom()
        room.weeks.plan_key.setEnabled(False)
        room.shared.worker.act(
            lambda shop, progress: asking_weeks.plan(shop, bowler_id, progress), self._planned,
            failed=self._not_planned, title="Planning the weeks", progress=True,
        )  # fmt: skip

    def _planned(self, plan: UpkeepPlan) -> None:
        room = self._room
        room.weeks.plan_key.setEnabled(True)
        room.weeks.planned(plan)
        room.shared.say(planned_words(plan))
        room.ask_weeks()

    def _not_planned(self, error: Exception) -> None:
        self._room.weeks.plan_key.setEnabled(True)
        self._room.shared.troubled.emit(error)

    def relax(self, way: Relaxation) -> None:
        """Open what would have to give."""
        room = self._room
        bar = room.sentence()
        if way.kind == "pads":
            from arsenal.desk.dialogs.pad import open_pad

            open_pad(room.shared, room.window(), room.whom())
        elif way.kind in ("minutes", "slot"):
            slot = asking_weeks.slot_to_widen(way, bar.slots_now()) if way.kind == "minutes" else None
            bar.open_slot(slot)
        elif way.kind in ("event", "settling"):
            room.shared.open_room(EVENT_ROOM)
        else:
            room.shared.open_room(BENCH_ROOM)

    def calendar_file(self) -> None:
        """Ask where, then write."""
        room, kept = self._room, self._kept_files()
        usual = kept.get(str(room.whom()), str(Path.home() / "upkeep.ics"))
        name = file_dialogs.save_file(room, "Keep the calendar file", usual, "Calendar (*.ics)")
        if name:
            self.write_calendar(Path(name))

    def _kept_files(self) -> dict[str, str]:
        """Where each bowler's file was kept last."""
        found = self._room.shared.settings.kept.get(FILES)
        return {str(whose): str(path) for whose, path in found.items()} if isinstance(found, dict) else {}

    def write_calendar(self, path: Path) -> None:
        """Write the file there and say what is in it."""
        room, bowler_id = self._room, self._room.whom()
        where = path if path.suffix else path.with_suffix(".ics")
        room.shared.settings.kept[FILES] = {**self._kept_files(), str(bowler_id): str(where)}

        def written(words: str) -> None:
            said = "taking it in again moves what is there and doubles nothing"
            room.shared.say(f"Wrote {words} to {where}; {said}")

        room.shared.worker.act(
            lambda shop: asking_weeks.write_calendar(shop, bowler_id, where), written,
            failed=room.shared.trouble, title="Writing the calendar",
        )  # fmt: skip

    def print_week(self) -> None:
        """The week shown, as it comes out of the printer."""
        week = self._room.weeks.week
        if week is None:
            self._room.shared.say("Show a week first: W goes from the season to the week")
        else:
            from arsenal.desk.upkeep.week_paper import open_week_paper

            open_week_paper(self._room.shared, self._room.window(), week)

    def remind(self) -> None:
        """The customers who may be reminded, as text to copy."""
        from arsenal.desk.upkeep.to_remind import open_to_remind

        open_to_remind(self._room.shared, self._room.window())


def planned_words(plan: UpkeepPlan) -> str:
    """“Planned 14 jobs for Mirel Oster; 2 moved; 1 has no place”."""
    placed = len([item for item in plan.items if item.on is not None])
    parts = [f"Planned {placed} {'job' if placed == 1 else 'jobs'} for {plan.who}"]
    if plan.moved:
        parts.append(f"{len(plan.moved)} moved")
    if plan.unplaced:
        parts.append(f"{len(plan.unplaced)} {'has' if len(plan.unplaced) == 1 else 'have'} no place")
    if not plan.exact:
        parts.append("the time was up before it was sure that none is better")
    return "; ".join(parts)
