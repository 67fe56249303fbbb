"""What tells who a person is, as patterns: every name, phone and address the file has known them by, however the name
is turned or the number is spaced; and which records are theirs, or were once.
"""

from __future__ import annotations

import re
import sqlite3
import unicodedata
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from arsenal.ledger.records import SHELVES, of_text
from arsenal.trade.person import Person, apart

SHORTEST = 3
"""Letters a part of a name has at least before it is looked for in what was typed."""
FEWEST, TELLING = 5, 7
"""Digits a number has at least before it is looked for; and how many at its end tell it whatever stands before."""
ABOUT: Mapping[str, str] = {
    "ticket": "person_id", "fit sheet": "person_id", "league": "bowler_id", "entered": "bowler_id",
    "slot": "bowler_id", "ball": "owner_id", "pad": "owner_id", "recipe": "owner_id",
}  # fmt: skip
"""The field of a record that says whose it is."""
_APART = r"[\s()/.\-–]*"
"""What people put between the digits of a number."""


@dataclass(frozen=True, slots=True)
class Names:
    """What identifies a person. `own` is looked for in what is theirs or was, `everywhere` in every row but those of
    somebody else of the same name.
    """

    person_id: int
    everywhere: re.Pattern[str] | None
    own: re.Pattern[str] | None
    theirs: Mapping[str, frozenset[int]]
    """Kind of record to the numbers of those that are theirs, or were in any earlier version."""
    namesakes: frozenset[int]

    def has(self, what: str, record_id: int) -> bool:
        """Whether a record is or was theirs."""
        return record_id in self.theirs.get(what, ())


def names_of(conn: sqlite3.Connection, person: Person) -> Names:
    """Out of the record, every earlier version of it, and what they have or had."""
    known = [person, *_earlier(conn, person.id)]
    others = [of_text(Person, int(i), text) for i, text in _people(conn) if int(i) != person.id]
    bare = {_bare(one.name) for one in known}
    namesakes = frozenset(other.id for other in others if _bare(other.name) in bare)
    taken = {_bare(other.name) for other in others if other.id not in namesakes}
    reach = {said.casefold() for other in others for said in (other.phone, other.email) if said}
    names, contacts = _told(known, taken)
    told = [*map(_turned, names), *map(_number_or_address, (c for c in contacts if c.casefold() not in reach))]
    own = [*told, *map(_number_or_address, contacts), *_parts(known)]
    return Names(person.id, _pattern(told), _pattern(own), _theirs(conn, person.id), namesakes)


def known_by(conn: sqlite3.Connection, person: Person) -> re.Pattern[str] | None:
    """What is looked for in what is theirs: whole names and their parts, phones and addresses, earlier ones too."""
    known = [person, *_earlier(conn, person.id)]
    names, contacts = _told(known, set())
    return _pattern([*map(_turned, names), *map(_number_or_address, contacts), *_parts(known)])


def _told(known: Sequence[Person], taken: Collection[str]) -> tuple[list[str], list[str]]:
    """(whole names of two words and more, phones and addresses), a guardian's too where nobody else is called so."""
    names = [one.name for one in known if len(_words(one.name)) > 1]
    contacts = [said for one in known for said in (one.phone, one.email)]
    for one in known:
        called, contact = apart(one.guardian)
        names += [called] if len(_words(called)) > 1 and _bare(called) not in taken else []
        contacts.append(contact)
    return names, contacts


def _parts(known: Sequence[Person]) -> list[str]:
    parts = [word for one in known for word in _words(one.name) if len(word) >= SHORTEST]
    called_so = [one.nickname for one in known if len(one.nickname) > 1]
    return [_word(said) for said in (*(one.name for one in known), *parts, *called_so)]


def owners_of(conn: sqlite3.Connection, ball_id: int) -> tuple[int, ...]:
    """People in sight who own a ball, or owned it in an earlier version of its record."""
    versions = """SELECT json_extract(data, '$.owner_id') FROM balls WHERE id = :ball
    UNION SELECT json_extract(before, '$.owner_id') FROM act_changes WHERE what = 'ball' AND record_id = :ball
    UNION SELECT json_extract(after, '$.owner_id') FROM act_changes WHERE what = 'ball' AND record_id = :ball"""
    sql = f"SELECT id FROM people WHERE NOT gone AND id IN ({versions}) ORDER BY id"  # noqa: S608 - own words only
    return tuple(int(row[0]) for row in conn.execute(sql, {"ball": ball_id}))


def _people(conn: sqlite3.Connection) -> Iterator[tuple[int, str]]:
    yield from conn.execute("SELECT id, data FROM people")


def _earlier(conn: sqlite3.Connection, person_id: int) -> list[Person]:
    sql = "SELECT before, after FROM act_changes WHERE what = 'person' AND record_id = ?"
    texts = {text for row in conn.execute(sql, (person_id,)) for text in row if text is not None}
    return [of_text(Person, person_id, text) for text in sorted(texts)]


def _theirs(conn: sqlite3.Connection, person_id: int) -> dict[str, frozenset[int]]:
    found = {what: frozenset(_ever(conn, what, field, person_id)) for what, field in ABOUT.items()}
    for what, by in (("drill record", ("ball",)), ("photo", ("ball", "ticket"))):
        found[what] = frozenset(
            record for kind in by for thing in found[kind] for record in _ever(conn, what, f"{kind}_id", thing)
        )
    return found


def _ever(conn: sqlite3.Connection, what: str, field: str, value: int) -> Iterator[int]:
    """Numbers of records whose `field` is `value` now, or was in any version."""
    table, path = SHELVES[what].table, f"$.{field}"
    now = f"SELECT id FROM {table} WHERE json_extract(data, ?) = ?"  # noqa: S608 - own words only
    yield from (int(row[0]) for row in conn.execute(now, (path, value)))
    before = (
        "SELECT record_id FROM act_changes WHERE what = ? AND ? IN (json_extract(before, ?), json_extract(after, ?))"
    )
    yield from (int(row[0]) for row in conn.execute(before, (what, value, path, path)))


def _words(name: str) -> list[str]:
    """Words of a name; a number that tells two of one name apart is none."""
    return [word for word in re.split(r"[\s,]+", _nfc(name)) if any(sign.isalpha() for sign in word)]


def _bare(name: str) -> str:
    return " ".join(_words(name)).casefold()


def _nfc(text: str) -> str:
    return unicodedata.normalize("NFC", text.strip())


def _turned(name: str) -> str:
    """The whole name, its last word first, and first and last word alone, with any blanks and commas between."""
    words = [re.escape(word) for word in _words(name)]
    orders = [words, [words[-1], *words[:-1]], [words[0], words[-1]], [words[-1], words[0]]]
    return "|".join(dict.fromkeys(_word(r"[\s,]+".join(order), plain=False) for order in orders))


def _number_or_address(said: str) -> str:
    """A phone number however it is spaced and whatever country code it has; an address as it is."""
    digits = [sign for sign in said if sign.isdecimal()]
    if "@" in said or any(sign.isalpha() for sign in said) or len(digits) < FEWEST:
        return _word(said) if len(said.strip()) >= FEWEST else ""
    end = _APART.join(digits[-TELLING:])
    before = rf"(?:\+?\(?(?:\d{_APART}){{0,8}})" if len(digits) >= TELLING else ""
    return rf"(?<![\w+]){before}{end}(?!\d)"


def _word(said: str, *, plain: bool = True) -> str:
    """One word or several as they stand, also with an s of possession."""
    text = re.escape(_nfc(said)) if plain else said
    return rf"(?<!\w){text}(?:['’]?s)?(?!\w)" if text else ""


def _pattern(told: Iterable[str]) -> re.Pattern[str] | None:
    found = sorted({one for one in told if one}, key=len, reverse=True)
    return re.compile("|".join(found), re.IGNORECASE) if found else None


def people_in(plain: Any) -> Iterator[int]:
    """Numbers of the people something kept is about."""
    if isinstance(plain, dict):
        yield from (plain[key] for key in ("person_id", "bowler_id", "owner_id") if isinstance(plain.get(key), int))
        if "guardian" in plain and isinstance(plain.get("id"), int):
            yield plain["id"]
    for value in plain.values() if isinstance(plain, dict) else plain if isinstance(plain, list) else ():
        yield from people_in(value)
