"""Asking an open shop something from a test."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from arsenal.acts.shop import Shop
from arsenal.desk.rooms import Shared


def read(qtbot: Any, shared: Shared, what: Callable[[Shop], Any]) -> Any:
    """What `what` gives on the worker."""
    found: list[Any] = []
    shared.worker.act(what, found.append)
    qtbot.waitUntil(lambda: bool(found))
    return found[0]
