"""A typed line as words: quotes keep text together, comparison and slash signs stand alone, commas part words.

A comma between two digits is a decimal sign and stays.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass

from arsenal.exchange.numbers import split_measure
from arsenal.trade.errors import NotUnderstood

_QUOTES = {'"': '"', "“": "”", "„": "”", "«": "»"}
_SINGLES = "/><=;"
_TOKEN = re.compile(r"(?:[^\s,/><=;]|(?<=\d),(?=\d))+")


@dataclass(frozen=True, slots=True)
class Token:
    """One word of a line, with its place in it."""

    text: str
    start: int
    end: int
    quoted: bool = False

    @property
    def low(self) -> str:
        """As compared; a quoted word is text and never a word of the language."""
        return "" if self.quoted else self.text.casefold()


def _quoted(line: str, start: int) -> Token:
    closing, at, text = _QUOTES[line[start]], start + 1, ""
    while True:
        end = line.find(closing, at)
        if end < 0:
            raise NotUnderstood(line[start:], f"Close the quotes with {closing}.")
        text += line[at:end]
        if line[end + 1 : end + 2] != closing:
            return Token(text, start, end + 1, quoted=True)
        text += closing  # a doubled quote is one quote
        at = end + 2


def quote(text: str) -> str:
    """`text` so that it reads back as one word."""
    return '"' + text.replace('"', '""') + '"'


def tokenize(line: str) -> list[Token]:
    """The words of `line` in order. Raises NotUnderstood for quotes that do not close."""
    found, at = [], 0
    while at < len(line):
        if line[at] in _QUOTES and (at == 0 or line[at - 1] in " \t\n\r," + _SINGLES):
            found.append(_quoted(line, at))
            at = found[-1].end
        elif line[at] in _SINGLES:
            found.append(Token(line[at], at, at + 1))
            at += 1
        elif match := _TOKEN.match(line, at):
            found.append(Token(match[0], at, match.end()))
            at = match.end()
        else:
            at += 1
    return found


class Cursor:
    """Walks the words of one line."""

    def __init__(self, line: str) -> None:
        self.line = line
        self.tokens = tokenize(line)
        self.at = 0

    @property
    def done(self) -> bool:
        """True past the last word."""
        return self.at >= len(self.tokens)

    def peek(self, ahead: int = 0) -> Token | None:
        """The word `ahead` of here, or None past the end."""
        at = self.at + ahead
        return self.tokens[at] if at < len(self.tokens) else None

    def low(self, ahead: int = 0) -> str:
        """The word `ahead` of here as compared; empty past the end and for quoted text."""
        token = self.peek(ahead)
        return token.low if token else ""

    def take(self) -> Token:
        """This word, and step on."""
        token = self.tokens[self.at]
        self.at += 1
        return token

    def accept(self, *words: str) -> bool:
        """Step over `words` if they stand here in this order."""
        if all(self.low(i) == word for i, word in enumerate(words)):
            self.at += len(words)
            return True
        return False

    def accept_any(self, words: Collection[str]) -> str | None:
        """Step over this word if it is one of `words`; returns it."""
        if self.low() in words and self.low():
            return self.take().low
        return None

    def measure(self, units: Collection[str], *, bare: bool = False) -> tuple[float, str] | None:
        """A number with one of `units`, joined or as the next word; with `bare` also a number alone. Else None."""
        token = self.peek()
        split = split_measure(token.text) if token and not token.quoted else None
        if split is None:
            return None
        value, unit = split
        if unit and unit in units:
            self.at += 1
            return value, unit
        if not unit and self.low(1) in units and self.low(1):
            unit = self.low(1)
            self.at += 2
            return value, unit
        if not unit and bare:
            self.at += 1
            return value, ""
        return None

    def rest(self) -> str:
        """Everything from here to the end as it was typed; steps past it."""
        token = self.peek()
        self.at = len(self.tokens)
        if token is None:
            return ""
        if token.quoted and token is self.tokens[-1]:
            return token.text
        return self.line[token.start :].strip()
