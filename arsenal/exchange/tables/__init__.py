"""A bowler's spreadsheets in and out as CSV or workbooks: bowlers, balls, lanes with film grids, pads, lines, log.

A table is known by its headers, not by its file name; foreign headers are mapped by hand once. `load` tells of a bad
row by file, row, field and reason, and asks about rows that may mean somebody who is there already; it never raises for
one.
"""

from arsenal.exchange.tables.columns import headers_markdown, needed_markdown
from arsenal.exchange.tables.dump import dump
from arsenal.exchange.tables.likeness import Answer, Answers, Candidate, Question, Rest
from arsenal.exchange.tables.load import Loaded, load
from arsenal.exchange.tables.numbering import Numbers, renumbered
from arsenal.exchange.tables.problems import Problem
from arsenal.exchange.tables.reading import Given, Known
from arsenal.exchange.tables.renaming import Renaming

__all__ = [
    "Answer", "Answers", "Candidate", "Given", "Known", "Loaded", "Numbers", "Problem", "Question", "Renaming", "Rest",
    "dump", "headers_markdown", "load", "needed_markdown", "renumbered",
]  # fmt: skip
