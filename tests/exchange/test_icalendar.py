"""Calendar files against RFC 5545 itself and through a reader of other hands (vobject)."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest
import vobject
from hypothesis import example, given, settings
from hypothesis import strategies as st

from arsenal.exchange.icalendar import Item, Sent, as_plain, clean, of_plain, sheet

NOW = datetime(2026, 11, 24, 18, 42, tzinfo=timezone(timedelta(hours=1)))
EIGHT = timedelta(hours=-8)
ROOK = Item("7-refresh-4@a1b2.padbook", date(2026, 11, 28), "Rook Hollow: refresh 1000 h", "3 min, due now", EIGHT)


def read(text: bytes) -> list[vobject.base.Component]:
    return list(vobject.readOne(text.decode()).vevent_list)


def unfolded(text: bytes) -> list[str]:
    """Content lines by RFC 5545, section 3.1: a CRLF followed by a space or tab is taken out, in octets."""
    return re.sub(rb"\r\n[ \t]", b"", text).decode().split("\r\n")


def test_a_whole_file_has_what_the_standard_asks_for() -> None:
    """RFC 5545, 3.6: PRODID and VERSION; 3.6.1: UID, DTSTAMP; 3.6.6: a DISPLAY alarm has DESCRIPTION and TRIGGER."""
    lines = unfolded(sheet("Upkeep of Mirel", [ROOK], {}, NOW).text)
    assert lines[0] == "BEGIN:VCALENDAR"
    assert lines[-2:] == ["END:VCALENDAR", ""]
    assert "VERSION:2.0" in lines
    assert any(line.startswith("PRODID:") for line in lines)
    alarm = lines[lines.index("BEGIN:VALARM") : lines.index("END:VALARM")]
    assert {"ACTION:DISPLAY", "TRIGGER:PT8H", "DESCRIPTION:Rook Hollow: refresh 1000 h"} <= set(alarm)
    event = lines[lines.index("BEGIN:VEVENT") :]
    assert {"UID:7-refresh-4@a1b2.padbook", "DTSTAMP:20261124T174200Z", "DTSTART;VALUE=DATE:20261128",
            "DTEND;VALUE=DATE:20261129", "SEQUENCE:0", "STATUS:CONFIRMED"} <= set(event)  # fmt: skip


@pytest.mark.parametrize("on", [
    date(2028, 2, 29), date(2028, 2, 28), date(2026, 12, 31),
    date(2026, 10, 25), date(2026, 3, 29),  # the clocks change in Europe
    date(2026, 11, 1), date(2027, 3, 14),  # and in North America
])  # fmt: skip
def test_an_all_day_entry_ends_the_day_after_whatever_the_clocks_do(on: date) -> None:
    (event,) = read(sheet("Upkeep", [Item("a@b", on, "Clean")], {}, NOW).text)
    assert event.dtstart.value == on
    assert event.dtend.value == on + timedelta(days=1)
    assert type(event.dtstart.value) is date


@pytest.mark.parametrize("zone", ["Europe/Berlin", "America/New_York", "Australia/Lord_Howe", "Asia/Kathmandu"])
@pytest.mark.parametrize("fold", [0, 1])
def test_the_moment_of_writing_is_told_in_universal_time(zone: str, fold: int) -> None:
    """RFC 5545, 3.8.7.2. 2:30 on the last Sunday of October comes twice in Berlin."""
    at = datetime(2026, 10, 25, 2, 30, tzinfo=ZoneInfo(zone), fold=fold)
    (event,) = read(sheet("Upkeep", [ROOK], {}, at).text)
    assert event.dtstamp.value.astimezone(UTC) == at.astimezone(UTC)


def test_long_lines_fold_at_75_octets_and_never_inside_a_letter() -> None:
    """RFC 5545, 3.1: lines of octets should not be longer than 75, line break left out."""
    for shift in range(5):
        title = "x" * shift + "Grünspan – Åse 6 µm ≤ ½ 漢字 🎳 " * 8
        text = sheet("Pflege für Jörg", [Item("a@b", NOW.date(), title, title, EIGHT)], {}, NOW).text
        for line in text.split(b"\r\n"):
            assert len(line) <= 75
            line.decode("utf-8")
        assert read(text)[0].summary.value == title.strip() or read(text)[0].summary.value == title


HOSTILE = "a;b,c\\d\\n\ne:f\"g'<b>&amp;\tEND:VEVENT\r\nBEGIN:VALARM"


@settings(max_examples=200, deadline=None)
@example(HOSTILE, HOSTILE)
@example("", "")
@example(" leading and trailing ", "\n\n")
@given(st.text(max_size=200), st.text(max_size=400))
def test_any_text_comes_back_through_another_reader(title: str, text: str) -> None:
    item = clean(Item("a@b", date(2028, 2, 29), title, text, EIGHT))
    written = sheet("Upkeep", [item], {}, NOW).text
    assert b"\n" not in written.replace(b"\r\n", b"")
    assert max(len(line) for line in written.split(b"\r\n")) <= 75
    (event,) = read(written)
    assert event.summary.value == item.title
    assert (event.description.value if item.text else "") == item.text
    assert event.valarm.trigger.value == timedelta(hours=8)


def test_control_signs_are_taken_out_and_a_title_is_one_line() -> None:
    item = clean(Item("a@b", NOW.date(), "two\r\nlines\x00\x07", "kept\nline\u2028"))
    assert (item.title, item.text) == ("two lines", "kept\nline")


def numbers(text: bytes) -> dict[str, tuple[int, str]]:
    return {e.uid.value: (int(e.sequence.value), e.status.value) for e in read(text)}


def test_an_entry_sent_again_unchanged_keeps_its_number_and_a_changed_one_counts_up() -> None:
    """RFC 5545, 3.8.7.4: SEQUENCE rises with each significant revision."""
    first = sheet("Upkeep", [ROOK], {}, NOW)
    again = sheet("Upkeep", [ROOK], first.sent, NOW)
    assert numbers(first.text) == numbers(again.text) == {ROOK.uid: (0, "CONFIRMED")}
    moved = Item(ROOK.uid, date(2026, 12, 1), ROOK.title, ROOK.text, EIGHT)
    later = sheet("Upkeep", [moved], again.sent, NOW)
    assert numbers(later.text) == {ROOK.uid: (1, "CONFIRMED")}
    assert read(later.text)[0].dtstart.value == date(2026, 12, 1)


def test_an_entry_that_is_gone_is_cancelled_once_and_counts_on_if_it_comes_back() -> None:
    first = sheet("Upkeep", [ROOK], {}, NOW)
    gone = sheet("Upkeep", [], first.sent, NOW)
    assert (numbers(gone.text), gone.cancelled) == ({ROOK.uid: (1, "CANCELLED")}, 1)
    assert not hasattr(read(gone.text)[0], "valarm")
    after = sheet("Upkeep", [], gone.sent, NOW)
    assert (b"VEVENT" in after.text, after.cancelled) == (False, 0)
    back = sheet("Upkeep", [ROOK], after.sent, NOW)
    assert numbers(back.text) == {ROOK.uid: (2, "CONFIRMED")}


def test_what_lies_in_the_past_is_left_as_the_calendar_has_it() -> None:
    first = sheet("Upkeep", [ROOK], {}, NOW)
    after = sheet("Upkeep", [], first.sent, NOW + timedelta(days=10))
    assert (b"VEVENT" in after.text, after.cancelled) == (False, 0)


def test_what_was_sent_is_read_back_as_it_was_kept_and_what_is_broken_counts_as_never_sent() -> None:
    sent = {ROOK.uid: Sent(3, ROOK), "b@b": Sent(0, Item("b@b", date(2028, 2, 29), "é"), cancelled=True)}
    assert of_plain(as_plain(sent)) == sent
    assert of_plain({"a": [1, "no day"], "b": None, **as_plain(sent)}) == sent
    assert of_plain(None) == {}


def test_two_entries_of_one_name_are_refused() -> None:
    with pytest.raises(ValueError, match="one uid"):
        sheet("Upkeep", [ROOK, ROOK], {}, NOW)
