"""What an open file holds, for whoever asks: records, entries, settings, search, and what was computed."""

from __future__ import annotations

import json
import re
import secrets
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from typing import Any

from arsenal.ledger import identity, log, now, records, search, whole
from arsenal.ledger.act import Clock
from arsenal.ledger.codec import text_of
from arsenal.ledger.errors import Damaged, NotFound
from arsenal.ledger.misspelt import Vocabulary
from arsenal.ledger.results import NowBall, NowDue, Result, result_sum
from arsenal.ledger.search import Found
from arsenal.ledger.store import Store
from arsenal.trade.ball import Ball
from arsenal.trade.code import MARK_LENGTH
from arsenal.trade.entries import Entry
from arsenal.trade.lane import Lane
from arsenal.trade.pads import Pad, Recipe
from arsenal.trade.person import Person

_CACHE_ROWS = 20_000
_CLEAR = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"
"""Signs that are not taken for one another."""


class Reader:
    """The reading half of a file; `Ledger` adds acts, undo and backups."""

    _store: Store
    _clock: Clock
    _words: Vocabulary | None = None

    @property
    def read_only(self) -> bool:
        """True where nothing can be written."""
        return self._store.read_only

    @property
    def revision(self) -> int:
        """Grows with each act, whoever wrote it."""
        return int(self._store.one("SELECT coalesce(max(id), 0) FROM acts"))

    @property
    def head_seq(self) -> int:
        """The last log entry's number, 0 for an empty log."""
        return int(self._store.one("SELECT coalesce(max(seq), 0) FROM log"))

    def ball(self, ball_id: int) -> Ball:
        """One ball. Raises NotFound."""
        return self.one(Ball, ball_id)

    def person(self, person_id: int) -> Person:
        """One person. Raises NotFound."""
        return self.one(Person, person_id)

    def lane(self, lane_id: int) -> Lane:
        """One lane condition. Raises NotFound."""
        return self.one(Lane, lane_id)

    def pad(self, pad_id: int) -> Pad:
        """One pad. Raises NotFound."""
        return self.one(Pad, pad_id)

    def balls(self, owner_id: int | None = None) -> tuple[Ball, ...]:
        """Every ball, or one person's."""
        with self._store.reading() as conn:
            return records.every(conn, Ball, owner_id)

    def people(self) -> tuple[Person, ...]:
        """Everybody."""
        with self._store.reading() as conn:
            return records.every(conn, Person)

    def lanes(self) -> tuple[Lane, ...]:
        """Every lane condition."""
        with self._store.reading() as conn:
            return records.every(conn, Lane)

    def pads(self, owner_id: int | None = None) -> tuple[Pad, ...]:
        """Every pad, or one person's (the shop's own have no owner and come only with all)."""
        with self._store.reading() as conn:
            return records.every(conn, Pad, owner_id)

    def recipes(self) -> tuple[Recipe, ...]:
        """Every recipe that was kept."""
        with self._store.reading() as conn:
            return records.every(conn, Recipe)

    def every(self, cls: type[records.R]) -> tuple[records.R, ...]:
        """Every record of one kind."""
        with self._store.reading() as conn:
            return records.every(conn, cls)

    def changed_since(self, revision: int) -> dict[type, set[int]]:
        """Ids of the records that acts after `revision` have written, by kind; what they took back is among them."""
        sql = "SELECT DISTINCT what, record_id FROM act_changes WHERE act_id > ?"
        found: dict[type, set[int]] = {}
        with self._store.reading() as conn:
            for what, record_id in conn.execute(sql, (revision,)):
                if what in records.SHELVES:
                    found.setdefault(records.SHELVES[what].cls, set()).add(int(record_id))
        return found

    def photo(self, photo_id: int) -> bytes:
        """A photograph's bytes as they were kept. Raises NotFound."""
        with self._store.reading() as conn:
            row = conn.execute("SELECT bytes FROM photo_bytes WHERE photo_id = ?", (photo_id,)).fetchone()
        if row is None:
            raise NotFound(f"There is no photograph number {photo_id}.")
        return bytes(row[0])

    @contextmanager
    def one_view(self) -> Iterator[None]:
        """Everything read inside is of one moment, whatever another process writes meanwhile. Write nothing inside."""
        with self._store.reading() as conn:
            began = not conn.in_transaction
            if began:
                conn.execute("BEGIN")
            try:
                yield
            finally:
                if began:
                    conn.rollback()

    def rows(self, what: str) -> tuple[whole.Row, ...]:
        """Every record of one kind as it is stored, removed ones too."""
        with self._store.reading() as conn:
            return tuple(whole.rows(conn, records.SHELVES[what]))

    def numbers(self) -> dict[str, int]:
        """The last number given out to each kind of record, and to acts."""
        with self._store.reading() as conn:
            return whole.numbers(conn)

    def every_result(self) -> tuple[Result, ...]:
        """Every kept result, oldest first."""
        with self._store.reading() as conn:
            return tuple(whole.results(conn))

    def results_about(self, person_id: int) -> tuple[Result, ...]:
        """Every kept result that is about a person, oldest first."""
        return tuple(one for one in self.every_result() if person_id in identity.people_in(one.data))

    def balls_of_serial(self, serial: str) -> tuple[Ball, ...]:
        """Balls with just that serial, large and small letters alike."""
        sql = "SELECT id FROM balls WHERE serial = ? COLLATE NOCASE AND NOT gone ORDER BY id"
        clean = serial.replace("\x00", "").encode("utf-8", "replace").decode()
        with self._store.reading() as conn:
            found = [records.get(conn, Ball, int(row[0])) for row in conn.execute(sql, (clean,)).fetchall()]
        return tuple(ball for ball in found if ball is not None)

    def entries(
        self, ball_id: int | Iterable[int] | None = None, since_seq: int = 0, *, act_id: int | None = None
    ) -> tuple[Entry, ...]:
        """Entries after `since_seq` in the order they were kept: of one ball, of several, of one act, or all."""
        ids = [ball_id] if isinstance(ball_id, int) else ball_id
        with self._store.reading() as conn:
            return tuple(log.entries(conn, ids, since_seq, act_id))

    def balls_with(self, kind: str) -> dict[int, int]:
        """Balls whose log holds an entry of that kind, undone ones too, and the number of each one's last entry."""
        of_kind = "ball_id IN (SELECT ball_id FROM log WHERE kind = ?)"
        sql = f"SELECT ball_id, max(seq) FROM log WHERE {of_kind} GROUP BY ball_id"  # noqa: S608
        with self._store.reading() as conn:
            return {int(ball_id): int(seq) for ball_id, seq in conn.execute(sql, (str(kind),))}

    def setting(self, key: str, default: Any = None) -> Any:
        """A setting of the file."""
        text = self._store.one("SELECT value FROM settings WHERE key = ?", (key,))
        return default if text is None else json.loads(text)

    def settings(self, prefix: str = "") -> dict[str, Any]:
        """Every setting whose name begins with `prefix`."""
        with self._store.reading() as conn:
            rows = conn.execute("SELECT key, value FROM settings ORDER BY key").fetchall()
        return {key: json.loads(value) for key, value in rows if key.startswith(prefix)}

    def search(self, text: str, limit: int = 20) -> tuple[Found, ...]:
        """Balls, people and tickets whose words begin like the typed ones, best first; any text is safe."""
        try:
            with self._store.reading() as conn:
                return search.search(conn, text, limit, self._vocabulary)
        except Damaged:
            if self.read_only:
                raise
            self.rebuild_search()
            with self._store.reading() as conn:
                return search.search(conn, text, limit, self._vocabulary)

    def _vocabulary(self) -> Vocabulary:
        """The words of the search list as they are now."""
        revision = self.revision
        with self._store.reading() as conn:
            if self._words is None:
                self._words = Vocabulary.of(conn, revision)
            elif self._words.revision != revision:
                self._words.learn(search.written_since(conn, self._words.revision), revision)
        return self._words

    def rebuild_search(self) -> None:
        """Make the search list anew from the records; nothing else is touched."""
        with self._store.joining() as conn:
            search.rebuild(conn)

    def one(self, cls: type[records.R], record_id: int) -> records.R:
        """One record of any kind. Raises NotFound."""
        with self._store.reading() as conn:
            found = records.get(conn, cls, record_id)
        if found is None:
            raise NotFound(f"There is no {records.SHELF_OF[cls].what} number {record_id}.")
        return found

    def known_by(self, person_id: int) -> re.Pattern[str] | None:
        """Every name, phone and address the file knows or knew a person by, to be looked for. Raises NotFound."""
        person = self.one(Person, person_id)
        with self._store.reading() as conn:
            return identity.known_by(conn, person)

    def owners_of(self, ball_id: int) -> tuple[int, ...]:
        """Whoever of the people in sight owns a ball, or owned it in an earlier version of its record."""
        with self._store.reading() as conn:
            return identity.owners_of(conn, ball_id)

    def cached_state(self, key: str) -> Any:
        """A state kept under `key`; None where it is not there, or no longer as it was kept."""
        with self._store.reading() as conn:
            row = conn.execute("SELECT value, sum FROM state_cache WHERE key = ?", (key,)).fetchone()
        return json.loads(row[0]) if row and records.check_sum(key, row[0]) == row[1] else None

    def keep_state(self, key: str, value: Any) -> None:
        """Keep a computed state under a key made of fold version and settings; may be dropped at any time."""
        self.keep_states({key: value})

    def keep_states(self, states: dict[str, Any]) -> None:
        """Keep several in one write; the oldest fall out beyond 20,000. Does nothing in a file that is only read."""
        if self.read_only or not states:
            return
        rows = [(key, text := text_of(value), records.check_sum(key, text)) for key, value in states.items()]
        with self._store.joining() as conn:
            conn.executemany("INSERT OR REPLACE INTO state_cache (key, value, sum) VALUES (?, ?, ?)", rows)
            conn.execute(
                "DELETE FROM state_cache WHERE rowid <= (SELECT max(rowid) FROM state_cache) - ?", (_CACHE_ROWS,)
            )

    def drop_states(self) -> None:
        """Drop every computed state; nothing is lost but time."""
        with self._store.joining() as conn:
            conn.execute("DELETE FROM state_cache")

    def mark(self, wanted: str = "") -> str:
        """What tells this file's labels from another's: made once, copied with the file, never taken back. `wanted` is
        kept where the file has none yet (a file made again from its lines keeps its labels). Empty in a file that is
        only read and has none.
        """
        kept = self._store.one("SELECT value FROM meta WHERE key = 'mark'")
        if kept is not None or self.read_only:
            return str(kept or "")
        made = wanted or "".join(secrets.choice(_CLEAR) for _ in range(MARK_LENGTH))
        with self._store.joining() as conn:
            conn.execute("INSERT INTO meta (key, value) VALUES ('mark', ?)", (made,))
        return made

    def keep_now(self, balls: Sequence[NowBall], due: Sequence[NowDue], only: Sequence[int] | None = None) -> None:
        """Write what is on each ball and what is due into plain tables, for whoever looks at the file with another
        program (views `balls_now` and `due`): in place of every line, or of those of the balls in `only`. Dropped at
        any time; the program itself never reads them.
        """
        if self.read_only:
            return
        with self._store.joining() as conn:
            now.write(conn, balls, due, only)

    def now_behind(self) -> list[tuple[int, int]]:
        """(ball, owner) whose line in those tables is missing or older than its log, the newest change first."""
        with self._store.reading() as conn:
            return now.behind(conn)

    def now_oldest(self, before: datetime, most: int) -> list[int]:
        """Owners of balls whose lines are older than a moment, the oldest first."""
        with self._store.reading() as conn:
            return now.oldest(conn, log.stamp(before)[0], most)

    def keep_result(self, kind: str, data: Any) -> int:
        """Keep an order or a card for good, with what made it inside. Returns its number."""
        text = text_of(data)
        with self._store.joining() as conn:
            number = int(conn.execute("SELECT coalesce(max(id), 0) + 1 FROM results").fetchone()[0])
            revision = conn.execute("SELECT coalesce(max(id), 0) FROM acts").fetchone()[0]
            at, _ = log.stamp(self._clock())
            conn.execute(
                "INSERT INTO results (id, kind, at, revision, data, sum) VALUES (?, ?, ?, ?, ?, ?)",
                (number, kind, at, revision, text, result_sum(number, kind, at, revision, text)),
            )
        return number

    def results(self, kind: str | None = None, limit: int = 20) -> tuple[Result, ...]:
        """Kept results, newest first, of one kind or all."""
        with self._store.reading() as conn:
            rows = conn.execute(
                "SELECT id, kind, at, revision, data FROM results WHERE :kind IS NULL OR kind = :kind "
                "ORDER BY id DESC LIMIT :most",
                {"kind": kind, "most": limit},
            ).fetchall()
        return tuple(Result(i, k, log.unstamp(at), revision, json.loads(data)) for i, k, at, revision, data in rows)
