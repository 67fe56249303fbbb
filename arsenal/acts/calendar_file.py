"""The calendar file of a bowler or of the shop's bench: planned work as all-day entries that update, never double."""

from __future__ import annotations

import hashlib
import unicodedata
from collections.abc import Mapping
from datetime import timedelta
from pathlib import Path
from typing import Any

from arsenal.acts import words
from arsenal.acts.calendar_plan import plan_upkeep
from arsenal.acts.calendar_views import CalendarFile, WorkItem
from arsenal.acts.shop import Shop
from arsenal.exchange.atomic import write_file
from arsenal.exchange.icalendar import Item, Sent, as_plain, clean, of_plain, sheet

KIND = "calendar file"
ALARM = timedelta(hours=-8)
"""Eight in the morning of the day."""
LOOK_BACK = 400
LOOK_BACKS = (4, 40, LOOK_BACK)
"""How many files are read back at once: mostly the last few have it."""
FORGET = timedelta(days=400)


def calendar_file(shop: Shop, bowler_id: int | None, *, weeks: int | None = None) -> CalendarFile:
    """The file as it would be written now; nothing is kept. Raises NotFound, OutOfRange."""
    return _made(shop, bowler_id, weeks)[0]


def save_calendar_file(shop: Shop, bowler_id: int | None, path: Path, *, weeks: int | None = None) -> CalendarFile:
    """Write the file whole or not at all, then remember what was sent, so that the next one updates it. Raises
    KnownError.
    """
    made, kept = _made(shop, bowler_id, weeks)
    write_file(path, made.text)
    if not shop.ledger.read_only:
        shop.ledger.keep_result(KIND, kept)
    return made


def _made(shop: Shop, bowler_id: int | None, weeks: int | None) -> tuple[CalendarFile, dict[str, Any]]:
    plan = plan_upkeep(shop, bowler_id, weeks=weeks, keep=False)
    mark, before = _last(shop, bowler_id)
    items = [_item(item, mark, named=bowler_id is None) for item in plan.items if item.on is not None]
    title = f"Upkeep of {plan.who}" if bowler_id is not None else "Upkeep at the bench"
    written = sheet(title, items, before, shop.now())
    said = words.count(len(items), "job")
    said += f", {written.cancelled} cancelled" if written.cancelled else ""
    made = CalendarFile(file_name("upkeep", plan.who), written.text, len(items), written.cancelled, said, shop.now())
    sent = {uid: one for uid, one in written.sent.items() if one.item.on >= shop.today() - FORGET}
    return made, {"bowler_id": bowler_id, "mark": mark, "sent": as_plain(sent)}


def _last(shop: Shop, bowler_id: int | None) -> tuple[str, Mapping[str, Sent]]:
    """The mark of this file in every name it gives, and what was sent last."""
    mark = ""
    for most in LOOK_BACKS:
        for result in shop.ledger.results(KIND, most):
            if not isinstance(result.data, dict):
                continue
            mark = mark or str(result.data.get("mark", ""))
            if result.data.get("bowler_id") == bowler_id and "sent" in result.data:
                return mark, of_plain(result.data["sent"])
    return mark or new_mark(shop), {}


def new_mark(shop: Shop) -> str:
    """Different for every file, so that two shops' jobs are told apart in one calendar."""
    first = f"{shop.path.absolute()} {shop.now().isoformat()}"
    return hashlib.sha256(first.encode()).hexdigest()[:16]


def _item(item: WorkItem, mark: str, *, named: bool) -> Item:
    whose = f" ({item.owner})" if named else ""
    lines = (f"{item.minutes_words}, {item.due_words}", f"{item.why}, {item.detail}" if item.round == 0 else item.why,
             item.remark)  # fmt: skip
    uid = f"{item.key.replace(' ', '-')}@{mark}.padbook"
    assert item.on is not None  # noqa: S101 -- asked only for those that have a day
    title = f"{item.ball}{whose}: {item.work} {item.how}"
    return clean(Item(uid, item.on, title, "\n".join(line for line in lines if line), ALARM))


def file_name(what: str, who: str) -> str:
    """“upkeep-mirel-oster.ics”."""
    bare = unicodedata.normalize("NFKD", who).encode("ascii", "ignore").decode()
    words_in = "".join(sign if sign.isalnum() else " " for sign in bare.lower()).split()
    return f"{what}-{'-'.join(words_in) or 'bowler'}.ics"
