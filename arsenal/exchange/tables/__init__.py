"""A bowler's spreadsheets in and out as CSV: bowlers, balls, lanes with film grids, pads, lines, log.

A table is known by its headers, not by its file name. `load` tells of a bad row
by file, row, field and reason; it never raises for one.
"""

from arsenal.exchange.tables.columns import headers_markdown
from arsenal.exchange.tables.dump import dump
from arsenal.exchange.tables.load import Known, Loaded, load
from arsenal.exchange.tables.numbering import Numbers, renumbered
from arsenal.exchange.tables.problems import Problem

__all__ = ["Known", "Loaded", "Numbers", "Problem", "dump", "headers_markdown", "load", "renumbered"]
