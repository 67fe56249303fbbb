"""Tables out: the same files that `load` reads. What was taken back is left out; JSON Lines keep that too."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property
from pathlib import Path

from arsenal.exchange import workbook
from arsenal.exchange.numbers import plain
from arsenal.exchange.one_line.typed import typed_entry, typed_steps
from arsenal.exchange.one_line.who import Scene
from arsenal.exchange.tables.columns import (
    BALLS,
    BOWLERS,
    GRID,
    LANES,
    LINES,
    LOG,
    NAME_LETTERS,
    PADS,
    RECIPES,
    Column,
    Table,
)
from arsenal.exchange.tables.csv_file import escape, unescape, write_sheet
from arsenal.exchange.tables.likeness import addition_for
from arsenal.exchange.tables.numbering import (
    Numbers,
    renumbered,
    renumbered_ball,
    renumbered_pad,
    renumbered_person,
)
from arsenal.trade.ball import Ball, Cover
from arsenal.trade.entries import Compared, Draft, Entry, Payload, Played, Saw, Shot, Unknown, effective
from arsenal.trade.lane import FilmGrid, FilmSummary, Lane, UnknownHouse
from arsenal.trade.pads import Pad, Recipe
from arsenal.trade.person import Person
from arsenal.trade.release import Scatter, Zone
from arsenal.trade.steps import Tell, part, stepping, untold

_USUAL = Ball(0, "", "", 0, Cover.SOLID)
_Cells = Mapping[str, str | float | bool | date | None]


def written(column: Column, value_si: float) -> str:
    """A quantity in the column's first unit, in the fewest digits that read back to exactly the same."""
    factor = next(iter(column.units.values()))
    for digits in range(3, 18):
        text = f"{value_si / factor - column.offset:.{digits}g}"
        if (float(text) + column.offset) * factor == value_si:
            return plain(float(text))
    return plain(value_si / factor - column.offset)


def _cell(column: Column, value: str | float | bool | date | None, guard: Callable[[str], str] = escape) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        return guard(value)
    if isinstance(value, bool):
        return "yes" if value else ""
    if isinstance(value, date):
        return value.isoformat()
    return written(column, value) if column.units else plain(value)


@dataclass(frozen=True)
class Dumped:
    """One table on its way out; `name` without the ending of a file."""

    name: str
    table: Table
    rows: Sequence[_Cells]

    def columns(self) -> list[Column]:
        """Those that hold anything; an empty table has all of them."""
        rows = self.rows
        held = {name for row in rows for name, value in row.items() if value not in (None, "", False)}
        return [c for c in self.table.columns if c.needed or not rows or c.name in held]


def dump(
    folder: Path,
    people: Sequence[Person],
    balls: Sequence[Ball],
    lanes: Sequence[Lane],
    pads: Sequence[Pad],
    entries: Sequence[Entry],
    recipes: Sequence[Recipe] = (),
    *,
    book: Path | None = None,
    tell: Tell = untold,
) -> tuple[Path, ...]:
    """Write everything that stands as CSV files into `folder`, each whole or not at all, and as one workbook `book`
    where that is asked for. The files written.

    Raises KnownError where a file cannot be written. Entries of kinds this version does not know are left out.
    """
    found = _dumped(people, balls, lanes, pads, entries, recipes, part(tell, 0.0, 0.6))
    written_files = [_write_csv(folder, one) for one in found]
    if book is not None:
        workbook.write(book, [_page(one) for one in found], part(tell, 0.7, 1.0))
        written_files.append(book)
    return tuple(written_files)


def _write_csv(folder: Path, one: Dumped) -> Path:
    used, path = one.columns(), folder / f"{one.name}.csv"
    rows = ([_cell(c, _csv_grid(c, r.get(c.name))) for c in used] for r in one.rows)
    write_sheet(path, [c.headers[0] for c in used], rows)
    return path


def _csv_grid(column: Column, value: str | float | bool | date | None) -> str | float | bool | date | None:
    """A film grid is a file of its own beside a CSV file, and a sheet beside a sheet."""
    return f"{value}.csv" if column.name == "grid" and value else value


def _page(one: Dumped) -> workbook.Table:
    used = one.columns()
    rows = tuple(tuple(_cell(c, r.get(c.name), _plain_text) for c in used) for r in one.rows)
    return workbook.Table(one.name, tuple(c.headers[0] for c in used), rows)


def _plain_text(text: str) -> str:
    """A workbook's cells are text already: only what would be taken for an escaped text is escaped once more."""
    return text if unescape(text) == text else escape(text)


def _dumped(
    people: Sequence[Person], balls: Sequence[Ball], lanes: Sequence[Lane], pads: Sequence[Pad],
    entries: Sequence[Entry], recipes: Sequence[Recipe], tell: Tell,
) -> list[Dumped]:  # fmt: skip
    to = Numbers(*({t.id: n for n, t in enumerate(things, 1)} for things in (people, balls, lanes, pads)))  # type: ignore[attr-defined]
    people = [renumbered_person(_standing(p, to), to) for p in people]
    balls = [renumbered_ball(b, to) for b in balls]
    lanes = [replace(lane, id=to.lanes[lane.id]) for lane in lanes]
    pads = [renumbered_pad(p, to) for p in pads]
    drafts = [
        renumbered(Draft(e.ball_id, e.kind, e.on, _on_standing(e.payload, to), late=e.late), to)
        for e in sorted(effective(list(entries)), key=lambda e: e.seq)
        if not isinstance(e.payload, Unknown)
    ]
    scene = _Named(balls, date.max, people, pads, lanes, choose_pads=False)
    found = [
        Dumped("bowlers", BOWLERS, [_person(p, scene) for p in people]),
        Dumped("balls", BALLS, [_ball(b, scene) for b in balls]),
        *_dumped_lanes(lanes),
        Dumped("pads", PADS, [_pad(p, scene) for p in pads]),
        Dumped("log", LOG, [_entry(d, scene) for d in stepping(drafts, len(drafts), tell)]),
    ]
    if recipes:
        found.append(Dumped("recipes", RECIPES, [_recipe(r, scene, to) for r in recipes]))
    if any(p.lines for p in people):
        found.append(Dumped("lines", LINES, _lines(people, lanes, scene)))
    return found


def _standing(person: Person, to: Numbers) -> Person:
    """Without a benchmark or condition that was removed."""
    return replace(
        person, benchmark_ball_id=person.benchmark_ball_id if person.benchmark_ball_id in to.balls else None,
        usual_lane_id=person.usual_lane_id if person.usual_lane_id in to.lanes else None,
        lines=tuple((lane_id, line) for lane_id, line in person.lines if lane_id in to.lanes),
    )  # fmt: skip


def _on_standing(payload: Payload, to: Numbers) -> Payload:
    """Without a condition that was removed."""
    if not isinstance(payload, Played | Compared | Saw | Shot) or payload.lane_id is None:
        return payload
    return payload if payload.lane_id in to.lanes else replace(payload, lane_id=None)


@dataclass(frozen=True)
class _Named(Scene):
    """A scene whose bowlers and balls are numbered from 1 without gaps; what each is called in a row, found once."""

    @cached_property
    def bowler_names(self) -> list[str]:
        """By number: the name; of several with one name, where nicknames do not tell, all but the first with an
        addition.
        """
        nicknames: dict[str, list[str]] = {}
        for p in self.people:
            nicknames.setdefault(p.name.casefold(), []).append(p.nickname.casefold())
        taken, told = set[str](), list[str]()
        for p in self.people:
            nicks, name = nicknames[p.name.casefold()], p.name
            if p.name.casefold() in taken and not (all(nicks) and len(set(nicks)) == len(nicks)):
                addition = addition_for(p.name, p.phone, lambda other: other.casefold() in taken)
                name = f"{p.name} ({addition})"
            taken.add(name.casefold())
            told.append(name if len(name) <= NAME_LETTERS else p.name)
        return told

    @cached_property
    def bowler_words(self) -> list[str]:
        """By number: the name as it is written, or where somebody else has it the nickname."""
        count = Counter(name.casefold() for name in self.bowler_names)
        both = zip(self.people, self.bowler_names, strict=True)
        return [p.nickname if count[name.casefold()] > 1 and p.nickname else name for p, name in both]

    @cached_property
    def ball_words(self) -> list[str]:
        """By number: the name, or where its owner has two that answer to it the nickname or serial."""
        count = Counter(
            (b.owner_id, word) for b in self.balls
            for word in {b.name.casefold(), b.nickname.casefold(), b.serial.casefold()}
        )  # fmt: skip

        def word_of(ball: Ball) -> str:
            words = (ball.name, ball.nickname, ball.serial)
            return next((w for w in words if w and count[ball.owner_id, w.casefold()] == 1), ball.name)

        return [word_of(ball) for ball in self.balls]


def _lines(people: Sequence[Person], lanes: Sequence[Lane], scene: _Named) -> list[_Cells]:
    return [
        {"bowler": _bowler(p.id, scene), "lane": lanes[lane_id - 1].name, "laydown": line.lateral_m,
         "launch": line.launch_rad}
        for p in people for lane_id, line in p.lines
    ]  # fmt: skip


def _unlike(value: float, default: float) -> float | None:
    return None if value == default else value


def _person(person: Person, scene: _Named) -> _Cells:
    benchmark = scene.balls[person.benchmark_ball_id - 1] if person.benchmark_ball_id else None
    lane = scene.lanes[person.usual_lane_id - 1].name if person.usual_lane_id else None
    cells: dict[str, str | float | bool | date | None] = {
        "bowler": scene.bowler_names[person.id - 1], "nickname": person.nickname, "hand": person.hand.value,
        "two_handed": person.two_handed, "back_up": person.back_up, "games_a_week": person.games_a_week,
        "note": person.note, "usual_lane": lane, "benchmark": _ball_word(benchmark, scene) if benchmark else None,
    }  # fmt: skip
    cells["drift"] = person.stance_to_laydown_boards
    cells |= {
        "phone": person.phone, "email": person.email, "reminders_agreed": person.reminders_consented_on,
        "minor": person.minor, "guardian": person.guardian,
    }  # fmt: skip
    if person.speed_reading is not None:
        read = person.speed_reading
        cells |= {"as_read": read.speed_mps, "speed_read_at": read.at.value, "speed_house": read.house}
    if person.style is not None:
        style, usual, reach = person.style, Scatter(), Zone()
        scatter, zone = style.scatter, style.zone
        cells |= {
            "speed": style.speed_mps, "revs": style.rev_rate_radps, "rotation": style.axis_rotation_rad,
            "tilt": style.axis_tilt_rad,
            "laydown_sd": _unlike(scatter.laydown_m, usual.laydown_m),
            "launch_sd": _unlike(scatter.launch_rad, usual.launch_rad),
            "speed_sd": _unlike(scatter.speed_mps, usual.speed_mps),
            "revs_sd": _unlike(scatter.revs_fraction, usual.revs_fraction),
            "rotation_sd": _unlike(scatter.rotation_rad, usual.rotation_rad),
            "lay_low": _unlike(zone.lateral_low_m, reach.lateral_low_m),
            "lay_high": _unlike(zone.lateral_high_m, reach.lateral_high_m),
            "launch_low": _unlike(zone.launch_low_rad, reach.launch_low_rad),
            "launch_high": _unlike(zone.launch_high_rad, reach.launch_high_rad),
        }  # fmt: skip
    return cells


def _bowler(person_id: int, scene: _Named) -> str:
    return scene.bowler_words[person_id - 1]


def _ball_word(ball: Ball, scene: _Named) -> str:
    return scene.ball_words[ball.id - 1]


def _ball(ball: Ball, scene: _Named) -> _Cells:
    guess = not ball.spec_known
    return {
        "ball": ball.name, "cover": ball.cover.value, "nickname": ball.nickname,
        "bowler": _bowler(ball.owner_id, scene), "weight": ball.mass_kg,
        "diameter": ball.radius_m * 2.0,
        "rg": None if guess and ball.rg_m == _USUAL.rg_m else ball.rg_m,
        "differential": ball.differential_m, "intermediate": ball.intermediate_m or None,
        "spec_known": "no" if guess and ball.rg_m != _USUAL.rg_m else None,
        "serial": ball.serial, "spare": ball.spare, "bought": ball.bought_on, "colour": ball.colour, "note": ball.note,
    }  # fmt: skip


def _dumped_lanes(lanes: Sequence[Lane]) -> list[Dumped]:
    grids, rows = [], []
    for lane in lanes:
        cells: dict[str, str | float | bool | date | None] = {
            "condition": lane.name, "surface": lane.surface.value, "house": lane.house, "note": lane.note,
        }  # fmt: skip
        match lane.film:
            case FilmSummary() as film:
                cells |= {"length": film.length_m, "volume": film.volume_m3, "ratio": film.ratio,
                          "ratio_left": film.ratio_left}  # fmt: skip
            case UnknownHouse() as film:
                cells |= {"length_low": film.length_low_m, "length_high": film.length_high_m,
                          "volume_low": film.volume_low_m3, "volume_high": film.volume_high_m3,
                          "ratio_low": film.ratio_low, "ratio_high": film.ratio_high,
                          "boards_sd": film.lane_boards_sd}  # fmt: skip
            case FilmGrid() as film:
                cells["grid"] = f"film-{lane.id}"
                grids.append(Dumped(f"film-{lane.id}", GRID, _nodes(film)))
        rows.append(cells)
    return [Dumped("lanes", LANES, rows), *grids]


def _nodes(film: FilmGrid) -> list[_Cells]:
    return [
        {"distance": distance, "board": board, "height": height}
        for distance, row in zip(film.distance_m, film.height_m, strict=True)
        for board, height in zip(film.boards, row, strict=True)
    ]


def _pad(pad: Pad, scene: _Named) -> _Cells:
    grains: Mapping[str, Callable[[str], str]] = {
        "P": lambda n: f"P{n}", "CAMI": lambda n: f"cami {n}", "JIS": lambda n: f"jis {n}",
        "micron": lambda n: f"{n}um",
    }  # fmt: skip
    number = None if pad.number is None else plain(pad.number)
    return {
        "pad": float(pad.id), "grain": None if number is None else grains.get(pad.scale.value, str)(number),
        "kind": pad.kind, "abrasive": pad.abrasive.value,
        "owner": None if pad.owner_id is None else _bowler(pad.owner_id, scene),
        "uses_hand": pad.uses_hand, "uses_spinner": pad.uses_spinner, "used_up": pad.used_up,
        "bought": pad.bought_on,
    }  # fmt: skip


def _recipe(recipe: Recipe, scene: _Named, to: Numbers) -> _Cells:
    owner = None if recipe.owner_id is None else _bowler(to.people[recipe.owner_id], scene)
    return {"recipe": recipe.name, "steps": typed_steps(recipe.steps), "owner": owner, "note": recipe.note}


def _entry(draft: Draft, scene: _Named) -> _Cells:
    ball, payload = scene.balls[draft.ball_id - 1], draft.payload
    cells: dict[str, str | float | bool | date | None] = {
        "ball": _ball_word(ball, scene), "date": draft.on, "late": draft.late, "bowler": _bowler(ball.owner_id, scene),
    }  # fmt: skip
    if isinstance(payload, Played | Compared | Saw | Shot) and payload.lane_id is not None:
        cells["lane"] = scene.lanes[payload.lane_id - 1].name
        payload = replace(payload, lane_id=None)
    if isinstance(payload, Played) and payload.wiped is not None:
        cells["wiped"] = payload.wiped.value
        payload = replace(payload, wiped=None)
    return {**cells, "entry": typed_entry(replace(draft, payload=payload), scene)}
