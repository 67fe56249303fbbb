"""Where files lie on this machine when nobody says otherwise. Light: asked before anything heavy is loaded."""

from __future__ import annotations

from pathlib import Path

from platformdirs import user_data_path


def shop_file() -> Path:
    """The user's own shop."""
    return user_data_path("padbook", appauthor=False) / "shop.padbook"


def sample_file() -> Path:
    """The sample shop: a file of its own, so that it goes in one step and never mixes with the user's."""
    return user_data_path("padbook", appauthor=False) / "sample.padbook"
