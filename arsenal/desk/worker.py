"""One thread owns the shop: every act runs there, results come back by queued signal, stale ones are dropped.

A job is asked for in a slot; a newer job in the same slot makes the older one stale, whether it still waits or is done
already. Jobs that write go in no slot and always run.
"""

from __future__ import annotations

import sys
import threading
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, TypeVar

from PySide6.QtCore import QObject, Qt, QThread, QTimer, Signal
from shiboken6 import isValid

from arsenal.trade.errors import KnownError

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop

Result = TypeVar("Result")
BUSY_MS, SLOW_MS = 1000, 3000


def alive(call: Callable[..., Any]) -> bool:
    """Whether the widget a result is meant for is still there: a dialog may have been closed meanwhile."""
    owner = getattr(call, "__self__", None)
    return not isinstance(owner, QObject) or isValid(owner)


def _stopped(job: Job) -> KnownError:
    return KnownError(f"{job.title}: stopped.", next_step="Start it again when it suits.")


class Stopped(Exception):
    """A job gave up because somebody pressed cancel."""


class Progress:
    """Handed to a job that asks for it: says how far it is, and raises Stopped once it was cancelled."""

    def __init__(self, tell: Callable[[float], None]) -> None:
        self._tell, self._stop = tell, threading.Event()
        self.gave_way = False
        """Whether it was asked to stop only to let others through."""

    def __call__(self, share: float) -> None:
        """`share` is 0 to 1."""
        if self._stop.is_set():
            raise Stopped
        self._tell(share)

    def cancel(self) -> None:
        """Ask the job to stop at its next word."""
        self.gave_way = False
        self._stop.set()

    def give_way(self) -> None:
        """Ask the job to stop at its next word and to begin again after what was asked meanwhile."""
        if not self._stop.is_set():
            self.gave_way = True
            self._stop.set()


@dataclass(eq=False)
class Job:
    """One thing to do on the worker's thread."""

    run: Callable[..., Any]
    title: str
    slot: str
    number: int
    done: Callable[[Any], None] | None
    failed: Callable[[KnownError], None] | None
    progress: Progress | None = None
    gives_way: bool = False
    first: bool = False
    result: Any = None
    error: BaseException | None = None
    stale: Callable[[], bool] = field(default=lambda: False)


class _Hands(QThread):
    """The thread. It waits for jobs, opens the shop first, closes it last."""

    finished_job = Signal(object)

    def __init__(self, opener: Callable[[], Shop]) -> None:
        super().__init__()
        self._opener = opener
        self._shop: Shop | None = None
        self._jobs: deque[Job] = deque()
        self._wake = threading.Condition()
        self._over = False

    def add(self, job: Job) -> None:
        """Queue a job: last, or before the reads that wait, but never before a write that was asked for earlier."""
        with self._wake:
            at = len(self._jobs)
            while job.first and at and self._jobs[at - 1].slot and not self._jobs[at - 1].first:
                at -= 1
            self._jobs.insert(at, job)
            self._wake.notify()

    def finish(self) -> None:
        """Do what is queued, then end."""
        with self._wake:
            self._over = True
            self._wake.notify()

    def run(self) -> None:
        """Work until told to end."""
        while (job := self._next()) is not None:
            if not job.stale():
                self._do(job)
            self.finished_job.emit(job)
        if self._shop is not None:
            self._shop.close()

    def _next(self) -> Job | None:
        with self._wake:
            while not self._jobs and not self._over:
                self._wake.wait()
            return self._jobs.popleft() if self._jobs else None

    def _do(self, job: Job) -> None:
        try:
            if self._shop is None:
                self._shop = self._opener()
            job.result = job.run(self._shop, job.progress) if job.progress else job.run(self._shop)
        except BaseException as error:  # noqa: BLE001 - told on the window's thread, where the hook lives
            job.error = error


class Worker(QObject):
    """The window's side: ask for jobs here, get results here."""

    busy = Signal(str)
    """Title of what has run for over a second; empty when nothing does."""
    slow = Signal(str, float)
    """Title and share done of what has run for over three seconds."""
    failed = Signal(object)
    """A KnownError nobody else took."""
    bug = Signal(object)
    """An exception that is a bug, when nothing listens it goes to sys.excepthook."""

    def __init__(self, opener: Callable[[], Shop], parent: QObject | None = None, *, start: bool = True) -> None:
        super().__init__(parent)
        self._numbers: dict[str, int] = {}
        self._waiting: list[Job] = []
        self._closed = False
        self._shares: dict[int, float] = {}
        self._hands = _Hands(opener)
        self._hands.finished_job.connect(self._arrived, Qt.ConnectionType.QueuedConnection)
        self._busy_timer, self._slow_timer = QTimer(self), QTimer(self)
        self._busy_timer.setSingleShot(True)
        self._busy_timer.setInterval(BUSY_MS)
        self._busy_timer.timeout.connect(self._tell_busy)
        self._slow_timer.setInterval(SLOW_MS)
        self._slow_timer.timeout.connect(self._tell_slow)
        if start:
            self.begin()

    def begin(self) -> None:
        """Start the thread; jobs asked for before wait for it."""
        self._hands.start()

    def ask(
        self,
        slot: str,
        run: Callable[..., Result],
        done: Callable[[Result], None],
        *,
        failed: Callable[[KnownError], None] | None = None,
        title: str = "Working it out",
        progress: bool = False,
        gives_way: bool = False,
        first: bool = False,
    ) -> None:
        """Read something. A newer request in the same slot makes this one stale; its `done` is then never called. With
        `progress` the job gets (shop, progress), may be cancelled, and stops at its next word once it is stale; with
        `gives_way` too it lets everything asked later through first and begins again: it should remember what it has.
        `first` goes before other reads that wait, and every read with `progress` lets it through and begins again:
        somebody is typing, or holds a scanner.
        """
        self.drop(slot)
        number = self._numbers[slot]
        job = Job(run, title, slot, number, done, failed, first=first)
        job.stale = lambda: self._numbers.get(slot) != number
        if progress:
            job.progress = self._progress(job)
            job.gives_way = gives_way
        self._start(job)

    def drop(self, slot: str) -> None:
        """Forget what was asked in a slot."""
        self._numbers[slot] = self._numbers.get(slot, 0) + 1
        for job in self._waiting:
            if job.slot == slot and job.progress:
                job.progress.cancel()

    def act(
        self,
        run: Callable[..., Result],
        done: Callable[[Result], None] | None = None,
        *,
        failed: Callable[[KnownError], None] | None = None,
        title: str = "Keeping it",
        progress: bool = False,
    ) -> None:
        """Write something; always runs. With `progress` the job gets (shop, progress) and may be cancelled."""
        job = Job(run, title, "", 0, done, failed)
        if progress:
            job.progress = self._progress(job)
        self._start(job)

    def _progress(self, job: Job) -> Progress:
        return Progress(lambda share: self._shares.__setitem__(id(job), share))

    def cancel(self) -> None:
        """Ask whatever runs and may be cancelled to stop."""
        for job in self._waiting:
            if job.progress:
                job.progress.cancel()

    def idle(self) -> bool:
        """Whether nothing runs or waits."""
        return not self._waiting

    def close(self) -> None:
        """Finish what was queued, close the shop, end the thread. What is asked for after that is never done."""
        self._closed = True
        for slot in self._numbers:
            self.drop(slot)
        self._busy_timer.stop()
        self._slow_timer.stop()
        self._hands.finish()
        self._hands.wait()

    def _start(self, job: Job) -> None:
        if self._closed:
            return
        for other in self._waiting:
            lets_through = job.first or (other.gives_way and not job.gives_way)
            if other.slot and other.progress and lets_through:
                other.progress.give_way()
        self._waiting.append(job)
        if not self._busy_timer.isActive() and len(self._waiting) == 1:
            self._busy_timer.start()
        self._hands.add(job)

    def _arrived(self, job: Job) -> None:
        self._waiting.remove(job)
        self._shares.pop(id(job), None)
        if not self._waiting:
            self._busy_timer.stop()
            self._slow_timer.stop()
            self.busy.emit("")
        if job.stale():
            return
        if isinstance(job.error, Stopped) and job.progress and job.progress.gave_way:
            job.error, job.progress = None, self._progress(job)
            self._start(job)
            return
        if job.error is None:
            if job.done is not None and alive(job.done):
                job.done(job.result)
        elif isinstance(job.error, KnownError | Stopped):
            told = job.failed if job.failed is not None and alive(job.failed) else self.failed.emit
            told(job.error if isinstance(job.error, KnownError) else _stopped(job))
        else:
            sys.excepthook(type(job.error), job.error, job.error.__traceback__)

    def _tell_busy(self) -> None:
        if self._waiting:
            self.busy.emit(self._waiting[0].title)
            self._slow_timer.start()

    def _tell_slow(self) -> None:
        if self._waiting:
            job = self._waiting[0]
            self.slow.emit(job.title, self._shares.get(id(job), -1.0))
