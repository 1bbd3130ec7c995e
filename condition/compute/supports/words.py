"""What the screening of supports leaves out, and who decides: said wherever its figures stand."""

from typing import Final

SCREENING: Final = (
    "A screening aid, not a design. It shows which bars to look at first. Whether a window is "
    "safe, and any change to its bars, is for a licensed engineer under the local code; how an old "
    "bar is judged is for the surveyor who has seen it."
)
HISTORIC_BAR: Final = (
    "L/175 is a rule for new glazing. An old bar may have bent more for a century without harm: "
    "weigh the ratio with ties, bows and cracks."
)
WEIGHT_ALONE: Final = (
    "What the panels are reckoned to weigh, by an even load. Ties, dirt and what hangs on a panel "
    "come on top; a panel that leans or bows bears unevenly."
)
IGNORED: Final[tuple[str, ...]] = (
    "guards, protective glazing and anything else that breaks or passes on the wind",
    "gusts through doors and windows that stand open, beyond what the net coefficient holds",
    "how the ends of the bars are held in stone or frame, and whether they still are",
    "what rust has taken from a bar, and bends that are in it already",
    "ties: whether each still holds the panel to the bar, and how strong it is",
    "the stiffness of the leaded panels, and what jambs and mullions take of the load beside a bar",
    "wind and weight acting together on one bar",
    "bars across bars, stay bars upright behind them, and mullions that may be weak themselves",
    "snow, birds, people, ladders, earthquake",
)
