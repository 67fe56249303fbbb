"""From a ball's log to what is on it now, what play will make of it, and what a pad would."""

from arsenal.surface.ahead import after_work, foresee
from arsenal.surface.folding import FOLD_VERSION, Learned, fold
from arsenal.surface.learning import Taught, learned, taught
from arsenal.surface.moments import timeline
from arsenal.surface.state import Estimate, Holder, Moment, SettledIn, SurfaceState
from arsenal.surface.work import cuts, is_resurface, minutes, uses_as

__all__ = [
    "FOLD_VERSION", "Estimate", "Holder", "Learned", "Moment", "SettledIn", "SurfaceState", "Taught", "after_work",
    "cuts", "fold", "foresee", "is_resurface", "learned", "minutes", "taught", "timeline", "uses_as",
]  # fmt: skip
