"""Every kind of log entry as a form: what it asks and the payload it makes, in the order of the trade."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from arsenal.desk.bench.forms_fields import Around, Choices, Form, Heat, Made, Number, Pick, Steps, Text, Values
from arsenal.desk.bench.forms_shot import SHOT
from arsenal.exchange import one_line
from arsenal.exchange.one_line.play import ABOUT_SD
from arsenal.trade.entries import (
    Abrasive,
    Cleaned,
    Compared,
    Crack,
    Drilled,
    DropTest,
    Handed,
    Inspected,
    Kind,
    New,
    Note,
    OilDrawn,
    OilMethod,
    Played,
    Quantity,
    Reading,
    Repair,
    Saw,
    Seen,
    SurfaceWork,
    Wiped,
)
from arsenal.trade.errors import KnownError
from arsenal.trade.limits import Limit
from arsenal.trade.units import SHOTS_A_GAME

SURFACE, PLAY, CARE, MEASURED = "Surface work", "Played", "Cared for", "Measured"
LOOKED, LIFE, WORDS = "Looked over", "Its life", "In words"
YES_NO: Choices = (("yes", True), ("no", False))
SHINES = (Abrasive.POLISH, Abrasive.COMPOUND)
DOUBT_BOARDS = Limit("doubt", 0.1, 20.0, "boards")
MOST_BALLS = 60
NOT_SAID = ("not said", None)


def _lanes(around: Around) -> Choices:
    return (NOT_SAID, *((lane.name, lane.id) for lane in around.lanes))


def _other_balls(around: Around) -> Choices:
    others = [ball for ball in around.balls if ball.id != around.ball.id]
    own = [ball for ball in others if ball.owner_id == around.ball.owner_id]
    return [(ball.name, ball.id) for ball in (own or others)[:MOST_BALLS]]


def _work(values: Values, _around: Around) -> Made:
    steps = tuple(values["steps"])
    shine = all(step.abrasive in SHINES for step in steps)
    work = SurfaceWork(steps, bool(values["whole"]), bool(values["in_competition"]))
    return Made(Kind.POLISHED if shine else Kind.SANDED, work)


_WORK = (
    Pick("whole", "Where", (("the whole surface", True), ("only part of it", False)), True),
    Pick("in_competition", "When", (("outside competition", False), ("during competition", True)), False),
)


def _played(values: Values, _around: Around) -> Made:
    games = values["games"] if values["unit"] == "games" else None
    shots = games * SHOTS_A_GAME if games is not None else values["shots"]
    sd = ABOUT_SD if values["about"] else 0.0
    return Made(Kind.PLAYED, Played(shots, sd, games, values["lane"], values["wiped"]))


def _compared(values: Values, _around: Around) -> Made:
    boards = values["way"] * values["boards"] if values["way"] else 0.0
    return Made(Kind.COMPARED, Compared(values["other"], boards, values["sd"], values["lane"]))


def _saw(values: Values, _around: Around) -> Made:
    return Made(Kind.SAW, Saw(values["seen"], values["lane"]))


def _cleaned(values: Values, _around: Around) -> Made:
    return Made(Kind.CLEANED, Cleaned(bool(values["same_night"])))


def _oil(values: Values, _around: Around) -> Made:
    drawn = OilDrawn(values["method"], values["temperature"], values["minutes"], int(values["passes"]))
    return Made(Kind.OIL_DRAWN, drawn)


def _reading(quantity: Quantity) -> Callable[[Values, Around], Made]:
    def make(values: Values, _around: Around) -> Made:
        reading = Reading(
            quantity, values["value"], values.get("instrument", ""), gloss_angle_deg=values.get("angle"),
            temperature_c=values.get("temperature"),
        )  # fmt: skip
        return Made(Kind.READING, reading)

    return make


def _drop_test(values: Values, _around: Around) -> Made:
    return Made(Kind.DROP_TEST, DropTest(values["minutes"]))


def _inspected(values: Values, _around: Around) -> Made:
    return Made(Kind.INSPECTED, Inspected(values["found"]))


def _crack(values: Values, _around: Around) -> Made:
    return Made(Kind.CRACK, Crack(values["where"], bool(values["through"])))


def _repair(values: Values, _around: Around) -> Made:
    return Made(Kind.REPAIR, Repair(values["what"], bool(values["plugged"]), bool(values["mends_crack"])))


def _new(values: Values, around: Around) -> Made:
    finish = values["finish"]
    steps = _box_finish(finish, around) if finish else ()
    known = bool(values["known"])
    return Made(Kind.NEW, New(steps, known, None if known else values["games_before"]), finish)


def _box_finish(finish: str, around: Around) -> Any:
    read = one_line.read(f"new box {finish}", balls=[around.ball], ball_id=around.ball.id, today=around.today)
    payloads = [draft.payload for draft in read.drafts]
    if len(payloads) != 1 or not isinstance(payloads[0], New) or not payloads[0].finish:
        raise KnownError(f"“{finish}” is no finish.", next_step="Write it like 500/2000 m, 1000 h or polish.")
    return payloads[0].finish


def _drilled(values: Values, _around: Around) -> Made:
    holes, used = int(values["holes"]), int(values["used"])
    return Made(Kind.DRILLED, Drilled(values["pin"], holes, used, bool(values["palm"]), values["driller"]))


def _handed(kind: Kind) -> Callable[[Values, Around], Made]:
    def make(values: Values, around: Around) -> Made:
        to = values.get("to", "")
        same = [person.id for person in around.people if to and person.name.casefold() == to.casefold()]
        return Made(kind, Handed(to, same[0] if len(same) == 1 else None))

    return make


def _note(values: Values, _around: Around) -> Made:
    return Made(Kind.NOTE, Note(values["text"]))


def _measured(key: str, title: str, quantity: Quantity, limit: str, hint: str, *more: Pick | Heat) -> Form:
    fields = (Number("value", title, limit, required=True), *more, Text("instrument", "Read with", hint))
    return Form(key, MEASURED, title, fields, _reading(quantity))


_ANGLES: Choices = (("20°", 20.0), ("60°", 60.0), ("85°", 85.0), NOT_SAID)
_HEAT = (
    "Never above 130 °F (54 °C). Let it cool slowly before it is handled.",
    "Clean first, inserts and slugs out. Plugged or cracked: ask a licensed or certified practitioner. "
    "The maker’s sheet and local rules come first.",
)

DUST = (
    "Sanding makes dust: wet keeps it down; dry, a mask and eye protection.",
    "On a spinner: hair, sleeves, gloves and jewellery away, guards by the local rule. Local codes come first.",
)
SPINNER = (
    "On a spinner: hair, sleeves, gloves and jewellery away, guards by the local rule.",
    "Polish and compound: air in the room, gloves by the maker’s sheet. Local codes come first.",
)

FORMS: tuple[Form, ...] = (
    Form("sanded", SURFACE, "Sanded", (Steps("steps", "Steps"), *_WORK), _work, DUST, blames="steps"),
    Form("polished", SURFACE, "Polished or compounded", (Steps("steps", "Steps", shine=True), *_WORK), _work, SPINNER,
         blames="steps"),
    Form("played", PLAY, "Played", (
        Pick("unit", "Counted in", (("games", "games"), ("shots", "shots")), "games"),
        Number("games", "Games", "games", required=True, only=("unit", ("games",))),
        Number("shots", "Shots", "shots", required=True, only=("unit", ("shots",))),
        Pick("about", "Known", (("exactly", False), ("about", True)), False),
        Pick("lane", "On", _lanes),
        Pick("wiped", "Wiped", (("each shot", Wiped.EACH), ("sometimes", Wiped.SOMETIMES), ("never", Wiped.NEVER),
                                NOT_SAID)),
    ), _played),
    Form("compared", PLAY, "Against another ball", (
        Pick("other", "Against", _other_balls),
        Pick("way", "It ends", (("stronger", 1.0), ("weaker", -1.0), ("the same", 0)), 1.0),
        Number("boards", "By", "boards", required=True, only=("way", (1.0, -1.0))),
        Number("sd", "Give or take", DOUBT_BOARDS, required=True, start=1.5),
        Pick("lane", "Seen on", _lanes),
    ), _compared, blames="other"),
    Form("saw", PLAY, "What a shot did", (
        Pick("seen", "It was", tuple((seen.value, seen) for seen in Seen), Seen.FLUSH),
        Pick("lane", "Seen on", _lanes),
    ), _saw),
    SHOT,
    Form("cleaned", CARE, "Cleaned", (
        Pick("same_night", "When", (("the same night", True), ("later", False)), True),
    ), _cleaned),
    Form("oil drawn", CARE, "Oil drawn out", (
        Pick("method", "How", (("in a hot-water bath", OilMethod.BATH), ("in a heat cabinet", OilMethod.HEAT),
                               ("in another way", OilMethod.OTHER))),
        Heat("temperature", "Temperature"),
        Number("minutes", "Time", "minutes"),
        Number("passes", "Passes", "passes", required=True, whole=True, start=1.0),
    ), _oil, _HEAT),
    _measured("scanner", "Scanner number", Quantity.SCANNER_GRIT, "scanner number", "which scanner; two do not agree"),
    _measured("roughness", "Roughness Ra", Quantity.RA, "Ra", "which instrument"),
    _measured("gloss", "Gloss", Quantity.GLOSS, "gloss", "which instrument", Pick("angle", "Angle", _ANGLES, 60.0)),
    _measured("weight", "Weight", Quantity.MASS, "weight", "which scale"),
    _measured("hardness", "Hardness", Quantity.HARDNESS, "hardness", "which durometer",
              Heat("temperature", "Ball at")),
    _measured("diameter", "Diameter", Quantity.DIAMETER, "diameter", "which gauge"),
    Form("drop test", MEASURED, "Drop test", (
        Number("minutes", "Gone after", "drop test", required=True),
    ), _drop_test),
    Form("inspected", LOOKED, "Inspected", (Text("found", "Found", "nothing, or what was seen"),), _inspected),
    Form("crack", LOOKED, "Crack found", (
        Text("where", "Where", "bridge, track, thumb edge"),
        Pick("through", "How deep", (("hairline", False), ("through", True)), False),
    ), _crack, ("No heat, and no work on it yet.", "Show it to a licensed or certified practitioner first.")),
    Form("repair", LOOKED, "Repaired", (
        Text("what", "What was done", "thumb plugged and redrilled"),
        Pick("plugged", "It is plugged now", YES_NO, False),
        Pick("mends_crack", "It mends the crack", YES_NO, False),
    ), _repair),
    Form("new", LIFE, "How it came", (
        Pick("known", "It came", (("new", True), ("used, history unknown", False)), True),
        Text("finish", "Box finish", "as stated: 500/2000 m, polish"),
        Number("games_before", "Games before", "games", only=("known", (False,))),
    ), _new, blames="finish"),
    Form("drilled", LIFE, "Drilled", (
        Number("pin", "Pin to axis", "pin-to-axis"),
        Number("holes", "Gripping holes", "holes", required=True, whole=True, start=3.0),
        Number("used", "Of them used", "holes", required=True, whole=True, start=3.0),
        Pick("palm", "Palm mark", YES_NO, False),
        Text("driller", "Drilled by", "", people=True),
    ), _drilled, blames="used"),
    Form("lent", LIFE, "Lent", (Text("to", "To", "whom", "Say to whom it was lent.", people=True),),
         _handed(Kind.LENT)),
    Form("returned", LIFE, "Returned", (Text("to", "From", "whom", people=True),), _handed(Kind.RETURNED)),
    Form("sold", LIFE, "Sold", (Text("to", "To", "whom", people=True),), _handed(Kind.SOLD)),
    Form("retired", LIFE, "Retired", (), _handed(Kind.RETIRED)),
    Form("note", WORDS, "Note", (
        Text("text", "Note", "a sentence to keep", "The note is empty.", most=4000),
    ), _note),
)  # fmt: skip

BY_KEY = {form.key: form for form in FORMS}
