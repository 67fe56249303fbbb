"""Settings of the machine: kept whole, never in the way when they are broken."""

from __future__ import annotations

from pathlib import Path

import pytest

from arsenal.acts.settings import Settings
from arsenal.trade.errors import KnownError


def test_what_is_saved_is_read_again(tmp_path: Path) -> None:
    path = tmp_path / "deep" / "settings.json"
    settings = Settings(path=path, look="dark", text_size=1.25, last_bowler_id=3, kept={"splitter": [1, 2]})
    settings.save()
    assert Settings.load(path) == settings
    assert [p.name for p in path.parent.iterdir()] == ["settings.json"]


@pytest.mark.parametrize(
    "text",
    ["", "{", "[]", "null", "\x00\x01", '{"look": "pink", "text_size": 99, "units": 7, "last_bowler_id": true}'],
)
def test_broken_settings_fall_to_their_defaults(tmp_path: Path, text: str) -> None:
    path = tmp_path / "settings.json"
    path.write_text(text)
    settings = Settings.load(path)
    assert settings.look == "light"
    assert settings.units == "imperial"
    assert 0.8 <= settings.text_size <= 2.0
    assert settings.last_bowler_id is None


def test_a_folder_that_cannot_be_written_is_said_in_a_sentence(tmp_path: Path) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("in the way")
    with pytest.raises(KnownError, match="could not be written"):
        Settings(path=blocked / "settings.json").save()
