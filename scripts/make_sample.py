#!/usr/bin/env python3
"""Write the sample shop: an invented place, its people, balls, conditions and nine months of log, as plain CSV tables.

The same seed gives the same files. They are committed; the program reads them and shifts nothing.
"""

from __future__ import annotations

import csv
import math
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from sample_people import BALLS, BOWLERS, BURNT, GUEST, HOUSE, LONG, SPORT, WOOD, Ball, Bowler, D
from sample_practice import days

SAMPLE = Path(__file__).resolve().parent.parent / "resources" / "sample"
BEGAN, TODAY = date(2026, 2, 24), date(2026, 11, 24)
SEED = 20261124
SETTLED = {"solid": 4500, "hybrid": 4500, "pearl": 5000, "urethane": 4000, "polyester": 5500}
SLOW_GAMES = {"solid": 15, "hybrid": 17, "pearl": 20, "urethane": 9, "polyester": 40}


@dataclass
class Row:
    """A row of the log, with its place within the day."""

    on: date
    order: int
    ball: str
    entry: str
    wiped: str = ""
    lane: str = ""
    note: str = ""
    late: str = ""


def sessions(person: Bowler, rng: random.Random) -> list[tuple[date, int, str]]:
    """The days he bowls, with games and condition: leagues, practice, an event now and then, a summer break."""
    found, day = [], BEGAN
    away = date(2026, 7, 6) + timedelta(days=rng.randrange(0, 28))
    while day <= TODAY:
        off = away <= day < away + timedelta(days=9)
        for weekday, games, lane in person.week:
            if day.weekday() == weekday and day < TODAY and not off and rng.random() < 0.94:
                found.append((day, games, lane))
        if day.weekday() == 5 and not off and rng.random() < person.practice:
            lane = rng.choices((person.cells["usual_lane"], SPORT, LONG, BURNT, GUEST), (8, 2, 1, 2, 1))[0]
            found.append((day, rng.choice((2, 3, 4)), lane))
        if day.weekday() == 6 and day.day <= 7 and not off and person.practice > 0.25 and rng.random() < 0.5:
            found.append((day, 6, rng.choice((SPORT, LONG, GUEST))))
        day += timedelta(days=1)
    return found


def split(games: int, own: Sequence[Ball], day: date, rng: random.Random) -> list[tuple[Ball, float]]:
    """Which strike balls a session's games go to."""
    here = [b for b in own if not b.spare and b.bought <= day]
    first = rng.choices(here, [b.share for b in here])[0]
    rest = [b for b in here if b is not first]
    if games == 1 or not rest or rng.random() < 0.3:
        return [(first, games)]
    second = rng.choices(rest, [b.share for b in rest])[0]
    take = rng.randrange(1, games)
    return [(first, games - take), (second, take)]


def play(person: Bowler, rng: random.Random, rows: list[Row]) -> None:
    """His sessions as rows: play, wiping, cleaning; some about, some written down days later."""
    own = [b for b in BALLS if b.bowler == person.name]
    for day, games, lane in sessions(person, rng):
        late = "yes" if rng.random() < 0.03 else ""
        for ball, part in split(games, own, day, rng):
            ball.played.append((day, part))
            entry = f"~{part:g}g" if late else f"{part:g}g"
            if rng.random() < 0.12 and not late:
                entry = f"{round(part * 11 + rng.choice((-2, -1, 1, 2)))}s"
            wiped = rng.choices(("each shot", "sometimes", "never", ""), (70, 18, 4, 8))[0]
            rows.append(Row(day, 50, ball.name, entry, "" if late else wiped, lane, late=late))
            if rng.random() < person.careful:
                rows.append(Row(day, 60, ball.name, "clean"))
            elif rng.random() < 0.5 and day < TODAY - timedelta(days=2):
                rows.append(Row(day + timedelta(days=1), 5, ball.name, "clean later"))
        for ball in own:
            if ball.spare and rng.random() < 0.9:
                shots = games * 4 + rng.choice((-2, -1, 0, 1, 2))
                ball.played.append((day, shots / 11))
                rows.append(Row(day, 55, ball.name, f"{shots}s", "sometimes", lane))


def before_game(ball: Ball, games_ago: float) -> date | None:
    """The day of the session that begins so many games before today's end of the log; None before the log."""
    left = 0.0
    for day, games in sorted(ball.played, reverse=True):
        left += games
        if left >= games_ago - 1e-9:
            return day
    return None


def care(ball: Ball, rng: random.Random, rows: list[Row]) -> None:
    """Refreshing, resurfacing and oil drawn, counted back from the last of each."""
    since, full, oil = ball.last
    resurfaced = _backwards(ball, full, 62.0 if ball.cover != "urethane" else 45.0, rng)
    drawn = _backwards(ball, oil, 80.0, rng)
    refreshed = _backwards(ball, since, ball.every, rng)
    rows += [Row(day, 20, ball.name, ball.full) for day in resurfaced if day not in refreshed[:1]]
    for day in drawn:
        entry = "bath 30 min 2 passes 48 C" if rng.random() < 0.4 else "heat 2 120 F 20 min"
        rows.append(Row(day, 10, ball.name, entry))
    kept = [d for d in refreshed if all(abs((d - r).days) > 9 for r in resurfaced) or d == refreshed[0]]
    rows += [Row(d, 30, ball.name, ball.finish, note="in the lap, by daylight" * (rng.random() < 0.04)) for d in kept]
    weigh(ball, rng, rows, resurfaced, drawn)
    readings(ball, rng, rows, sorted({*refreshed, *resurfaced}))


def _backwards(ball: Ball, first: float, step: float, rng: random.Random) -> list[date]:
    """Session days so many games back and then one every `step` games, newest first."""
    days, at = [], first
    while (day := before_game(ball, at)) is not None and day > ball.bought:
        days.append(day)
        at += step * rng.uniform(0.75, 1.25)
    return days


def weigh(ball: Ball, rng: random.Random, rows: list[Row], resurfaced: list[date], drawn: list[date]) -> None:
    """Weight before and after oil is drawn, diameter at each resurfacing; a thousandth off the radius is about 4 g."""
    grams, inches = ball.spec[0] * 453.59237 + rng.uniform(-25, 0), ball.diameter
    for day in sorted({*resurfaced, *drawn}):
        if rng.random() < 0.6:
            rows.append(Row(day, 9, ball.name, f"{grams:.0f} g"))
        if day in drawn:
            grams -= rng.uniform(3, 7)
        if day in resurfaced:
            off = rng.uniform(0.0006, 0.0012)
            grams, inches = grams - off * 4000, inches - 2 * off
            if rng.random() < 0.5:
                rows.append(Row(day, 22, ball.name, f"{inches:.3f}"))
        if rng.random() < 0.5:
            rows.append(Row(day, 25, ball.name, f"{grams:.0f} g"))


def plays_like(ball: Ball, day: date, set_days: list[date]) -> float | None:
    """A grain a scanner might show: the last finish, settling with play."""
    before = [d for d in set_days if d < day]
    number = ball.finish.rstrip(" hsm").split("/")[-1]
    if not before or not number.isdigit():
        return None
    games = sum(g for d, g in ball.played if before[-1] <= d < day)
    hand = 1.35 if ball.finish.endswith("h") else 1.0
    gap = math.log(SETTLED[ball.cover] / min(float(number) * hand, SETTLED[ball.cover] * 0.98))
    left = 0.45 * math.exp(-games / 1.5) + 0.55 * math.exp(-games / SLOW_GAMES[ball.cover])
    return SETTLED[ball.cover] * math.exp(-gap * left)


def readings(ball: Ball, rng: random.Random, rows: list[Row], set_days: list[date]) -> None:
    """The shop's scanner now and then; hardness of urethane; a drop test."""
    for day, _ in sorted(ball.played):
        grain = plays_like(ball, day, set_days)
        if grain is not None and rng.random() < 0.09:
            shown = grain * math.exp(rng.gauss(0, 0.12))
            rows.append(Row(day, 2, ball.name, f'r {round(shown, -1 if shown < 1000 else -2):g} by "counter scanner"'))
    if ball.cover == "urethane":
        rows.append(Row(date(2026, 3, 17), 1, ball.name, f"d {rng.choice((77, 78, 79))} 73 F"))
    elif not ball.spare and rng.random() < 0.35:
        day = date(2026, 6, 2) + timedelta(days=rng.randrange(120))
        if day > ball.bought:
            rows.append(Row(day, 3, ball.name, f"drop {rng.choice((5, 6, 8, 11))}"))


def life(ball: Ball, rows: list[Row]) -> None:
    """How it came, how it was drilled, when it was looked over."""
    came = max(ball.bought, BEGAN)
    rows.append(Row(came, 0, ball.name, ball.came))
    rows.append(Row(came, 1, ball.name, f'drilled {ball.drilled} by "the shop"'))
    days = sorted({d for d, _ in ball.played})
    for count, day in enumerate(reversed(days), 1):
        if count % 9 == 5 + len(ball.name) % 3:
            rows.append(Row(day, 4, ball.name, "insp"))
    if ball.spare:
        rows += [Row(day, 61, ball.name, "clean") for day in days[::-9]]


def told() -> list[Row]:
    """What only happened once: a crack and its repair, lending, what was seen of two balls, notes, forgotten weeks."""
    return [
        Row(D(2026, 8, 11), 70, "Wren Ladder", "crack hairline bridge", note="Seen after league, put away at once"),
        Row(D(2026, 8, 25), 8, "Wren Ladder", 'repair plugged mends crack "bridge plugged and redrilled"'),
        Row(D(2026, 8, 25), 9, "Wren Ladder", 'insp "plug sits well"'),
        Row(D(2026, 6, 9), 80, "Thistle Hour", "lent Juni Halloran"),
        Row(D(2026, 6, 30), 1, "Thistle Hour", "back from Juni Halloran"),
        Row(D(2026, 5, 16), 58, "Quarry Song", "> lantern 2", lane=HOUSE),
        Row(D(2026, 6, 13), 58, "Rook Hollow", "< lantern 5", lane=HOUSE),
        Row(D(2026, 8, 15), 58, "Umber Kestrel", "> quarry 2", lane=HOUSE),
        Row(D(2026, 9, 12), 58, "Umber Kestrel", "> lantern 4", lane=HOUSE),
        Row(D(2026, 9, 26), 58, "Paper Moth", "< lantern 2", lane=SPORT),
        Row(D(2026, 10, 10), 58, "Quarry Song", "> tide 1", lane=HOUSE),
        Row(D(2026, 10, 31), 58, "Bramble Vow", "= lantern", lane=HOUSE),
        Row(D(2026, 11, 14), 58, "Rook Hollow", "< lantern 6", lane=HOUSE),
        Row(D(2026, 9, 19), 58, "Rust Heron", "> anvil 3", lane=SPORT),
        Row(D(2026, 10, 3), 58, "Harrow Tern", "< cinder 2", lane=HOUSE),
        Row(D(2026, 7, 18), 58, "Slow Lantern", "~4g", lane=GUEST, note="Holiday", late="yes"),
        Row(D(2026, 7, 19), 58, "Paper Moth", "~3g", lane=GUEST, late="yes"),
        Row(D(2026, 4, 28), 58, "Amber Sluice", "note thumb insert rubs, bring tape"),
        Row(D(2026, 10, 20), 59, "Umber Kestrel", "note too early when the track dries, ball down"),
        Row(D(2026, 5, 7), 31, "Gate Nine", "1000 h track only", note="Only the track was done before league"),
        Row(D(2026, 9, 1), 31, "Long Causeway", 'ra 17 by "shop gauge"'),
        Row(D(2026, 9, 1), 32, "Long Causeway", "g60 22"),
        Row(D(2026, 11, 23), 30, "Umber Kestrel", "500 h", note="For league on Tuesday"),
        Row(TODAY, 40, "Quarry Song", "14s", "each shot", HOUSE),
        Row(TODAY, 41, "Quarry Song", "saw high", lane=HOUSE),
    ]  # fmt: skip


def late_ones(rows: list[Row], rng: random.Random) -> list[Row]:
    """In order of days, but a few rows stand where they were remembered, days later."""
    rows.sort(key=lambda r: (r.on, r.order))
    for place in range(len(rows) - 60, 0, -1):
        if rows[place].late:
            row = rows.pop(place)
            rows.insert(min(place + rng.randrange(8, 40), len(rows)), row)
    return rows


def oil(board: float, distance_ft: float) -> float:
    """Units of the house condition: flat middle, thin outside, thinning down the lane, 41 ft."""
    side = min(board, 40 - board)
    across = 1.0 if side >= 12 else max(0.125, (side / 12) ** 1.6)
    along = 1.25 - 0.5 * distance_ft / 41 if distance_ft <= 30 else (0.884 * (41 - distance_ft) / 11)
    return 17.5 * across * max(along, 0.0)


def burnt(board: float, distance_ft: float) -> float:
    """After two blocks of right-handers: track and front dry, a little carried past the end."""
    track = math.exp(-(((board - 12 + distance_ft * 0.06) / 4.5) ** 2))
    left = 1.0 - 0.8 * track * (1.0 if distance_ft <= 38 else 0.0) - 0.15 * (distance_ft <= 15)
    carried = 1.2 * math.exp(-(((board - 10) / 4) ** 2)) if 41 <= distance_ft <= 47 else 0.0
    return oil(board, distance_ft) * left + carried


def write(name: str, header: Sequence[str], rows: Sequence[dict[str, str]]) -> None:
    """One table with a plain header, CRLF as RFC 4180 has it."""
    with (SAMPLE / name).open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, header, restval="")
        writer.writeheader()
        writer.writerows(rows)


def told_oil(length_ft: str, volume_ml: str, ratio: str) -> dict[str, str]:
    """A condition as a house tells it."""
    return {"length_ft": length_ft, "volume_ml": volume_ml, "ratio": ratio}


def write_lanes() -> None:
    """Conditions, and the burnt one's film."""
    header = ["condition", "length_ft", "volume_ml", "ratio", "grid", "surface", "house", "note"]
    home = {"surface": "panel", "house": "home house"}
    rows = [
        {"condition": HOUSE, **told_oil("41", "25", "8"), **home},
        {"condition": GUEST, "surface": "overlay", "house": "guest houses", "note": "Will not tell"},
        {"condition": SPORT, **told_oil("40", "26", "2"), **home},
        {"condition": LONG, **told_oil("47", "28", "5"), **home},
        {"condition": BURNT, "grid": "film-burnt.csv", "surface": "panel", "house": "home house",
         "note": "After two blocks of right-handers, measured board by board"},
        {"condition": WOOD, **told_oil("38", "22", "6"), "surface": "wood front",
         "house": "old house"},
    ]  # fmt: skip
    write("lanes.csv", header, rows)
    nodes = [
        {"distance_ft": f"{d:g}", "board": str(b), "units": f"{burnt(b, d):.1f}"}
        for d in (0, 5, 10, 15, 20, 25, 30, 34, 38, 40, 41, 44, 47, 50, 60)
        for b in range(1, 40)
    ]
    write("film-burnt.csv", ["distance_ft", "board", "units"], nodes)


def write_stock() -> None:
    """Pads: Mirel's own and the shop's."""
    own, foam = "Mirel Oster", "foam"
    stock = (
        ("500", foam, "", own, 3, 0, ""), ("1000", foam, "", own, 6, 0, ""), ("1500", foam, "", own, 2, 0, ""),
        ("2000", foam, "", own, 1, 0, ""), ("3000", "film", "", own, 4, 0, ""), ("4000", foam, "", own, 19, 0, "yes"),
        ("500", foam, "", "", 0, 7, ""), ("1000", foam, "", "", 2, 9, ""), ("1500", foam, "", "", 0, 4, ""),
        ("2000", foam, "", "", 0, 11, ""), ("P3000", "film", "", "", 0, 2, ""), ("360", foam, "", "", 0, 5, ""),
        ("", "liquid", "polish", "", 0, 6, ""), ("", "sheet", "non-woven", "", 4, 0, ""),
        ("1000", foam, "", "Cato Windt", 5, 0, ""), ("2000", foam, "", "Anneke Roos", 3, 0, ""),
    )  # fmt: skip
    header = ["pad", "grain", "kind", "abrasive", "owner", "uses_hand", "uses_spinner", "used_up"]
    rows = [dict(zip(header, (str(n), *map(str, cells)), strict=True)) for n, cells in enumerate(stock, 1)]
    write("pads.csv", header, rows)


def write_balls() -> None:
    """Every ball."""
    header = ["ball", "nickname", "bowler", "cover", "weight_lb", "diameter_in", "rg_in", "differential_in",
              "intermediate_in", "serial", "spare", "bought", "colour"]  # fmt: skip
    rows = []
    for ball in BALLS:
        weight, rg, differential, intermediate = ball.spec
        rows.append({
            "ball": ball.name, "nickname": ball.nickname, "bowler": ball.bowler, "cover": ball.cover,
            "weight_lb": f"{weight:g}", "diameter_in": f"{ball.diameter:g}", "rg_in": f"{rg:.2f}",
            "differential_in": f"{differential:.3f}", "intermediate_in": f"{intermediate:.3f}" if intermediate else "",
            "serial": ball.serial, "spare": "yes" if ball.spare else "", "bought": ball.bought.isoformat(),
            "colour": ball.colour,
        })  # fmt: skip
    write("balls.csv", header, rows)


def write_recipes() -> None:
    """Recipes: the shop's and Mirel's own."""
    rows = [
        {"recipe": "House solid", "steps": "500/1000/2000 s", "owner": "", "note": "full sequence, whole ball"},
        {"recipe": "Rough urethane", "steps": "500/1000 s", "owner": "", "note": ""},
        {"recipe": "Late pearl", "steps": "1500/p s", "owner": "Mirel Oster", "note": "for the end of the block"},
    ]
    write("recipes.csv", ["recipe", "steps", "owner", "note"], rows)


def log_rows() -> list[Row]:
    """Everybody's nine months."""
    rng, rows = random.Random(SEED), list[Row]()  # noqa: S311  (an invented shop, no secret)
    for person in BOWLERS:
        play(person, rng, rows)
    steps: tuple[Callable[[Ball], None], ...] = (lambda b: care(b, rng, rows), lambda b: life(b, rows))
    for ball in BALLS:
        for step in steps:
            step(ball)
    rows += told()
    rows += [Row(on, order, ball, entry, "each shot", HOUSE) for on, order, ball, entry in days()]
    return late_ones([r for r in rows if BEGAN <= r.on <= TODAY], rng)


def main() -> None:
    """Write all of it."""
    SAMPLE.mkdir(parents=True, exist_ok=True)
    write("bowlers.csv", list(BOWLERS[0].cells), [b.cells for b in BOWLERS])
    write_balls()
    write_lanes()
    write_stock()
    write_recipes()
    rows = log_rows()
    header = ["date", "ball", "entry", "wiped", "lane", "note", "late"]
    write("log.csv", header, [
        {"date": r.on.isoformat(), "ball": r.ball, "entry": r.entry, "wiped": r.wiped, "lane": r.lane, "note": r.note,
         "late": r.late} for r in rows
    ])  # fmt: skip
    print(f"{len(BOWLERS)} bowlers, {len(BALLS)} balls, {len(rows)} rows of log in {SAMPLE}")


if __name__ == "__main__":
    main()
