#!/usr/bin/env python3
"""The pictures in resources/pictures: the real window on a freshly written sample shop, under a virtual display."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Any

import own_python
from environment import ROOT, say

if TYPE_CHECKING:
    from arsenal.acts.settings import Settings
    from arsenal.desk.frame import Window

# ruff: noqa: PLC0415 - the program is only there once the environment is

PICTURES = ROOT / "resources" / "pictures"
ROOMS = ((1, "lane-side"), (2, "bench"), (3, "practice"), (4, "event"), (5, "upkeep"), (6, "counter"))
BOWLER, BALL, COUNTER = "Mirel Oster", "Paper Moth", 6
SIZE = (1366, 768)


def under_display() -> int:
    """Run this script again inside Xvfb, with folders of its own, so that nothing of this machine is shown."""
    if shutil.which("xvfb-run") is None:
        say("xvfb-run is missing. Install it with: sudo apt-get install xvfb xauth")
        return 1
    with tempfile.TemporaryDirectory() as home:
        folders = {f"XDG_{name}_HOME": f"{home}/{name.lower()}" for name in ("CONFIG", "DATA", "STATE", "CACHE")}
        inside = {**os.environ, **folders, "QT_QPA_PLATFORM": "xcb", "PADBOOK_PICTURES": home}
        screen = f"-screen 0 {SIZE[0]}x{SIZE[1]}x24"
        again = ["xvfb-run", "-a", "-s", screen, sys.executable, str(Path(__file__).resolve()), *sys.argv[1:]]
        return subprocess.run(again, env=inside, check=False).returncode


def wait(milliseconds: int) -> None:
    """Let the window and its worker run."""
    from PySide6.QtCore import QEventLoop, QTimer

    loop = QEventLoop()
    QTimer.singleShot(milliseconds, loop.quit)
    loop.exec()


def bowler_of(path: Path, settings: Settings) -> int:
    """Write the sample shop to `path`; the number of the bowler to show."""
    from arsenal.acts import files, reading
    from arsenal.acts.shop import Shop

    path.parent.mkdir(parents=True, exist_ok=True)
    files.write_sample(path)
    with Shop.open(path, settings=settings) as shop:
        return next(person.id for person in reading.bowlers(shop) if person.name == BOWLER)


def settle(window: Window) -> None:
    """Until nothing is being worked out any more."""
    for _ in range(60):
        if window.shared.worker.idle():
            break
        wait(1000)
    wait(500)


def serve(window: Window) -> None:
    """A customer at the counter: a ball found, its card open, its ticket being written."""
    room: Any = window.room(COUNTER)
    room.left.field.edit.setText(BALL.split()[1].lower())
    wait(1500)
    room.left.open_now()
    wait(1500)
    window.shared.ask("ball", lambda shop: next(b.id for b in shop.balls() if b.name == BALL), room.slip.put_ball)
    wait(1500)
    lines = room.right.lines
    lines.choose_where(lambda row: getattr(row, "line", None) is not None and row.line.name == "Clean")
    room.slip.tick(lines.in_hand().line)


def take(wanted: list[str]) -> int:
    """Open the window, go through the rooms, save what the screen shows."""
    from PySide6.QtWidgets import QApplication

    from arsenal.acts import places
    from arsenal.acts.settings import Settings
    from arsenal.desk import theme
    from arsenal.desk.opening import Desk

    path, settings = places.sample_file(), Settings.load()
    settings.look = "light"
    bowler = bowler_of(path, settings)
    app = QApplication([])
    theme.dress(app, "light", 100)
    desk = Desk(settings)
    desk.start(path)
    wait(3000)
    window = desk.window
    if window is None:
        say("The window did not open.")
        return 1
    window.setGeometry(0, 0, *SIZE)
    window.shared.hold_bowler(bowler)
    wait(3000)
    PICTURES.mkdir(parents=True, exist_ok=True)
    for digit, name in ROOMS:
        if not wanted or name in wanted:
            window.shared.open_room(digit)
            wait(1000)
            if digit == COUNTER:
                serve(window)
            wait(4000)
            settle(window)
            app.primaryScreen().grabWindow(0).save(str(PICTURES / f"{name}.png"))
            say(f"resources/pictures/{name}.png")
    window.close()
    desk.window_gone()
    desk.deleteLater()
    wait(500)
    return 0


if __name__ == "__main__":
    own_python.ensure()
    raise SystemExit(take(sys.argv[1:]) if os.environ.get("PADBOOK_PICTURES") else under_display())
