"""Handing a file over between machines: the copy that goes, the file that stays behind, and which of two follows which.

Both carry the same note in `meta` until the copy is taken over: neither is written in meanwhile. Two files are told
apart by their acts and by the chain of the log: one follows another that holds its last act and its last entry.
"""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from dataclasses import asdict, dataclass, replace
from datetime import datetime
from enum import StrEnum
from pathlib import Path

from arsenal.ledger import backup, erase, files, log
from arsenal.ledger.errors import Damaged, KnownError, Refused, explained
from arsenal.ledger.store import connect
from arsenal.ledger.verify import verify_file

_KEY, _CHARGE = "handing", "in charge"


class Role(StrEnum):
    """Which of the two a file is."""

    AWAY = "away"
    """Was handed over: what stays behind."""
    COPY = "copy"
    """Was made to be taken over elsewhere."""


@dataclass(frozen=True, slots=True)
class Handing:
    """One handing over, as noted in both files."""

    id: str
    role: Role
    at: str
    """Moment as ISO 8601 with its offset."""
    who: str
    machine: str
    onto: str
    """The copy's place as it was on that machine."""
    revision: int
    entry: int
    hash: str
    """The last act's number, the last entry's number and its hash: where the file stood."""
    taken: str = ""
    """By whom and when the copy was taken over."""

    @property
    def when(self) -> str:
        """“2026-11-25 18:05”."""
        return datetime.fromisoformat(self.at).strftime("%Y-%m-%d %H:%M")

    @property
    def by(self) -> str:
        """“by Mirel on front-desk”."""
        return f"by {self.who} on {self.machine}" if self.who else f"on {self.machine}"


class Relation(StrEnum):
    """What a copy is to the file that is here."""

    NONE_HERE = "no file here"
    SAME = "the same"
    FOLLOWS = "goes on from what is here"
    OLDER = "is older than what is here"
    FORKED = "went another way"
    OTHER = "is another shop"


@dataclass(frozen=True, slots=True)
class Looked:
    """A copy beside the file it would take the place of."""

    handing: Handing | None
    relation: Relation
    revision: int
    """Acts in the copy."""
    here: int = 0
    """Acts in the file that is here."""


@dataclass(frozen=True, slots=True)
class TakenOver:
    """What taking over came to."""

    path: Path
    kept: Path | None
    """Where what was here before is kept."""
    looked: Looked
    marked: bool
    """False where the copy could not be noted as taken over, so that a second machine would not notice."""


class HandedOver(Refused):
    """A file that is not written in because it was handed over, or is on its way."""

    def __init__(self, path: Path, handing: Handing) -> None:
        if handing.role is Role.AWAY:
            said, step = f"was handed over on {handing.when} {handing.by}: the copy is {handing.onto}", (
                "Go on where it was taken over, or take it back here."
            )  # fmt: skip
        else:
            said = f"is a copy made on {handing.when} {handing.by}, to be taken over"
            step = "Take it over first."
        super().__init__(path, said, step)
        self.handing = handing


def noted(conn: sqlite3.Connection) -> Handing | None:
    """What a file notes of its handing over; None where it is in charge."""
    row = conn.execute("SELECT value FROM meta WHERE key = ?", (_KEY,)).fetchone()
    if row is None:
        return None
    told = json.loads(row[0])
    return Handing(**{**told, "role": Role(told["role"])})


def note(conn: sqlite3.Connection, handing: Handing | None, charge: str = "") -> None:
    """Note it, or that the file is in charge; `charge` says since when and by whom."""
    if handing is None:
        conn.execute("DELETE FROM meta WHERE key = ?", (_KEY,))
    else:
        _write(conn, _KEY, json.dumps(asdict(handing), ensure_ascii=False, sort_keys=True))
    if charge:
        _write(conn, _CHARGE, charge)


def _write(conn: sqlite3.Connection, key: str, value: str) -> None:
    conn.execute(
        "INSERT INTO meta (key, value) VALUES (?, ?) ON CONFLICT (key) DO UPDATE SET value = excluded.value",
        (key, value),
    )


def note_in(path: Path, handing: Handing | None, charge: str = "") -> None:
    """The same in a closed file nobody else has open."""
    with explained(path), closing(sqlite3.connect(path, isolation_level=None)) as conn:
        conn.execute("PRAGMA secure_delete = ON").close()
        conn.execute("BEGIN IMMEDIATE")
        note(conn, handing, charge)
        conn.execute("COMMIT")


@dataclass(frozen=True, slots=True)
class _Place:
    revision: int
    acted: tuple[str, str]
    """The last act's moment and title."""
    began: tuple[str, str]
    """The first act's."""
    seq: int
    hash: bytes
    mark: str


def _place(conn: sqlite3.Connection) -> _Place:
    act = conn.execute("SELECT id, at, title FROM acts ORDER BY id DESC LIMIT 1").fetchone() or (0, "", "")
    began = conn.execute("SELECT at, title FROM acts ORDER BY id LIMIT 1").fetchone() or ("", "")
    mark = conn.execute("SELECT value FROM meta WHERE key = 'mark'").fetchone()
    end = log.head(conn)
    return _Place(
        int(act[0]), (str(act[1]), str(act[2])), tuple(began), end.seq, end.hash, str(mark[0]) if mark else ""
    )


def _holds(conn: sqlite3.Connection, place: _Place) -> bool:
    """Whether a file holds what another ended with."""
    act = conn.execute("SELECT at, title FROM acts WHERE id = ?", (place.revision,)).fetchone()
    entry = conn.execute("SELECT hash FROM log WHERE seq = ?", (place.seq,)).fetchone()
    same_act = place.revision == 0 or (act is not None and _same_act(tuple(act), place.acted))
    return same_act and (place.seq == 0 or (entry is not None and bytes(entry[0]) == place.hash))


def _same_act(one: tuple[str, str], other: tuple[str, str]) -> bool:
    """By moment and title; where a person was erased since, the title may have lost a name."""
    return one[0] == other[0] and (one[1] == other[1] or any(erase.INSTEAD in title for title in (one[1], other[1])))


def look(copy: Path, onto: Path) -> Looked:
    """What a copy is to the file at `onto`. Raises Refused for a copy that is none of ours."""
    files.check_header(copy)
    with explained(copy), closing(connect(copy, read_only=True).conn) as theirs:
        handing, there = noted(theirs), _place(theirs)
        if not onto.exists():
            return Looked(handing, Relation.NONE_HERE, there.revision)
        with explained(onto), closing(connect(onto, read_only=True).conn) as ours:
            here = _place(ours)
            return Looked(handing, _relation(theirs, there, ours, here), there.revision, here.revision)


def _relation(theirs: sqlite3.Connection, there: _Place, ours: sqlite3.Connection, here: _Place) -> Relation:
    follows, older = _holds(theirs, here), _holds(ours, there)
    if follows and older:
        return Relation.SAME
    if here.mark and there.mark and here.mark != there.mark and here.revision:
        return Relation.OTHER
    if follows or older:
        return Relation.FOLLOWS if follows else Relation.OLDER
    one_mark, one_beginning = here.mark == there.mark != "", _same_act(here.began, there.began)
    return Relation.FORKED if one_mark or one_beginning else Relation.OTHER


def make_copy(source: Path, made: Path, now: sqlite3.Connection, told: Handing) -> Handing:
    """A copy of `source` as it is, noted as one to be taken over and gone over. `now` holds the right to write, so that
    nothing is added meanwhile. Returns the note for the file that stays.
    """
    place = _place(now)
    handing = replace(told, revision=place.revision, entry=place.seq, hash=place.hash.hex())
    with closing(connect(source, read_only=True).conn) as reader:
        backup.copy(reader, made)
    note_in(made, replace(handing, role=Role.COPY))
    checked = verify_file(made)
    if not checked.ok:
        raise Damaged(source, f"did not copy whole: {checked.problems[0]}")
    files.check_whole(made)
    return handing


def may_take_over(copy: Path, looked: Looked, *, anyway: bool = False) -> None:
    """Raises KnownError with what is against it; with `anyway` only for what can never be."""
    handing = looked.handing
    if handing is None:
        raise KnownError(
            f"{copy.name} was not handed over: the machine it comes from still writes in it.",
            next_step="Hand it over there first; a plain backup is put back with “Backups”.",
        )
    if handing.role is Role.AWAY:
        raise KnownError(f"{copy.name} is the file that stayed behind, not the copy.",
                         next_step=f"Take over the copy: {handing.onto}.")  # fmt: skip
    if looked.relation is Relation.OTHER:
        raise KnownError(f"{copy.name} is another shop than the one here.", next_step="Give it a file of its own.")
    if anyway:
        return
    if handing.taken:
        raise KnownError(f"{copy.name} was taken over already, {handing.taken}.", next_step=_ANYWAY)
    if looked.relation is Relation.OLDER:
        many = looked.here - looked.revision
        missing = "1 change here is" if many == 1 else f"{many} changes here are"
        raise KnownError(f"{copy.name} is older than what is here: {missing} not in it.",
                         next_step=f"Look for a newer copy. {_ANYWAY}")  # fmt: skip
    if looked.relation is Relation.FORKED:
        raise KnownError(
            f"{copy.name} does not hold all that is here: changes were made here after it was handed over, and others "
            "there.", next_step=f"Decide which of the two to go on with. {_ANYWAY}",
        )  # fmt: skip


_ANYWAY = "It can be taken over all the same; the file that is here is then kept beside it."


def refuse_over_handed(onto: Path) -> None:
    """Raises HandedOver where what would be replaced was handed over and not taken back."""
    if not onto.exists():
        return
    try:
        with closing(connect(onto, read_only=True).conn) as conn:
            handing = noted(conn)
    except (sqlite3.Error, ValueError, TypeError, KeyError):  # damaged: that is what backups are for
        return
    if handing is not None and handing.role is Role.AWAY:
        raise HandedOver(onto, handing)


def mark_taken(copy: Path, handing: Handing, charge: str) -> bool:
    """Note in the copy that it was taken over; False where it cannot be written in."""
    try:
        note_in(copy, replace(handing, taken=charge))
    except (KnownError, OSError, sqlite3.Error):
        return False
    return True


__all__ = [
    "HandedOver", "Handing", "Looked", "Relation", "Role", "TakenOver", "look", "make_copy", "mark_taken",
    "may_take_over", "note", "note_in", "noted", "refuse_over_handed",
]  # fmt: skip
