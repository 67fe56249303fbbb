"""Tables out: the same files that `load` reads. What was taken back is left out; JSON Lines keep that too."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

from arsenal.exchange.numbers import plain
from arsenal.exchange.one_line.typed import typed_entry, typed_steps
from arsenal.exchange.one_line.who import Scene
from arsenal.exchange.tables.columns import BALLS, BOWLERS, GRID, LANES, LINES, LOG, PADS, RECIPES, Column, Table
from arsenal.exchange.tables.csv_file import escape, write_sheet
from arsenal.exchange.tables.numbering import (
    Numbers,
    renumbered,
    renumbered_ball,
    renumbered_pad,
    renumbered_person,
)
from arsenal.trade.ball import Ball, Cover
from arsenal.trade.entries import Compared, Draft, Entry, Played, Saw, Shot, Unknown, effective
from arsenal.trade.lane import FilmGrid, FilmSummary, Lane, UnknownHouse
from arsenal.trade.pads import Pad, Recipe
from arsenal.trade.person import Person
from arsenal.trade.release import Scatter, Zone

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


def _cell(column: Column, value: str | float | bool | date | None) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        return escape(value)
    if isinstance(value, bool):
        return "yes" if value else ""
    if isinstance(value, date):
        return value.isoformat()
    return written(column, value) if column.units else plain(value)


def _write(folder: Path, name: str, table: Table, rows: Sequence[_Cells]) -> Path:
    """One table with the columns that hold anything; an empty one has all of them."""
    used = [
        c for c in table.columns if c.needed or not rows or any(r.get(c.name) not in (None, "", False) for r in rows)
    ]
    path = folder / name
    write_sheet(path, [c.headers[0] for c in used], [[_cell(c, r.get(c.name)) for c in used] for r in rows])
    return path


def dump(
    folder: Path,
    people: Sequence[Person],
    balls: Sequence[Ball],
    lanes: Sequence[Lane],
    pads: Sequence[Pad],
    entries: Sequence[Entry],
    recipes: Sequence[Recipe] = (),
) -> tuple[Path, ...]:
    """Write everything that stands as CSV files into `folder`, each whole or not at all. The files written.

    Raises KnownError where a file cannot be written. Entries of kinds this version does not know are left out.
    """
    to = Numbers(*({t.id: n for n, t in enumerate(things, 1)} for things in (people, balls, lanes, pads)))  # type: ignore[attr-defined]
    people = [renumbered_person(p, to) for p in people]
    balls = [renumbered_ball(b, to) for b in balls]
    lanes = [replace(lane, id=to.lanes[lane.id]) for lane in lanes]
    pads = [renumbered_pad(p, to) for p in pads]
    drafts = [
        renumbered(Draft(e.ball_id, e.kind, e.on, e.payload, late=e.late), to)
        for e in sorted(effective(list(entries)), key=lambda e: e.seq)
        if not isinstance(e.payload, Unknown)
    ]
    scene = Scene(balls, date.max, people, pads, lanes, choose_pads=False)
    written_files = [
        _write(folder, "bowlers.csv", BOWLERS, [_person(p, scene) for p in people]),
        _write(folder, "balls.csv", BALLS, [_ball(b, scene) for b in balls]),
        *_write_lanes(folder, lanes),
        _write(folder, "pads.csv", PADS, [_pad(p, scene) for p in pads]),
        _write(folder, "log.csv", LOG, [_entry(d, scene) for d in drafts]),
    ]
    if recipes:
        told = [_recipe(r, scene, to) for r in recipes]
        written_files.append(_write(folder, "recipes.csv", RECIPES, told))
    if any(p.lines for p in people):
        written_files.append(_write(folder, "lines.csv", LINES, _lines(people, lanes, scene)))
    return tuple(written_files)


def _lines(people: Sequence[Person], lanes: Sequence[Lane], scene: Scene) -> list[_Cells]:
    return [
        {"bowler": _bowler(p.id, scene), "lane": lanes[lane_id - 1].name, "laydown": line.lateral_m,
         "launch": line.launch_rad}
        for p in people for lane_id, line in p.lines
    ]  # fmt: skip


def _unlike(value: float, default: float) -> float | None:
    return None if value == default else value


def _person(person: Person, scene: Scene) -> _Cells:
    benchmark = next((b for b in scene.balls if b.id == person.benchmark_ball_id), None)
    lane = next((lane.name for lane in scene.lanes if lane.id == person.usual_lane_id), None)
    cells: dict[str, str | float | bool | date | None] = {
        "bowler": person.name, "nickname": person.nickname, "hand": person.hand.value,
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


def _bowler(person_id: int, scene: Scene) -> str:
    person = next(p for p in scene.people if p.id == person_id)
    twins = [p for p in scene.people if p.name.casefold() == person.name.casefold()]
    return person.nickname if len(twins) > 1 and person.nickname else person.name


def _ball_word(ball: Ball, scene: Scene) -> str:
    """What a row calls a ball: its name, or where its owner has two of that name its nickname or serial."""
    own = [b for b in scene.balls if b.owner_id == ball.owner_id and b.id != ball.id]
    for word in (ball.name, ball.nickname, ball.serial):
        if word and not any(
            word.casefold() in (b.name.casefold(), b.nickname.casefold(), b.serial.casefold()) for b in own
        ):
            return word
    return ball.name


def _ball(ball: Ball, scene: Scene) -> _Cells:
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


def _write_lanes(folder: Path, lanes: Sequence[Lane]) -> list[Path]:
    files, rows = [], []
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
                cells["grid"] = f"film-{lane.id}.csv"
                files.append(_write(folder, f"film-{lane.id}.csv", GRID, _nodes(film)))
        rows.append(cells)
    return [_write(folder, "lanes.csv", LANES, rows), *files]


def _nodes(film: FilmGrid) -> list[_Cells]:
    return [
        {"distance": distance, "board": board, "height": height}
        for distance, row in zip(film.distance_m, film.height_m, strict=True)
        for board, height in zip(film.boards, row, strict=True)
    ]


def _pad(pad: Pad, scene: Scene) -> _Cells:
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


def _recipe(recipe: Recipe, scene: Scene, to: Numbers) -> _Cells:
    owner = None if recipe.owner_id is None else _bowler(to.people[recipe.owner_id], scene)
    return {"recipe": recipe.name, "steps": typed_steps(recipe.steps), "owner": owner, "note": recipe.note}


def _entry(draft: Draft, scene: Scene) -> _Cells:
    ball, payload = scene.ball(draft.ball_id), draft.payload
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
