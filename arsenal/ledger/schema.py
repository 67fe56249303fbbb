"""The tables, their guards, and the steps from one version of them to the next.

A record's own text is JSON in `data`; the columns beside it repeat what indexes, references and views need (JSON
functions may not stand in a schema that is not trusted). A step is a list of single statements (never `executescript`,
which commits first). The last step's number is the file's `user_version`.
"""

from __future__ import annotations

from functools import cache

from sqlite_utils import Database

APPLICATION_ID = 0x50414442
"""“PADB” in the header of every file of ours."""

_RECORD = "data TEXT NOT NULL, sum INTEGER NOT NULL, gone INTEGER NOT NULL DEFAULT 0"


FIND = """CREATE VIRTUAL TABLE find USING fts5 (label, words, tokenize = "unicode61 remove_diacritics 2",
prefix = '1 2 3')"""
_TABLES = (
    "CREATE TABLE meta (key TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT, WITHOUT ROWID",
    """CREATE TABLE acts (id INTEGER PRIMARY KEY AUTOINCREMENT, at TEXT NOT NULL, offset_min INTEGER NOT NULL,
    title TEXT NOT NULL, initiator TEXT NOT NULL, undoes INTEGER REFERENCES acts (id),
    undone_by INTEGER REFERENCES acts (id), sum INTEGER NOT NULL) STRICT""",
    """CREATE TABLE act_changes (id INTEGER PRIMARY KEY, act_id INTEGER NOT NULL REFERENCES acts (id),
    what TEXT NOT NULL, record_id INTEGER NOT NULL, key TEXT NOT NULL DEFAULT '', before TEXT, after TEXT,
    sum INTEGER NOT NULL) STRICT""",
    "CREATE INDEX act_changes_act ON act_changes (act_id)",
    "CREATE INDEX act_changes_record ON act_changes (what, record_id, id)",
    f"""CREATE TABLE people (id INTEGER PRIMARY KEY AUTOINCREMENT, {_RECORD}, name TEXT NOT NULL,
    nickname TEXT NOT NULL) STRICT""",
    f"""CREATE TABLE balls (id INTEGER PRIMARY KEY AUTOINCREMENT, {_RECORD}, name TEXT NOT NULL,
    nickname TEXT NOT NULL, serial TEXT NOT NULL, cover TEXT NOT NULL,
    owner_id INTEGER NOT NULL REFERENCES people (id)) STRICT""",
    "CREATE INDEX balls_owner ON balls (owner_id)",
    "CREATE INDEX balls_nickname ON balls (nickname COLLATE NOCASE)",
    f"""CREATE TABLE lanes (id INTEGER PRIMARY KEY AUTOINCREMENT, {_RECORD}, name TEXT NOT NULL,
    house TEXT NOT NULL) STRICT""",
    f"""CREATE TABLE pads (id INTEGER PRIMARY KEY AUTOINCREMENT, {_RECORD}, number REAL, kind TEXT NOT NULL,
    owner_id INTEGER REFERENCES people (id)) STRICT""",
    """CREATE TABLE settings (key TEXT PRIMARY KEY, value TEXT NOT NULL,
    sum INTEGER NOT NULL) STRICT""",
    """CREATE TABLE log (seq INTEGER PRIMARY KEY, ball_id INTEGER NOT NULL REFERENCES balls (id), kind TEXT NOT NULL,
    version INTEGER NOT NULL, day TEXT NOT NULL, payload TEXT NOT NULL,
    typed TEXT NOT NULL, undoes INTEGER REFERENCES log (seq), act_id INTEGER NOT NULL REFERENCES acts (id),
    at TEXT NOT NULL, offset_min INTEGER NOT NULL, late INTEGER NOT NULL, salt BLOB NOT NULL, body_hash BLOB NOT NULL,
    prev_hash BLOB NOT NULL, hash BLOB NOT NULL) STRICT""",
    "CREATE INDEX log_ball ON log (ball_id, seq)",
    "CREATE INDEX log_act ON log (act_id)",
    """CREATE TABLE results (id INTEGER PRIMARY KEY, kind TEXT NOT NULL, at TEXT NOT NULL, revision INTEGER NOT NULL,
    data TEXT NOT NULL, sum INTEGER NOT NULL) STRICT""",
    "CREATE INDEX results_kind ON results (kind, id)",
    "CREATE TABLE state_cache (key TEXT PRIMARY KEY, value TEXT NOT NULL, sum INTEGER NOT NULL) STRICT",
    FIND,
)

GUARDS = (
    """CREATE TRIGGER log_never_updated BEFORE UPDATE ON log
    BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END""",
    """CREATE TRIGGER log_never_deleted BEFORE DELETE ON log
    BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END""",
    """CREATE TRIGGER log_only_grows BEFORE INSERT ON log
    WHEN NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM log)
    OR (NEW.seq > 1 AND NEW.prev_hash IS NOT (SELECT hash FROM log ORDER BY seq DESC LIMIT 1))
    BEGIN SELECT RAISE (ABORT, 'the log only grows at its end'); END""",
    """CREATE TRIGGER results_never_updated BEFORE UPDATE ON results
    BEGIN SELECT RAISE (ABORT, 'a result is never changed'); END""",
    """CREATE TRIGGER results_never_deleted BEFORE DELETE ON results
    BEGIN SELECT RAISE (ABORT, 'a result is never removed'); END""",
    """CREATE TRIGGER results_only_grow BEFORE INSERT ON results
    WHEN NEW.id IS NOT (SELECT coalesce(max(id), 0) + 1 FROM results)
    BEGIN SELECT RAISE (ABORT, 'results only grow at their end'); END""",
    """CREATE TRIGGER acts_never_deleted BEFORE DELETE ON acts
    BEGIN SELECT RAISE (ABORT, 'an act is never removed'); END""",
)

_VIEWS = (
    """CREATE VIEW history AS SELECT log.seq, log.day, balls.name AS ball, people.name AS owner, log.kind, log.typed,
    log.payload, log.undoes, log.at FROM log JOIN balls ON balls.id = log.ball_id
    JOIN people ON people.id = balls.owner_id ORDER BY log.seq""",
    """CREATE VIEW ball_list AS SELECT balls.id, balls.name, balls.nickname, balls.serial, balls.cover,
    people.name AS owner FROM balls JOIN people ON people.id = balls.owner_id WHERE NOT balls.gone""",
)

_RECIPES = (
    f"""CREATE TABLE recipes (id INTEGER PRIMARY KEY AUTOINCREMENT, {_RECORD}, name TEXT NOT NULL,
    owner_id INTEGER REFERENCES people (id)) STRICT""",
)

_PLANS = (
    f"""CREATE TABLE events (id INTEGER PRIMARY KEY AUTOINCREMENT, {_RECORD}, name TEXT NOT NULL,
    first_on TEXT NOT NULL) STRICT""",
    f"""CREATE TABLE entered (id INTEGER PRIMARY KEY AUTOINCREMENT, {_RECORD},
    event_id INTEGER NOT NULL REFERENCES events (id), bowler_id INTEGER NOT NULL REFERENCES people (id)) STRICT""",
    f"""CREATE TABLE leagues (id INTEGER PRIMARY KEY AUTOINCREMENT, {_RECORD}, name TEXT NOT NULL,
    bowler_id INTEGER NOT NULL REFERENCES people (id)) STRICT""",
    f"""CREATE TABLE slots (id INTEGER PRIMARY KEY AUTOINCREMENT, {_RECORD},
    bowler_id INTEGER REFERENCES people (id)) STRICT""",
)

_COUNTER = (
    f"""CREATE TABLE services (id INTEGER PRIMARY KEY AUTOINCREMENT, {_RECORD}, name TEXT NOT NULL) STRICT""",
    f"""CREATE TABLE tickets (id INTEGER PRIMARY KEY AUTOINCREMENT, {_RECORD}, standing TEXT NOT NULL,
    person_id INTEGER REFERENCES people (id), promised_at TEXT) STRICT""",
    "CREATE INDEX tickets_standing ON tickets (standing)",
    "CREATE INDEX tickets_person ON tickets (person_id)",
    f"""CREATE TABLE photos (id INTEGER PRIMARY KEY AUTOINCREMENT, {_RECORD}, ball_id INTEGER REFERENCES balls (id),
    ticket_id INTEGER REFERENCES tickets (id)) STRICT""",
    "CREATE TABLE photo_bytes (photo_id INTEGER PRIMARY KEY REFERENCES photos (id), bytes BLOB NOT NULL) STRICT",
    f"""CREATE TABLE fit_sheets (id INTEGER PRIMARY KEY AUTOINCREMENT, {_RECORD},
    person_id INTEGER NOT NULL REFERENCES people (id)) STRICT""",
    f"""CREATE TABLE drill_records (id INTEGER PRIMARY KEY AUTOINCREMENT, {_RECORD},
    ball_id INTEGER NOT NULL REFERENCES balls (id)) STRICT""",
    "CREATE TABLE erased (seq INTEGER PRIMARY KEY REFERENCES log (seq)) STRICT",
    """CREATE TABLE now_balls (ball_id INTEGER PRIMARY KEY REFERENCES balls (id), as_of TEXT NOT NULL,
    finish TEXT NOT NULL, finish_on TEXT, plays_about_grit REAL, grit_low REAL, grit_high REAL,
    games_since_surface REAL, oil_g REAL, holder TEXT NOT NULL) STRICT""",
    """CREATE TABLE now_due (id INTEGER PRIMARY KEY, ball_id INTEGER NOT NULL REFERENCES balls (id),
    as_of TEXT NOT NULL, job TEXT NOT NULL, due TEXT NOT NULL, by_day TEXT, why TEXT NOT NULL) STRICT""",
    """CREATE VIEW balls_now AS SELECT balls.name AS ball, people.name AS owner, balls.serial, balls.cover,
    now_balls.finish, now_balls.finish_on, now_balls.plays_about_grit, now_balls.grit_low, now_balls.grit_high,
    now_balls.games_since_surface, now_balls.oil_g, now_balls.holder, now_balls.as_of
    FROM now_balls JOIN balls ON balls.id = now_balls.ball_id JOIN people ON people.id = balls.owner_id
    WHERE NOT balls.gone ORDER BY people.name, balls.name""",
    """CREATE VIEW due AS SELECT balls.name AS ball, people.name AS owner, now_due.job, now_due.due, now_due.by_day,
    now_due.why, now_due.as_of FROM now_due JOIN balls ON balls.id = now_due.ball_id
    JOIN people ON people.id = balls.owner_id WHERE NOT balls.gone ORDER BY now_due.by_day, balls.name""",
)

STEPS: list[tuple[str, ...]] = [_TABLES + GUARDS + _VIEWS, _RECIPES, _PLANS, _COUNTER]
"""STEPS[n] leads from version n to n + 1."""


def version() -> int:
    """The version this program writes."""
    return len(STEPS)


def apply(db: Database, start: int, end: int) -> None:
    """Run the steps from version `start` to `end`; the caller holds the transaction."""
    for step in STEPS[start:end]:
        for statement in step:
            db.conn.execute(statement)


Objects = frozenset[tuple[str, str, str]]
_SHADOWS = ("find_data", "find_idx", "find_content", "find_docsize", "find_config")
_OWN_OF_SQLITE = {("table", "sqlite_sequence"), ("table", "sqlite_stat1"), ("table", "sqlite_stat4")}


def objects(db: Database) -> Objects:
    """(type, name, sql) of everything in a file's schema; what SQLite words for itself goes by its name alone."""
    found = set()
    for kind, name, sql in db.conn.execute("SELECT type, name, sql FROM sqlite_master"):
        automatic = kind == "index" and sql is None
        if not automatic and (kind, name) not in _OWN_OF_SQLITE:
            words_of_sqlite = kind == "table" and name in _SHADOWS
            found.add((str(kind), str(name), "" if words_of_sqlite else " ".join(str(sql).split())))
    return frozenset(found)


def expected(at_version: int) -> Objects:
    """What a file of that version must hold, neither less nor more."""
    return _expected(tuple(STEPS[:at_version]))


@cache
def _expected(steps: tuple[tuple[str, ...], ...]) -> Objects:
    db = Database(memory=True, execute_plugins=False)
    try:
        for statement in (statement for step in steps for statement in step):
            db.conn.execute(statement)
        return objects(db)
    finally:
        db.close()
