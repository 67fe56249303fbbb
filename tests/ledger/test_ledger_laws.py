"""Whatever is done, undone, redone, failed, closed and opened again: the file is what a plain list of states says."""

from __future__ import annotations

import shutil
import tempfile
from dataclasses import replace
from datetime import date
from pathlib import Path

from hypothesis import example, given, settings
from hypothesis import strategies as st

from arsenal.ledger import NO_BACKUPS, Act, CannotUndo, Ledger
from arsenal.trade.ball import Ball, Cover
from arsenal.trade.entries import Draft, Entry, Kind, Played, effective
from arsenal.trade.person import Person

STEPS = ("log", "rename", "add", "remove", "set", "hand over", "fail", "undo", "redo", "open again")


def content(ledger: Ledger) -> tuple[object, ...]:
    return ledger.people(), ledger.balls(), ledger.settings(), tuple(effective(ledger.entries()))


def write(ledger: Ledger, act: Act, step: str, n: int) -> None:
    """One step of an act; where there is no ball to do it to, another setting."""
    balls = ledger.balls()
    ball = balls[n % len(balls)] if balls else None
    if step == "add":
        owner = act.put(Person(0, f"Person {n}"))
        act.put(Ball(0, f"Ball {n}", f"b{n}", owner.id, Cover.SOLID))
    elif step == "set" or ball is None:
        act.set_setting(f"key {n % 3}", n)
    elif step == "log":
        act.append(Draft(ball.id, Kind.PLAYED, date(2026, 1, 1 + n % 28), Played(float(n + 1)), typed=str(n)))
    elif step == "rename":
        act.put(replace(ball, name=f"Renamed {n}"))
    elif step == "hand over":
        act.put(replace(ball, owner_id=ledger.people()[n % len(ledger.people())].id))
    elif step == "remove":
        act.remove("ball", ball.id)


def try_act(ledger: Ledger, step: str, n: int) -> bool:
    """One act of two writes; True where it changed something."""
    with ledger.act(f"{step} {n}") as act:
        write(ledger, act, step, n)
        write(ledger, act, "set" if n % 2 else "log", n)
    return act.id is not None


class Stop(Exception):
    """The act breaks off."""


def fail(ledger: Ledger, n: int) -> None:
    try:
        with ledger.act("fails") as act:
            for step in ("add", "log", "rename", "remove"):
                write(ledger, act, step, n)
            raise Stop  # noqa: TRY301
    except Stop:
        return


@settings(max_examples=25, deadline=None)
@example(steps=[("add", 0), ("remove", 0), ("undo", 0), ("redo", 0), ("undo", 0)])
@given(steps=st.lists(st.tuples(st.sampled_from(STEPS), st.integers(0, 50)), max_size=25))
def test_the_file_is_what_a_list_of_states_says(steps: list[tuple[str, int]]) -> None:
    folder = Path(tempfile.mkdtemp())
    ledger = Ledger.open(folder / "a.db", backups=NO_BACKUPS)
    try:
        past, future, kept = [content(ledger)], [], ()
        for step, n in steps:
            if step == "open again":
                ledger.close()
                ledger = Ledger.open(folder / "a.db", backups=NO_BACKUPS)
            elif step == "undo" and len(past) > 1:
                ledger.undo()
                future.append(past.pop())
            elif step == "redo" and future:
                ledger.redo()
                past.append(future.pop())
            elif step in {"undo", "redo"}:
                must_refuse(ledger, step)
            elif step == "fail":
                fail(ledger, n)
            elif try_act(ledger, step, n):
                past, future = [*past, content(ledger)], []
            assert content(ledger) == past[-1]
            kept = must_only_grow(kept, ledger.entries())
        assert ledger.verify().problems == ()
    finally:
        ledger.close()
        shutil.rmtree(folder)


def must_refuse(ledger: Ledger, step: str) -> None:
    revision = ledger.revision
    try:
        getattr(ledger, step)()
    except CannotUndo:
        assert ledger.revision == revision
        return
    raise AssertionError(f"{step} found something to do")


def must_only_grow(before: tuple[Entry, ...], now: tuple[Entry, ...]) -> tuple[Entry, ...]:
    assert now[: len(before)] == before
    assert [entry.seq for entry in now] == list(range(1, len(now) + 1))
    return now
