"""Words of the search list that have a typed one inside (a serial or a phone number is often said by its end), or are
one letter away from it: one wrong, missing, extra, or two swapped.

What was typed may be the beginning of the word, as elsewhere in the search. A mistake after the first letter leaves a
beginning that is looked up in the sorted list; one in the first letter is looked for in every word.
"""

from __future__ import annotations

import re
import sqlite3
import unicodedata
from bisect import bisect_left
from collections.abc import Iterable, Iterator

SHORTEST = 4
"""Letters a typed word has before mistakes in it are forgiven: of three, too much is one letter away."""
LEAST_INSIDE = 3
"""Signs that are looked for inside of words."""
MOST = 12
"""Words that are tried in the place of one."""
_LAST = "\U0010ffff"


def _plain_words(text: str) -> list[str]:
    """A text's words as the search list has them: no case, no accents."""
    bare = "".join(c for c in unicodedata.normalize("NFD", text.casefold()) if not unicodedata.combining(c))
    return [word for word in re.split(r"[\W_]+", bare) if word]


class Vocabulary:
    """Every word of the search list, sorted, as it stood at one revision of the file."""

    def __init__(self, words: list[str], revision: int) -> None:
        self.revision = revision
        self._words = words

    @classmethod
    def of(cls, conn: sqlite3.Connection, revision: int) -> Vocabulary:
        """Read it. A file that is only read has no place for the table it is read through; its texts are read then."""
        try:
            conn.execute("CREATE VIRTUAL TABLE IF NOT EXISTS temp.find_words USING fts5vocab (main, find, row)")
            words = [str(row[0]) for row in conn.execute("SELECT term FROM temp.find_words")]
            conn.execute("DROP TABLE temp.find_words")  # else dropping the search list would find it in use
        except sqlite3.Error:
            words = list(cls._of_texts(conn))
        return cls(sorted(words), revision)

    @staticmethod
    def _of_texts(conn: sqlite3.Connection) -> set[str]:
        try:
            texts = conn.execute("SELECT label, words FROM find")
            return {word for both in texts for text in both for word in _plain_words(text)}
        except sqlite3.Error:  # a damaged list forgives nothing
            return set()

    def learn(self, texts: Iterable[str], revision: int) -> None:
        """Words of records that were written since; those of records that are gone may stay, and find nothing."""
        for text in texts:
            for word in _plain_words(text):
                at = bisect_left(self._words, word)
                if self._words[at : at + 1] != [word]:
                    self._words.insert(at, word)
        self.revision = revision

    def near(self, word: str) -> tuple[str, ...]:
        """Words that begin with `word`, have it inside, or begin with something one letter away from it; at most
        twelve, as typed first.
        """
        typed = "".join(_plain_words(word))
        if len(typed) < LEAST_INSIDE:
            return ()
        found = dict.fromkeys(self._beginning(typed) or self._inside(typed))
        for other in self._one_away(typed) if len(typed) >= SHORTEST else ():
            if len(found) >= MOST:
                break
            found[other] = None
        return tuple(found)

    def _beginning(self, start: str, most: int = MOST) -> list[str]:
        first = bisect_left(self._words, start)
        last = bisect_left(self._words, start + _LAST, first)
        return self._words[first : min(last, first + most)]

    def _inside(self, typed: str) -> list[str]:
        """Words with `typed` in them, those that end with it first: a serial or a number is said by its end."""
        held = [word for word in self._words if typed in word]
        held.sort(key=lambda word: not word.endswith(typed))
        return held[:MOST]

    def _one_away(self, typed: str) -> Iterator[str]:
        for at in range(len(typed)):
            yield from self._beginning(typed[:at] + typed[at + 1 :])  # one too many
            swapped = typed[:at] + typed[at + 1 : at + 2] + typed[at] + typed[at + 2 :]
            yield from self._beginning(swapped)
        for at in range(1, len(typed)):
            yield from self._after(typed[:at], (typed[at + 1 :], typed[at:]))  # one wrong, one missing
        for word in self._words:
            if word.startswith((typed[1:], typed), 1):
                yield word

    def _after(self, start: str, tails: tuple[str, ...]) -> Iterator[str]:
        """Words that begin with `start`, then any letter, then one of `tails`."""
        skip = len(start) + 1
        for word in self._beginning(start, len(self._words)):
            if word.startswith(tails, skip):
                yield word
