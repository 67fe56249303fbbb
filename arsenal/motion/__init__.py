"""One ball, one release, one lane: path, phases, skid left, best line."""

from arsenal.motion.batches import Runs, Throws, batch, throws, trace
from arsenal.motion.beds import Bed, BedStack, bed, beds
from arsenal.motion.bodies import body_of, grit_of, reference
from arsenal.motion.grips import NORMALS, Grip, finish_of, grip, grip_draws, kept_share, taught_rows, tie_of, with_film
from arsenal.motion.lines import arrow_distance_m, at_arrows, best_line, word_of
from arsenal.motion.maps import Friction, Grid, Steps, grid, steps
from arsenal.motion.rolling import Path, Place, roll
from arsenal.motion.warming import warm
from arsenal.trade.ball import Body
from arsenal.trade.release import Release

MODEL_VERSION = "2"
"""Changes whenever the same inputs would give other numbers; stored with every result."""

__all__ = [
    "MODEL_VERSION",
    "NORMALS",
    "Bed",
    "BedStack",
    "Body",
    "Friction",
    "Grid",
    "Grip",
    "Path",
    "Place",
    "Release",
    "Runs",
    "Steps",
    "Throws",
    "arrow_distance_m",
    "at_arrows",
    "batch",
    "bed",
    "beds",
    "best_line",
    "body_of",
    "finish_of",
    "grid",
    "grip",
    "grip_draws",
    "grit_of",
    "kept_share",
    "reference",
    "roll",
    "steps",
    "taught_rows",
    "throws",
    "tie_of",
    "trace",
    "warm",
    "with_film",
    "word_of",
]
