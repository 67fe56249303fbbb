"""Padbook: what is on every ball now, which is strongest on this lane, what one pad would do, what is due."""

__version__ = "0.1.0"
