"""Settings of this machine: how the desk looks and where it was left. What belongs to a shop lives in its ledger.

A broken or missing settings file is never an error: the defaults stand and the next save replaces it.
"""

from __future__ import annotations

import contextlib
import json
import os
import tempfile
from dataclasses import asdict, dataclass, field, fields
from pathlib import Path
from typing import Any

from platformdirs import user_config_path

from arsenal.trade.errors import KnownError

LOOKS = ("light", "dark", "system")
UNITS = ("imperial", "metric")
TEXT_SIZE_LOW, TEXT_SIZE_HIGH = 0.8, 2.0


def default_path() -> Path:
    """Where this machine keeps them."""
    return user_config_path("padbook", appauthor=False) / "settings.json"


@dataclass
class Settings:
    """Change a field, then `save`. `kept` holds the desk's own small things (splitters, columns) as JSON values."""

    look: str = "light"
    text_size: float = 1.0
    """Factor on the base size, 0.8 to 2."""
    units: str = "imperial"
    last_room: str = ""
    last_bowler_id: int | None = None
    last_lane_id: int | None = None
    last_ball_id: int | None = None
    last_file: str = ""
    geometry: str = ""
    """The window's geometry as the desk encodes it."""
    kept: dict[str, Any] = field(default_factory=dict)
    path: Path | None = None

    @classmethod
    def load(cls, path: Path | None = None) -> Settings:
        """Settings from `path`, or from this machine's own place. Unknown and impossible values fall to defaults."""
        where = path or default_path()
        try:
            found = json.loads(where.read_text("utf-8"))
        except (OSError, ValueError):
            found = {}
        settings = cls(path=where)
        if isinstance(found, dict):
            settings._take(found)
        return settings

    def save(self) -> None:
        """Write whole or not at all. Raises KnownError where the folder cannot be written."""
        where = self.path or default_path()
        text = json.dumps({k: v for k, v in asdict(self).items() if k != "path"}, indent=1, sort_keys=True)
        try:
            where.parent.mkdir(parents=True, exist_ok=True)
            _replace(where, text)
        except OSError as error:
            raise KnownError(
                f"The settings could not be written to {where}: {error.strerror or error}.",
                safe="The log is not touched; the old settings stand.",
            ) from error

    def _take(self, found: dict[str, Any]) -> None:
        plain = {f.name: getattr(self, f.name) for f in fields(self) if f.name != "path"}
        for name, default in plain.items():
            value = found.get(name, default)
            if name.endswith("_id"):
                fits = value is None or (isinstance(value, int) and not isinstance(value, bool))
            elif isinstance(default, float):
                fits = isinstance(value, int | float) and not isinstance(value, bool)
            else:
                fits = isinstance(value, type(default))
            if fits:
                setattr(self, name, value)
        self.look = self.look if self.look in LOOKS else LOOKS[0]
        self.units = self.units if self.units in UNITS else UNITS[0]
        self.text_size = min(max(float(self.text_size), TEXT_SIZE_LOW), TEXT_SIZE_HIGH)


def _replace(where: Path, text: str) -> None:
    handle, name = tempfile.mkstemp(dir=where.parent, prefix=where.name, suffix=".part")
    try:
        with os.fdopen(handle, "w", encoding="utf-8") as out:
            out.write(text)
            out.flush()
            os.fsync(out.fileno())
        Path(name).replace(where)
    except BaseException:
        with contextlib.suppress(OSError):
            Path(name).unlink()
        raise
