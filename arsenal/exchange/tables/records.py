"""Rows of the tables as records of the trade: bowler, ball, condition, pad. Raises Bad with the field."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from arsenal.exchange.one_line.finish import read_grain, read_recipe
from arsenal.exchange.one_line.tokens import Cursor
from arsenal.exchange.tables.problems import Bad, reason_of
from arsenal.exchange.tables.rows import Row
from arsenal.trade.ball import Ball, Cover
from arsenal.trade.entries import Abrasive, Scale
from arsenal.trade.errors import KnownError
from arsenal.trade.lane import Film, FilmGrid, FilmSummary, Lane, LaneSurface, UnknownHouse
from arsenal.trade.limits import LIMITS
from arsenal.trade.pads import Pad, Recipe
from arsenal.trade.person import Hand, Person, ReadAt, SpeedReading
from arsenal.trade.release import Line, Scatter, Style, Zone
from arsenal.trade.units import DEGREE_RAD

_USUAL = Ball(0, "", "", 0, Cover.SOLID)
_OILED = ("length", "volume", "ratio", "ratio_left")
_SPREAD = ("length_low", "length_high", "volume_low", "volume_high", "ratio_low", "ratio_high", "boards_sd")


def _or(value: float | None, default: float) -> float:
    return default if value is None else value


def style_of(row: Row) -> Style | None:
    """How the bowler throws; None where no speed is given."""
    speed, revs, read = row.quantity("speed"), row.quantity("revs"), speed_reading_of(row)
    if speed is None and read is not None:
        speed = read.at_hand_mps()
    if speed is None and revs is None:
        return None
    if speed is None or revs is None:
        raise Bad(row.header("speed" if speed is None else "revs"), "Speed and revs go together; one is empty.")
    usual, reach = Scatter(), Zone()
    scatter = Scatter(
        _or(row.quantity("laydown_sd"), usual.laydown_m),
        _or(row.quantity("launch_sd"), usual.launch_rad),
        _or(row.quantity("speed_sd"), usual.speed_mps),
        _or(row.quantity("revs_sd"), usual.revs_fraction),
        _or(row.quantity("rotation_sd"), usual.rotation_rad),
    )
    zone = Zone(
        _or(row.quantity("lay_low"), reach.lateral_low_m),
        _or(row.quantity("lay_high"), reach.lateral_high_m),
        _or(row.quantity("launch_low"), reach.launch_low_rad),
        _or(row.quantity("launch_high"), reach.launch_high_rad),
    )
    rotation, tilt = row.quantity("rotation", 45.0 * DEGREE_RAD), row.quantity("tilt", 15.0 * DEGREE_RAD)
    return Style(speed, revs, _or(rotation, 0.0), _or(tilt, 0.0), scatter, zone)


def person_of(row: Row, number: int, today: date) -> Person:
    """A bowler; benchmark, usual condition and lines are filled in when all tables are read."""
    pace = LIMITS["games a week"]
    return Person(
        number,
        row.text("bowler"),
        row.text("nickname"),
        row.one_of("hand", Hand, Hand.RIGHT),
        row.yes("two_handed"),
        row.yes("back_up"),
        style_of(row),
        games_a_week=_or(row.number_in("games_a_week", 6.0, pace.low, pace.high), 6.0),
        note=row.text("note"),
        stance_to_laydown_boards=row.quantity("drift"),
        speed_reading=speed_reading_of(row),
        phone=row.text("phone"),
        email=row.text("email"),
        reminders_consented_on=row.day("reminders_agreed", today),
        minor=row.yes("minor"),
        guardian=row.text("guardian"),
    )


def speed_reading_of(row: Row) -> SpeedReading | None:
    """The speed as it was read; None where it was read at the hand, or not told."""
    value, at = row.quantity("as_read"), row.one_of("speed_read_at", ReadAt, ReadAt.HAND)
    if value is None and at is not ReadAt.HAND:
        raise Bad(row.header("as_read"), f"A speed read at the {at.value} is missing.")
    if value is None or at is ReadAt.HAND:
        return None
    return SpeedReading(at, value, row.text("speed_house"))


def ball_of(row: Row, number: int, owner_id: int, today: date) -> Ball:
    """A ball of the given owner."""
    diameter = row.quantity("diameter")
    rg = row.quantity("rg")
    radius = _USUAL.radius_m if diameter is None else diameter / 2.0
    if rg is not None and rg >= radius:
        raise Bad(
            row.header("rg"), f"RG {rg / 0.0254:.3f} in is not under the ball's radius, {radius / 0.0254:.3f} in."
        )
    differential = row.quantity("differential", _USUAL.differential_m)
    intermediate = row.quantity("intermediate", 0.0)
    if _or(intermediate, 0.0) > _or(differential, 0.0):
        raise Bad(row.header("intermediate"), "The intermediate differential is larger than the differential.")
    return Ball(
        number,
        row.text("ball"),
        row.text("nickname"),
        owner_id,
        row.one_of("cover", Cover),
        _or(row.quantity("weight"), _USUAL.mass_kg),
        radius,
        _or(rg, _USUAL.rg_m),
        _or(differential, 0.0),
        _or(intermediate, 0.0),
        row.text("serial"),
        row.yes("spare"),
        row.day("bought", today),
        row.text("colour"),
        row.text("note"),
        row.yes("spec_known", default=rg is not None),
    )


def lane_of(row: Row, number: int, grid: FilmGrid | None) -> Lane:
    """A condition: a measured grid, a summary, or an unknown house."""
    return Lane(
        number,
        row.text("condition"),
        _film(row, grid),
        row.one_of("surface", LaneSurface, LaneSurface.PANEL),
        row.text("house"),
        row.text("note"),
    )


def _film(row: Row, grid: FilmGrid | None) -> Film:
    given = [name for name in _OILED if row.text(name)]
    spread = [name for name in _SPREAD if row.text(name)]
    if grid is not None:
        if given + spread:
            raise Bad(row.header((given + spread)[0]), "A film grid says this already; leave one of them empty.")
        return grid
    if given:
        if spread:
            raise Bad(row.header(spread[0]), "This belongs to an unknown house; leave it empty beside a known oil.")
        missing = next((name for name in _OILED[:3] if name not in given), None)
        if missing:
            raise Bad(row.header(missing), "Length, volume and ratio go together; this one is empty.")
        low, high = LIMITS["oil ratio"].low, LIMITS["oil ratio"].high
        return FilmSummary(
            _or(row.quantity("length"), 0.0),
            _or(row.quantity("volume"), 0.0),
            _or(row.number_in("ratio", None, low, high), 1.0),
            row.number_in("ratio_left", None, low, high),
        )
    return _unknown(row)


def _unknown(row: Row) -> UnknownHouse:
    usual = UnknownHouse()
    low, high = LIMITS["oil ratio"].low, LIMITS["oil ratio"].high
    film = UnknownHouse(
        _or(row.quantity("length_low"), usual.length_low_m),
        _or(row.quantity("length_high"), usual.length_high_m),
        _or(row.quantity("volume_low"), usual.volume_low_m3),
        _or(row.quantity("volume_high"), usual.volume_high_m3),
        _or(row.number_in("ratio_low", None, low, high), usual.ratio_low),
        _or(row.number_in("ratio_high", None, low, high), usual.ratio_high),
        _or(row.number_in("boards_sd", None, 0.0, 20.0), usual.lane_boards_sd),
    )
    pairs = (
        ("length_high", film.length_low_m, film.length_high_m),
        ("volume_high", film.volume_low_m3, film.volume_high_m3),
        ("ratio_high", film.ratio_low, film.ratio_high),
    )
    for name, least, most in pairs:
        if least > most:
            raise Bad(row.header(name), "The upper end lies under the lower one.")
    return film


def pad_of(row: Row, number: int, owner_id: int | None, today: date) -> Pad:
    """A pad in stock."""
    abrasive = row.one_of("abrasive", Abrasive, Abrasive.GRIT)
    grain, scale = _grain_of(row)
    if grain is None and abrasive is Abrasive.GRIT:
        raise Bad(row.header("grain"), "A grit pad needs its grain, as in 1000 or P1000.")
    return Pad(
        number,
        grain,
        scale,
        abrasive,
        row.text("kind"),
        owner_id,
        _or(row.number_in("uses_hand", 0.0, 0.0, 1e5), 0.0),
        _or(row.number_in("uses_spinner", 0.0, 0.0, 1e5), 0.0),
        row.yes("used_up"),
        row.day("bought", today),
    )


def recipe_of(row: Row, number: int, owner_id: int | None) -> Recipe:
    """A named sequence of steps."""
    try:
        steps = read_recipe(row.text("steps"))
    except KnownError as error:
        raise Bad(row.header("steps"), reason_of(error)) from None
    return Recipe(row.text("recipe"), steps, number, owner_id, row.text("note"))


def _grain_of(row: Row) -> tuple[float | None, Scale]:
    text = row.text("grain")
    if not text:
        return None, Scale.PLAIN
    try:
        cursor = Cursor(text)
        found = read_grain(cursor)
        if found is None or not cursor.done:
            raise Bad(row.header("grain"), f"“{text}” is no grain; write 1000, P1000, jis 1000 or 16um.")
    except KnownError as error:
        raise Bad(row.header("grain"), reason_of(error)) from None
    return found


def line_of(row: Row) -> Line:
    """A bowler's own line."""
    return Line(_or(row.quantity("laydown"), 0.0), _or(row.quantity("launch"), 0.0))


def grid_of(rows: Sequence[Row]) -> FilmGrid:
    """A measured film; every board at every distance. Raises Bad for a node that is missing or told twice."""
    limit = LIMITS["board"]
    nodes: dict[tuple[float, float], float] = {}
    for row in rows:
        distance, height = _or(row.quantity("distance"), 0.0), _or(row.quantity("height"), 0.0)
        board = _or(row.number_in("board", None, limit.low, limit.high), 0.0)
        if (distance, board) in nodes:
            raise Bad(f"row {row.number}", f"Board {board:g} at this distance was told before.")
        nodes[distance, board] = height
    distances = sorted({d for d, _ in nodes})
    boards = sorted({b for _, b in nodes})
    if len(distances) < 2 or len(boards) < 2:
        raise Bad("", "A film grid needs at least two distances and two boards.")
    for distance in distances:
        for board in boards:
            if (distance, board) not in nodes:
                raise Bad("", f"Board {board:g} at {distance / 0.3048:g} ft is missing.")
    return FilmGrid(tuple(distances), tuple(boards), tuple(tuple(nodes[d, b] for b in boards) for d in distances))
