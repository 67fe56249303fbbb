"""The sample shop's events, leagues and time for work: names of people, balls and conditions in place of their ids."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from arsenal.ledger import codec
from arsenal.trade.calendar import League, Slot
from arsenal.trade.errors import KnownError
from arsenal.trade.event import Entered, Event


@dataclass(frozen=True)
class Names:
    """Ids by name."""

    people: Mapping[str, int]
    balls: Mapping[str, int]
    lanes: Mapping[str, int]


@dataclass(frozen=True)
class SampleCalendar:
    """Records with id 0; `entered` names its event, whose id is not known before it is kept."""

    events: tuple[Event, ...] = ()
    entered: tuple[tuple[str, Entered], ...] = ()
    leagues: tuple[League, ...] = ()
    slots: tuple[Slot, ...] = ()


def read(path: Path, names: Names, moved: timedelta) -> SampleCalendar:
    """The file with every day and moment moved by the same whole weeks. Raises KnownError where it cannot be read."""
    try:
        found = json.loads(path.read_text("utf-8"))
        return SampleCalendar(
            tuple(_record(Event, row, names, moved) for row in found["events"]),
            tuple((row["event"], _record(Entered, row, names, moved)) for row in found["entered"]),
            tuple(_record(League, row, names, moved) for row in found["leagues"]),
            tuple(_record(Slot, row, names, moved) for row in found["slots"]),
        )
    except (OSError, ValueError, KeyError, TypeError, codec.CodecError) as error:
        raise KnownError(f"The calendar of the sample shop cannot be read: {error}.") from error


def _record(cls: type[Any], row: Mapping[str, Any], names: Names, moved: timedelta) -> Any:
    return shifted(codec.from_plain(cls, _ids(cls, row, names)), moved)


def _ids(cls: type[Any], row: Mapping[str, Any], names: Names) -> dict[str, Any]:
    """A row as the codec takes it."""
    held = {field.name for field in fields(cls)}
    plain = {key: value for key, value in row.items() if key in held}
    plain["id"] = 0
    if "bowler_id" in held:
        plain["bowler_id"] = None if row.get("bowler") is None else names.people[row["bowler"]]
    if "event_id" in held:
        plain["event_id"] = 0
    if "lane" in row:
        plain["lane_id"] = names.lanes[row["lane"]]
    if "lanes" in row:
        plain["lane_ids"] = [names.lanes[name] for name in row["lanes"]]
    if "balls" in row:
        plain["ball_ids"] = [names.balls[name] for name in row["balls"]]
    if "chosen" in row:
        plain["chosen"] = [
            {"ball_id": names.balls[one["ball"]], **{k: v for k, v in one.items() if k != "ball"}}
            for one in row["chosen"]
        ]  # fmt: skip
    return plain


def shifted(record: Any, moved: timedelta) -> Any:
    """The same with every date and moment in it moved; local hours stay what they were."""
    if isinstance(record, date):  # a datetime is one too
        return record + moved
    if isinstance(record, tuple):
        return tuple(shifted(one, moved) for one in record)
    if is_dataclass(record) and not isinstance(record, type):
        return replace(record, **{f.name: shifted(getattr(record, f.name), moved) for f in fields(record)})
    return record
