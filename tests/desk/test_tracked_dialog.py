"""The release from a tracked shot, and where a speed was read, asked in dialogs."""

from __future__ import annotations

import pytest
from on_worker import read

from arsenal.acts import speeds, undo
from arsenal.desk.dialogs.bowler import open_bowler
from arsenal.desk.dialogs.tracked import TrackedDialog, open_tracked
from arsenal.trade.person import ReadAt, SpeedReading
from arsenal.trade.units import MPH_MPS, RPM_RADPS


def type_shot(dialog: TrackedDialog, speed: str, launch: str, pins: str, entry: str) -> None:
    for field, text in (
        (dialog.speed, speed), (dialog.launch, launch), (dialog.entry_speed, pins), (dialog.entry, entry),
    ):  # fmt: skip
        field.edit.setText(text)
    dialog.add_shot()


def test_a_tracked_shot_is_shown_with_its_doubt_before_it_is_kept(qtbot, window, ground) -> None:
    """17.9 mph that rolls at 15.39 mph after a turn of 7.10° left the hand with 416 rpm at 45°, with no tilt."""
    person = read(qtbot, ground, lambda shop: shop.person(1))
    dialog = open_tracked(ground, window, person)
    assert not dialog.keep_button.isEnabled()
    type_shot(dialog, "17.9", "0", "15.39", "7.10")
    qtbot.waitUntil(lambda: dialog.found is not None)
    assert dialog.told.whole().startswith("1 shot: ")
    assert " ± " in dialog.told.whole()
    assert read(qtbot, ground, lambda shop: shop.person(1)) == person, "nothing is kept by showing it"
    with qtbot.waitSignal(ground.kept):
        dialog.keep()
    kept = read(qtbot, ground, lambda shop: shop.person(1))
    assert kept.style.rev_rate_radps == dialog.found.rev_rate_radps.mean
    assert kept.style.speed_mps == pytest.approx(17.9 * MPH_MPS)
    assert kept.style.zone == person.style.zone
    read(qtbot, ground, undo.undo)
    assert read(qtbot, ground, lambda shop: shop.person(1)) == person


def test_ends_that_no_release_gives_are_said_and_not_added(qtbot, window, ground) -> None:
    dialog = open_tracked(ground, window, read(qtbot, ground, lambda shop: shop.person(1)))
    type_shot(dialog, "17", "0", "18.5", "5")
    qtbot.waitUntil(lambda: bool(dialog.trouble.whole()))
    assert "gaining speed" in dialog.trouble.whole()
    assert dialog.found is None
    assert not dialog.keep_button.isEnabled()
    dialog.close()


def test_a_sliding_shot_alone_cannot_be_kept(qtbot, window, ground) -> None:
    dialog = open_tracked(ground, window, read(qtbot, ground, lambda shop: shop.person(1)))
    dialog.rolled.put(False)
    type_shot(dialog, "17", "-1", "15.5", "3")
    qtbot.waitUntil(lambda: dialog.found is not None)
    assert "at least" in dialog.told.whole()
    assert not dialog.keep_button.isEnabled()
    dialog.close()


def test_the_bowlers_form_leads_to_it(qtbot, window, ground) -> None:
    dialog = open_bowler(ground, window, read(qtbot, ground, lambda shop: shop.person(1)))
    dialog.tracked_button.click()
    assert not dialog.isVisible()
    found = [d for d in window.findChildren(TrackedDialog) if d.isVisible()]
    assert len(found) == 1
    found[0].close()


def test_a_speed_on_the_house_display_is_brought_to_the_hand_by_what_that_house_reads(qtbot, window, ground) -> None:
    person = read(qtbot, ground, lambda shop: shop.person(1))
    dialog = open_bowler(ground, window, person)
    assert not dialog.house.isVisible()
    dialog.read_at.put(ReadAt.DISPLAY)
    dialog.read_at.picked.emit(ReadAt.DISPLAY)
    dialog.house.setText("Elm")
    dialog.speed.edit.setText("16")
    dialog.below.edit.setText("1.4")
    dialog.drift.edit.setText("7")
    with qtbot.waitSignal(ground.kept):
        dialog.keep()
    kept = read(qtbot, ground, lambda shop: shop.person(1))
    assert kept.style.speed_mps == pytest.approx(17.4 * MPH_MPS)
    assert kept.speed_reading == SpeedReading(ReadAt.DISPLAY, pytest.approx(16 * MPH_MPS), "Elm")
    assert kept.stance_to_laydown_boards == 7
    assert read(qtbot, ground, lambda shop: speeds.below_hand(shop, "elm")) == pytest.approx(1.4 * MPH_MPS)
    again = open_bowler(ground, window, kept)
    assert again.person() == kept, "opened and kept again, nothing moves"
    assert again.speed.edit.text() == "16"
    again.close()
    assert kept.style.rev_rate_radps / RPM_RADPS == pytest.approx(person.style.rev_rate_radps / RPM_RADPS)
