"""The menu at the right end of the last-act line and on F10: files, what to add, and the look."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QMenu, QWidget

from arsenal.acts import places
from arsenal.desk import file_dialogs, reminders
from arsenal.desk.bench.dialogs import trial as open_trial
from arsenal.desk.dialogs import backups, ball, bowler, competition, lane, load, pad, take_over
from arsenal.desk.look_words import look_menus
from arsenal.desk.parts.text import caption
from arsenal.desk.rooms import Shared
from arsenal.desk.upkeep import league_form, slot_form

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes
    from arsenal.desk.worker import Progress


class FileMenu(QMenu):
    """Built anew each time it is opened, since what it offers depends on what is in hand."""

    def __init__(
        self, shared: Shared, window: QWidget, *,
        restore: Callable[[Path], object], other: Callable[[], object], remove: Callable[[], object],
        keys: Callable[[], object], take: take_over.TakeOver = lambda _copy, _onto, _who, _anyway: None,
        refresh: Callable[[], object] = lambda: None,
    ) -> None:  # fmt: skip
        super().__init__(window)
        self.shared, self._window = shared, window
        self._files(restore, other, remove)
        self._machines(take, refresh)
        self.addSeparator()
        self._adding()
        self.addSeparator()
        look_menus(self, shared.settings, self)
        self._reminders()
        self._say("What the keys do …", keys, "F1")

    def _say(self, text: str, call: Callable[[], object], keys: str = "") -> None:
        act = self.addAction(caption(text))
        act.triggered.connect(lambda _=False: call())
        if keys:
            act.setText(f"{caption(text)}\t{keys}")

    def _files(
        self, restore: Callable[[Path], object], other: Callable[[], object], remove: Callable[[], object]
    ) -> None:
        shared, window = self.shared, self._window
        self._say("Load files …", lambda: load.open_load(shared, window), "Ctrl+O")
        self._say("A sensor’s table of shots …", self._sensor)
        self._say("Write everything to a folder …", self._dump)
        self._say("Backups …", lambda: backups.open_backups(shared, window, restore))
        self._say("Another shop …", other)
        if shared.path == places.sample_file():
            self._say("Take the sample shop away", remove)

    def _machines(self, take: take_over.TakeOver, refresh: Callable[[], object]) -> None:
        """What is rarely done, out of the way."""
        shared, window = self.shared, self._window
        menu = self.addMenu(caption("Machines and copies"))
        for text, call in (
            ("Hand over this file …", lambda: take_over.open_hand_over(shared, window, refresh)),
            ("Take over a file …", lambda: take_over.open_take_over(shared, window, take)),
            ("Make a file again from its lines …", self._rebuild),
        ):
            menu.addAction(caption(text)).triggered.connect(lambda _=False, c=call: c())

    def _adding(self) -> None:
        shared, window, who = self.shared, self._window, self.shared.bowler_id
        self._say("Add a bowler …", lambda: bowler.open_bowler(shared, window, done=self._hold))
        if who is not None:
            self._say("Add a ball …", lambda: ball.open_ball(shared, window, who))
            self._say("Try a ball not owned yet …", lambda: open_trial(shared, window, who))
        self._say("Add a lane condition …", lambda: lane.open_lane(shared, window))
        self._say("Add a pad …", lambda: pad.open_pad(shared, window, who))
        if who is not None:
            self._say("Competition …", lambda: competition.open_competition(shared, window, who))
            self._say("A league or practice …", lambda: league_form.open_league(shared, window, who))
            self._say("Time for work on balls …", lambda: slot_form.open_slot(shared, window, who))
        self._say("Bench time of the shop …", lambda: slot_form.open_slot(shared, window, None))

    def _reminders(self) -> None:
        act = self.addAction(caption("Remind me of what is due"))
        act.setCheckable(True)
        act.setChecked(reminders.wanted(self.shared.settings))
        act.triggered.connect(lambda on: reminders.put_on(self.shared.settings, on))

    def _hold(self, changes: Changes) -> None:
        if changes.changed:
            self.shared.hold_bowler(changes.changed[0].id)

    def _sensor(self) -> None:
        from arsenal.desk.practice.sensor_dialog import open_sensor  # noqa: PLC0415 - when first asked for

        open_sensor(self.shared, self._window)

    def _dump(self) -> None:
        name = file_dialogs.folder(self._window, "Write everything to a folder", str(Path.home()))
        say = self.shared.say  # the menu is gone by then
        if name:
            self.shared.worker.act(
                lambda shop, tell: _dump(shop, Path(name), tell),
                lambda written: say(f"Wrote {len(written)} files to {name}"),
                title="Writing the tables",
                progress=True,
            )

    def _rebuild(self) -> None:
        """A new file; which one is open stays as it is."""
        name = file_dialogs.open_file(self._window, "Lines of a file", str(Path.home()), "Lines (*.jsonl)")
        if not name:
            return
        start = str(Path(name).with_suffix(".padbook"))
        onto = file_dialogs.save_file(self._window, "Make the file", start, "Padbook (*.padbook)")
        if onto:
            self.shared.worker.act(
                lambda _shop, tell: _rebuild(Path(name), Path(onto), tell), self.shared.say,
                title="Making a file from its lines", progress=True,
            )  # fmt: skip


def _dump(shop: Shop, folder: Path, tell: Progress) -> tuple[Path, ...]:
    from arsenal.acts import files  # noqa: PLC0415 - heavy

    return tuple(files.dump(shop, folder, xlsx=True, tell=tell))


def _rebuild(lines: Path, onto: Path, tell: Progress) -> str:
    from arsenal.acts import files  # noqa: PLC0415 - heavy

    report = files.rebuild(lines, onto, tell=tell)
    return f"Made {onto}: {report.balls} balls, {report.entries} entries, gone over and sound. “Another shop” opens it."
