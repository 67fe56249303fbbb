"""The engine fetched before anybody waits for it."""

from __future__ import annotations

from arsenal import motion
from arsenal.trade.priors import default_priors


def warm() -> None:
    """Compile the kernels on a machine that never ran them (some seconds), load them on any other (under a second)."""
    motion.warm(default_priors())
