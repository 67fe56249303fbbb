"""The trade's own words as frozen records; unit constants; rules as data. Imports nothing of ours."""

from arsenal.trade.ball import Ball, Body, Cover
from arsenal.trade.errors import KnownError, NotFound, NotUnderstood, OutOfRange
from arsenal.trade.lane import Film, FilmGrid, FilmSummary, Lane, LaneSurface, UnknownHouse
from arsenal.trade.person import Hand, Person
from arsenal.trade.release import Line, Release, Scatter, Style, Zone

__all__ = [
    "Ball", "Body", "Cover", "Film", "FilmGrid", "FilmSummary", "Hand", "KnownError", "Lane", "LaneSurface", "Line",
    "NotFound", "NotUnderstood", "OutOfRange", "Person", "Release", "Scatter", "Style", "UnknownHouse", "Zone",
]  # fmt: skip
