"""An open shop: its ledger, priors, clock and settings, and every ball's state, folded once for each day and change.

Not thread-safe: one worker owns it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from datetime import date, datetime
from pathlib import Path
from types import TracebackType
from typing import Any, Self, TypeVar

from arsenal.acts import places
from arsenal.acts.folds import Folds
from arsenal.acts.held_records import HeldRecords
from arsenal.acts.kept import Kept
from arsenal.acts.settings import Settings
from arsenal.acts.teachings import Teachings
from arsenal.ledger import BackupPolicy, Ledger, Record
from arsenal.surface import Learned, fold
from arsenal.surface.state import Holder, SurfaceState
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Entry, Kind
from arsenal.trade.errors import KnownError, NotFound
from arsenal.trade.lane import Lane
from arsenal.trade.pads import Pad, Recipe
from arsenal.trade.person import Person
from arsenal.trade.priors import Priors, default_priors

Clock = Callable[[], datetime]
T = TypeVar("T")
R = TypeVar("R", bound=Record)
PAST_DAYS_KEPT = 400
RESULTS_KEPT, SMALL_KEPT = 256, 16384
"""Results kept of any kind, and small ones beside them, so that a shop of thousands of balls keeps a few for each."""
PRACTICE = (Kind.SHOT, Kind.COMPARED)
"""What the log keeps of practice shots."""


def system() -> datetime:
    """Now, with this machine's offset."""
    return datetime.now().astimezone()


class Shop:
    """An open file. Reading acts ask it for records and states; writing acts go through `ledger`."""

    def __init__(self, ledger: Ledger, path: Path, clock: Clock, priors: Priors, settings: Settings) -> None:
        self.ledger = ledger
        self.path = path
        self.clock = clock
        self.priors = priors
        self.settings = settings
        self.kept = Kept(ledger)
        self._folds = Folds(ledger, priors)
        self._seen_revision: int | None = None
        self._opened_at: int | None = ledger.revision
        self._last_seq = 0
        self._records = HeldRecords(ledger)
        self._entries: dict[int, tuple[Entry, ...]] = {}
        self._teachings = Teachings(ledger, priors)
        self._read: dict[int, int] | None = None
        """Balls that were ever read by an instrument and each one's last entry; None until somebody asks."""
        self._practised: dict[int, int] | None = None
        """The same of balls with practice shots."""
        self._states: dict[tuple[int, date | None], tuple[Learned, SurfaceState]] = {}
        self._states_of: date | None = None
        """The day that counts as now in `_states`."""
        self._made: dict[Hashable, Any] = {}
        self._small: dict[Hashable, Any] = {}
        self._latest: dict[Hashable, tuple[Hashable, Any]] = {}

    @classmethod
    def open(
        cls, path: Path | None = None, *, clock: Clock = system, create: bool = True, read_only: bool = False,
        priors: Priors | None = None, settings: Settings | None = None, backups: BackupPolicy | None = None,
    ) -> Shop:  # fmt: skip
        """Open `path` (the user's own when None). Raises KnownError for a foreign, damaged or missing file."""
        where = path or places.shop_file()
        if path is None and create and not read_only:
            where.parent.mkdir(parents=True, exist_ok=True)
        ledger = Ledger.open(where, clock=clock, read_only=read_only, create=create, backups=backups)
        return cls(ledger, where, clock, priors or default_priors(), settings or Settings.load())

    def close(self) -> None:
        """Keep what was worked out since, where the file can be written, and close it."""
        try:
            self._keep_now()
            self._folds.keep()
            self._teachings.keep()
            self.kept.keep()
        except KnownError:  # a full disk takes no cache; nothing else depends on it
            pass
        finally:
            self.ledger.close()

    def _keep_now(self) -> None:
        """The tables for other programs, once, where something was changed."""
        opened_at, self._opened_at = self._opened_at, None
        if opened_at is not None and not self.ledger.read_only and self.revision != opened_at:
            from arsenal.acts import now_tables  # noqa: PLC0415 - it reads a shop, and only a changed one needs it

            now_tables.keep(self)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, value: BaseException | None, at: TracebackType | None) -> None:
        self.close()

    @property
    def revision(self) -> int:
        """Changes with each act."""
        return self.ledger.revision

    def now(self) -> datetime:
        """The clock, with its offset."""
        return self.clock()

    def today(self) -> date:
        """The local day."""
        return self.clock().date()

    def people(self) -> tuple[Person, ...]:
        """Everybody, in the order they were added."""
        self._refresh()
        return self._records.every(Person)

    def balls(self, owner_id: int | None = None) -> tuple[Ball, ...]:
        """One owner's balls, or all, in the order they were added."""
        self._refresh()
        return self._records.every(Ball) if owner_id is None else self._records.of_owner(owner_id)

    def lanes(self) -> Mapping[int, Lane]:
        """Every condition by id."""
        return self._by_id(Lane)

    def pads(self, bowler_id: int | None = None) -> tuple[Pad, ...]:
        """Pads in stock: the bowler's own and the shop's; with None, all."""
        pads = self._by_id(Pad).values()
        return tuple(p for p in pads if bowler_id is None or p.owner_id in (None, bowler_id))

    def pads_by_id(self) -> Mapping[int, Pad]:
        """Every pad by id."""
        return self._by_id(Pad)

    def recipes(self, bowler_id: int | None = None) -> tuple[Recipe, ...]:
        """Recipes kept: the bowler's own and the shop's; with None, all."""
        recipes = self._by_id(Recipe).values()
        return tuple(r for r in recipes if bowler_id is None or r.owner_id in (None, bowler_id))

    def every(self, cls: type[R]) -> tuple[R, ...]:
        """Every record of one kind in sight, as the file holds it now."""
        self._refresh()
        return self._records.every(cls)

    def by_id(self, cls: type[R]) -> Mapping[int, R]:
        """The same by their ids."""
        return self._by_id(cls)

    def _by_id(self, cls: type[R]) -> Mapping[int, R]:
        self._refresh()
        return self._records.by_id(cls)

    def recipe(self, recipe_id: int) -> Recipe:
        """Raises NotFound."""
        return _one(self._by_id(Recipe), recipe_id, "recipe")

    def ball(self, ball_id: int) -> Ball:
        """Raises NotFound."""
        return _one(self._by_id(Ball), ball_id, "ball")

    def person(self, person_id: int) -> Person:
        """Raises NotFound."""
        return _one(self._by_id(Person), person_id, "bowler")

    def lane(self, lane_id: int) -> Lane:
        """Raises NotFound."""
        return _one(self._by_id(Lane), lane_id, "lane condition")

    def pad(self, pad_id: int) -> Pad:
        """Raises NotFound."""
        return _one(self._by_id(Pad), pad_id, "pad")

    def entries(self, ball_id: int) -> tuple[Entry, ...]:
        """A ball's log in the order it was written, undone entries included."""
        self._refresh()
        if ball_id not in self._entries:
            self._entries[ball_id] = tuple(self.ledger.entries(ball_id))
        return self._entries[ball_id]

    def read_ahead(self, balls: Iterable[Ball]) -> None:
        """Read the logs of many balls at once."""
        self._refresh()
        wanted = [ball.id for ball in balls if ball.id not in self._entries]
        if not wanted:
            return
        found: dict[int, list[Entry]] = defaultdict(list)
        for entry in self.ledger.entries(wanted):
            found[entry.ball_id].append(entry)
        for ball_id in wanted:
            self._entries[ball_id] = tuple(found[ball_id])

    def state(self, ball_id: int, *, until: date | None = None) -> SurfaceState:
        """What is on the ball, today or at the end of a past day."""
        ball = self.ball(ball_id)
        self._turn_day()
        key, learned = (ball_id, until), self.learned(ball_id)
        kept = self._states.get(key)
        if kept is None or kept[0] != learned:
            if len(self._states) > PAST_DAYS_KEPT + len(self._by_id(Ball)):
                self._states = {k: state for k, state in self._states.items() if k[1] is None}
            kept = self._states[key] = learned, self._fold(ball, until, learned)
        return kept[1]

    def learned(self, ball_id: int) -> Learned:
        """What other balls' readings have taught of the houses this one is played in and of pads."""
        ball = self.ball(ball_id)
        if self._read is None:
            self._read = self.ledger.balls_with(Kind.READING)
        found = self._teachings.found(ball_id)
        if found is not None:
            return found
        known = self._by_id(Ball)
        readers = [known[read] for read in sorted(self._read) if read in known]
        return self._teachings.learned_by(ball, readers, self._read, self.lanes(), self._logs)

    def practised(self) -> dict[int, int]:
        """Balls whose log holds a practice shot, undone ones too, and the number of each one's last entry."""
        self._refresh()
        if self._practised is None:
            found = [self.ledger.balls_with(kind) for kind in PRACTICE]
            self._practised = {ball: max(of.get(ball, 0) for of in found) for ball in set().union(*found)}
        return self._practised

    def _logs(self, balls: Iterable[Ball]) -> dict[int, tuple[Entry, ...]]:
        wanted = tuple(balls)
        self.read_ahead(wanted)
        return {ball.id: self._entries[ball.id] for ball in wanted}

    def _fold(self, ball: Ball, until: date | None, learned: Learned) -> SurfaceState:
        log = self.entries(ball.id)
        if until is None:
            return self._folds.state(ball, log, self.lanes(), self._states_of or self.today(), learned)
        return fold(ball, log, self.priors, until=until, lanes=self.lanes(), learned=learned)

    def _turn_day(self) -> None:
        """Forget the states of now once the day has changed; those of past days stay."""
        today = self.today()
        if today != self._states_of:
            self._states = {key: state for key, state in self._states.items() if key[1] is not None}
            self._states_of = today

    def states(self, balls: Iterable[Ball]) -> dict[int, SurfaceState]:
        """States by ball id."""
        wanted = tuple(balls)
        self.read_ahead(wanted)
        return {ball.id: self.state(ball.id) for ball in wanted}

    def held(self, bowler_id: int, *, until: date | None = None) -> tuple[tuple[Ball, SurfaceState], ...]:
        """The bowler's balls in the bag, with their states: not sold, retired or lent out."""
        balls = self.balls(bowler_id)
        self.read_ahead(balls)
        both = ((ball, self.state(ball.id, until=until)) for ball in balls if self._had(ball, until))
        return tuple((ball, state) for ball, state in both if state.holder is Holder.OWNED)

    def remembered(self, key: Hashable, make: Callable[[], T], *, small: bool = False) -> T:
        """What `make` gave for `key`, made where it is not there; `key` holds everything that `make` looks at. `small`
        results are kept for longer.
        """
        kept, most = (self._small, SMALL_KEPT) if small else (self._made, RESULTS_KEPT)
        if key not in kept:
            if len(kept) >= most:
                kept.pop(next(iter(kept)))
            kept[key] = make()
        found: T = kept[key]
        return found

    def latest(self, slot: Hashable, key: Hashable, make: Callable[[], T]) -> T:
        """The same of something large: of each `slot` only what was asked for last is remembered."""
        kept = self._latest.get(slot)
        if kept is None or kept[0] != key:
            kept = self._latest[slot] = key, make()
        found: T = kept[1]
        return found

    def forget_everything(self) -> None:
        """Read everything anew: the file was changed underneath its own log."""
        self._entries, self._states, self._made, self._seen_revision = {}, {}, {}, None
        self._records.forget()
        self._teachings.forget_all()

    def recalls(self, key: Hashable) -> bool:
        """Whether `remembered` has this result already."""
        return key in self._small or key in self._made

    def came_on(self, ball_id: int) -> date | None:
        """The first day the log knows of, or the day it was bought; None where neither is known."""
        ball = self.ball(ball_id)
        first = min((e.on for e in self.entries(ball_id) if e.kind == "new"), default=None)
        return ball.bought_on if first is None else first if ball.bought_on is None else min(first, ball.bought_on)

    def _had(self, ball: Ball, until: date | None) -> bool:
        came_on = self.came_on(ball.id)
        return until is None or came_on is None or came_on <= until

    def _refresh(self) -> None:
        if self.ledger.acting:
            raise RuntimeError("The shop was asked inside an open act: it would take the half-written for what is so.")
        revision = self.ledger.revision
        if revision == self._seen_revision:
            return
        changed = self._records.catch_up(revision)
        touched = set(changed.get(Ball, ()))
        if self._seen_revision is not None:
            fresh = self.ledger.entries(since_seq=self._last_seq)
            touched |= {e.ball_id for e in fresh}
            _keep_up(self._read, fresh, (Kind.READING,))
            _keep_up(self._practised, fresh, PRACTICE)
        self._last_seq = self.ledger.head_seq
        if Lane in changed:
            self._states.clear()
            self._teachings.forget_all()
        self._teachings.forget(touched & (self._read or {}).keys())
        for ball_id in touched:
            self._entries.pop(ball_id, None)
        if touched:
            self._states = {key: state for key, state in self._states.items() if key[0] not in touched}
        self._seen_revision = revision


def _keep_up(last: dict[int, int] | None, fresh: Iterable[Entry], kinds: Sequence[Kind]) -> None:
    """Add new entries of `kinds`, and of balls that had one before, to the last of each ball."""
    if last is None:
        return
    for entry in fresh:
        if entry.kind in kinds or entry.ball_id in last:
            last[entry.ball_id] = entry.seq


def _one(records: Mapping[int, T], record_id: int, what: str) -> T:
    found = records.get(record_id)
    if found is None:
        raise NotFound(f"There is no such {what} in this file.")
    return found
