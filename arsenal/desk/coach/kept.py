"""What the coach's view remembers on this machine: group, who is left out, balls taken in hand, what “all threw” logs.

Group and numbers stay; who is left out and what is in hand belong to one file and one day.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Any

from arsenal.acts.settings import Settings
from arsenal.trade.entries import Wiped

KEY, VIEW = "coach", "seen as"
MOST_GAMES = 40.0


@dataclass
class Kept:
    """Change a field, then `put`."""

    file: str
    day: date
    group: str = ""
    left_out: set[int] = field(default_factory=set)
    hands: dict[int, int] = field(default_factory=dict)
    games: float = 3.0
    wiped: Wiped | None = Wiped.EACH
    cleaned: bool = True

    @classmethod
    def read(cls, settings: Settings, file: str, day: date) -> Kept:
        """What is remembered for this file and day; what cannot be read is forgotten."""
        found = settings.kept.get(KEY)
        made = cls(file, day)
        if not isinstance(found, dict) or found.get("file") != file:
            return made
        made.group = found["group"] if isinstance(found.get("group"), str) else ""
        games = found.get("games")
        if isinstance(games, int | float) and 0 < games <= MOST_GAMES:
            made.games = float(games)
        made.wiped = next((w for w in Wiped if w.value == found.get("wiped")), None) if "wiped" in found else Wiped.EACH
        made.cleaned = bool(found.get("cleaned", True))
        if found.get("day") == day.isoformat():
            made.left_out = {i for i in _list(found.get("left_out")) if isinstance(i, int)}
            pairs = (p for p in _list(found.get("hands")) if isinstance(p, list) and len(p) == 2)
            made.hands = {a: b for a, b in pairs if isinstance(a, int) and isinstance(b, int)}
        return made

    def put(self, settings: Settings) -> None:
        """Into the settings; they are written when the window closes."""
        settings.kept[KEY] = {
            "file": self.file, "day": self.day.isoformat(), "group": self.group, "left_out": sorted(self.left_out),
            "hands": [list(pair) for pair in sorted(self.hands.items())], "games": self.games,
            "wiped": self.wiped.value if self.wiped else None, "cleaned": self.cleaned,
        }  # fmt: skip


def _list(found: Any) -> list[Any]:
    return found if isinstance(found, list) else []
