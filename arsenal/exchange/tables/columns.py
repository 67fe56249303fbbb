"""The columns of every table: header, unit, what it holds, what an empty cell means. README's table is made from this.

A quantity's header carries its unit; another unit of the same quantity has its own header.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from arsenal.trade.units import (
    BOARD_M,
    DEGREE_RAD,
    FOOT_M,
    INCH_M,
    KMH_MPS,
    MICROMETRE_M,
    MILLILITRE_M3,
    MPH_MPS,
    OIL_UNIT_M,
    POUND_KG,
    RPM_RADPS,
)

NAME_LETTERS = 80


@dataclass(frozen=True)
class Column:
    """One column. `units` maps each header it may have to the SI size of its unit; empty where it is no quantity."""

    name: str
    meaning: str
    needed: bool = False
    units: Mapping[str, float] = field(default_factory=dict)
    limit: str = ""
    """Key of the allowed range, which is in the first unit."""
    also: tuple[str, ...] = ()
    """Other headers that mean it."""
    most: int = 4000
    """Letters it may have; a name has fewer, and no sign that cannot be shown."""
    joined: str = ""
    """What stands between the words of several columns elsewhere that are one of ours, as first and last name are;
    empty where that cannot be."""
    offset: float = 0.0
    """Added to what is typed before it becomes SI: a board's middle lies half a board below its number."""

    @property
    def headers(self) -> tuple[str, ...]:
        """Every header that means this column."""
        return (*(tuple(self.units) or (self.name,)), *self.also)


@dataclass(frozen=True)
class Table:
    """One kind of table."""

    name: str
    columns: tuple[Column, ...]
    purpose: str

    def column(self, header: str) -> Column | None:
        """The column a normalised header means."""
        return next((c for c in self.columns if header in c.headers), None)

    @property
    def headers(self) -> tuple[str, ...]:
        """Every header this table knows."""
        return tuple(h for c in self.columns for h in c.headers)


def normal(header: str) -> str:
    """“Weight (lb)”, “weight lb” and “weight_lb” are one header."""
    return re.sub(r"[^0-9a-zµμ]+", "_", header.strip().casefold().replace("°", " deg ")).strip("_")


def _length(name: str, *units: str) -> dict[str, float]:
    sizes = {"in": INCH_M, "mm": 1e-3, "ft": FOOT_M, "m": 1.0, "um": MICROMETRE_M}
    return {f"{name}_{unit}": sizes[unit] for unit in units}


def _of(header: str, size: float) -> dict[str, float]:
    return {header: size}


_SCATTER = (
    Column("laydown_sd", "scatter of the laydown", units=_of("laydown_sd_boards", BOARD_M)),
    Column("launch_sd", "scatter of the launch", units=_of("launch_sd_deg", DEGREE_RAD)),
    Column("speed_sd", "scatter of the speed", units=_of("speed_sd_mph", MPH_MPS)),
    Column("revs_sd", "scatter of the revs", units=_of("revs_sd_percent", 0.01)),
    Column("rotation_sd", "scatter of the rotation", units=_of("rotation_sd_deg", DEGREE_RAD)),
)
_ZONE = (
    Column("lay_low", "lowest board to lay the ball down on", units=_of("laydown_from_board", BOARD_M), offset=-0.5),
    Column("lay_high", "highest board to lay the ball down on", units=_of("laydown_to_board", BOARD_M), offset=-0.5),
    Column("launch_low", "launch farthest to the gutter", units=_of("launch_from_deg", DEGREE_RAD)),
    Column("launch_high", "launch farthest the other way", units=_of("launch_to_deg", DEGREE_RAD)),
)
BOWLERS = Table(
    "bowlers",
    (
        Column("bowler", "name", needed=True, also=("name",), joined=" ", most=NAME_LETTERS),
        Column("nickname", "the word you type for the bowler", most=NAME_LETTERS),
        Column("hand", "right or left, right if empty"),
        Column("two_handed", "yes or no"),
        Column("back_up", "yes for a back-up ball"),
        Column("speed", "ball speed off the hand", units={"speed_mph": MPH_MPS, "speed_kmh": KMH_MPS}, limit="speed"),
        Column("revs", "rev rate, needed beside a speed", units={"revs_rpm": RPM_RADPS}, limit="revs"),
        Column("rotation", "axis rotation, 45 if empty", units={"rotation_deg": DEGREE_RAD}, limit="rotation"),
        Column("tilt", "axis tilt, 15 if empty", units={"tilt_deg": DEGREE_RAD}, limit="tilt"),
        Column("benchmark", "name of the benchmark ball"),
        Column("usual_lane", "name of the usual condition"),
        Column("games_a_week", "usual pace, 6 if empty"),
        Column("note", "any text", joined="; "),
        *_SCATTER,
        *_ZONE,
        Column(
            "drift",
            "boards from the feet at the start to the laydown",
            limit="feet to laydown",
            units=_of("feet_to_laydown_boards", 1.0),
        ),
        Column(
            "as_read",
            "speed as it was read, where not at the hand",
            limit="speed at the pins",
            units={"speed_as_read_mph": MPH_MPS, "speed_as_read_kmh": KMH_MPS},
        ),
        Column("speed_read_at", "hand, display, average or pins, hand if empty"),
        Column("speed_house", "house whose display it was read on"),
        Column("phone", "how to reach the bowler", joined=", "),
        Column("email", "how to reach the bowler"),
        Column("reminders_agreed", "day on which reminders were agreed to, empty where they were not"),
        Column("minor", "yes for a minor: only the guardian is written to"),
        Column("guardian", "of a minor, with name and phone or e-mail"),
    ),
    "who bowls",
)
BALLS = Table(
    "balls",
    (
        Column("ball", "name", needed=True, also=("name",), joined=" ", most=NAME_LETTERS),
        Column("cover", "solid, hybrid, pearl, urethane or polyester", needed=True),
        Column("nickname", "the word you type for it", most=NAME_LETTERS),
        Column("bowler", "owner, may be empty where there is one bowler", also=("owner",), joined=" "),
        Column("weight", "15 lb if empty", units={"weight_lb": POUND_KG, "weight_kg": 1.0, "weight_g": 1e-3},
               limit="weight"),
        Column("diameter", "8.593 in if empty", units=_length("diameter", "in", "mm"), limit="diameter"),
        Column("rg", "radius of gyration, unknown if empty", units=_length("rg", "in", "mm"), limit="RG"),
        Column("differential", "0.048 in if empty", units=_length("differential", "in", "mm"), limit="differential"),
        Column("intermediate", "intermediate differential, 0 if empty", units=_length("intermediate", "in", "mm"),
               limit="intermediate differential"),
        Column("spec_known", "no where RG and differential are a guess"),
        Column("serial", "serial number", most=NAME_LETTERS),
        Column("spare", "yes for a spare ball"),
        Column("bought", "day, 2026-03-12"),
        Column("colour", "any text"),
        Column("note", "any text", joined="; "),
    ),
    "every ball and its owner",
)  # fmt: skip
LANES = Table(
    "lanes",
    (
        Column("condition", "name of the condition", needed=True, also=("name", "lane"), most=NAME_LETTERS),
        Column("length", "oil length, empty for an unknown house", units=_length("length", "ft", "m"),
               limit="oil length"),
        Column("volume", "oil on the whole lane", units=_of("volume_ml", MILLILITRE_M3), limit="oil volume"),
        Column("ratio", "middle to outside, 8 for 8:1, 1 is flat"),
        Column("ratio_left", "of the left side where it differs"),
        Column("grid", "file name of a film grid beside this file"),
        Column("surface", "wood, wood front, panel or overlay"),
        Column("house", "any text"),
        Column("note", "any text", joined="; "),
        Column("length_low", "unknown house: from", units=_length("length_from", "ft", "m"), limit="oil length"),
        Column("length_high", "unknown house: to", units=_length("length_to", "ft", "m"), limit="oil length"),
        Column("volume_low", "unknown house: from", units=_of("volume_from_ml", MILLILITRE_M3), limit="oil volume"),
        Column("volume_high", "unknown house: to", units=_of("volume_to_ml", MILLILITRE_M3), limit="oil volume"),
        Column("ratio_low", "unknown house: from"),
        Column("ratio_high", "unknown house: to"),
        Column("boards_sd", "unknown house: doubt of the lane in boards"),
    ),
    "lane conditions",
)  # fmt: skip
GRID = Table(
    "film grid",
    (
        Column("distance", "from the foul line", True, _length("distance", "ft", "m"), "distance"),
        Column("board", "from the right gutter", needed=True),
        Column("height", "oil there", True, {"units": OIL_UNIT_M, "height_um": MICROMETRE_M}, "oil height"),
    ),
    "oil measured board by board, every board at every distance",
)
PADS = Table(
    "pads",
    (
        Column("pad", "number on the pad, used by pad #3 in the log, counted where empty"),
        Column("grain", "1000, P1000, jis 1000, 16um, empty for none"),
        Column("kind", "foam, film, …", needed=True),
        Column("abrasive", "grit, non-woven, compound or polish, grit if empty"),
        Column("owner", "bowler, the shop's if empty", also=("bowler",)),
        Column("uses_hand", "balls done by hand"),
        Column("uses_spinner", "balls done on a spinner or machine"),
        Column("used_up", "yes or no"),
        Column("bought", "day, 2026-03-12"),
    ),
    "pads in stock",
)
RECIPES = Table(
    "recipes",
    (
        Column("recipe", "name", needed=True, also=("name",), most=NAME_LETTERS),
        Column("steps", "as one line: 500/1000/2000 m", needed=True),
        Column("owner", "bowler, the shop's if empty", also=("bowler",)),
        Column("note", "any text", joined="; "),
    ),
    "named sequences of steps",
)
LINES = Table(
    "lines",
    (
        Column("bowler", "name", needed=True),
        Column("lane", "name of the condition", needed=True, also=("condition",)),
        Column("laydown", "board at the foul line", True, _of("laydown_board", BOARD_M), "board", offset=-0.5),
        Column("launch", "angle toward the hook side", True, _of("launch_deg", DEGREE_RAD), "launch"),
    ),
    "a bowler's own line on a condition",
)
LOG = Table(
    "log",
    (
        Column("ball", "name or nickname", needed=True),
        Column("date", "day, 2026-03-12", needed=True),
        Column("entry", "what happened, as one line without the ball: 1000 h, 3g, clean, r 2400", needed=True),
        Column("bowler", "owner, where two balls have one name"),
        Column("wiped", "each shot, sometimes or never, for play"),
        Column("lane", "condition, for play or a comparison", also=("condition",)),
        Column("note", "a sentence to keep beside it", joined="; "),
        Column("late", "yes for an entry made from memory"),
    ),
    "what happened to the balls, in the order it was written down",
)
TABLES = (BOWLERS, BALLS, LANES, GRID, PADS, RECIPES, LINES, LOG)


def headers_markdown() -> str:
    """Every header of every table, needed ones in bold."""
    return "\n\n".join(
        "\n".join((f"## {t.name}\n\n{_sentence(t.purpose)}\n\n| header | holds |\n|---|---|", *map(_told, t.columns)))
        for t in TABLES
    )


def needed_markdown() -> str:
    """README's list: each table, what a row is, and the headers it cannot do without."""
    rows = (f"| {t.name} | {t.purpose} | {', '.join(_heads(c) for c in t.columns if c.needed)} |" for t in TABLES)
    return "\n".join(("| table | rows | needed headers |", "|---|---|---|", *rows))


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."


def _heads(column: Column) -> str:
    return " or ".join(f"`{head}`" for head in column.headers)


def _told(column: Column) -> str:
    heads = f"**{_heads(column)}**" if column.needed else _heads(column)
    return f"| {heads} | {column.meaning} |"
