"""Every colour of the program, once for light and once for dark; nobody else writes a colour.

Ink on paper: buttons, tabs, focus and selection have no hue. Hue belongs to readings, and one brass
tone means "now" and "yours to answer". Hues of the levels: Okabe and Ito's palette as printed by
Wong, Nature Methods 2011;8:441, and P. Tol's technical note SRON/EPS/TN/09-002; the lighter ones
for dark ground are our own, same hue, lightened until they pass.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from app.domain.levels import Level


@dataclass(frozen=True, slots=True)
class Tokens:
    """The colours of one theme, as "#RRGGBB".

    Surfaces: `ground` (Now column, menu), `page`, `field`, `lane` (inside the target), `out`
    (outside it), `sel`, `hover`, `wash` (something due), `sp1` (middle half). `line` and `grid`
    are hairlines without meaning. Everything else is drawn on a surface and keeps its contrast.
    """

    dark: bool
    ground: str
    page: str
    field: str
    lane: str
    out: str
    line: str
    grid: str
    sel: str
    hover: str
    wash: str
    sp1: str
    ink: str
    ink2: str
    ink3: str
    brass: str
    edge: str
    spe: str
    hatch: str
    very_low: str
    low: str
    low_text: str
    within: str
    high: str
    high_text: str
    very_high: str
    control: str
    control_edge: str
    ketone: str
    ketone_edge: str

    def level_colour(self, level: Level) -> str:
        """The colour of a level's mark, at least 3:1 on every surface that marks stand on."""
        return {
            "very_low": self.very_low,
            "low": self.low,
            "in_range": self.within,
            "high": self.high,
            "very_high": self.very_high,
        }[level.value]

    def level_text(self, level: Level) -> str:
        """The colour of a level's letter and words, at least 4.5:1."""
        texts = {"low": self.low_text, "high": self.high_text}
        return texts.get(level.value) or self.level_colour(level)


LIGHT = Tokens(
    dark=False,
    ground="#F2F0EB",
    page="#FFFFFF",
    field="#FFFFFF",
    lane="#FFFFFF",
    out="#F4F2EE",
    line="#E3DFD7",
    grid="#ECE9E2",
    sel="#E9E5DC",
    hover="#F7F5F1",
    wash="#F7EFDB",
    sp1="#DDE4EA",
    ink="#1D2126",
    ink2="#4B5057",
    ink3="#5F646B",
    brass="#7A5A0A",
    edge="#87827A",
    spe="#7C8B98",
    hatch="#8C867B",
    very_low="#332288",
    low="#0072B2",
    low_text="#005A8E",
    within="#595959",
    high="#D55E00",
    high_text="#A84800",
    very_high="#882255",
    control="#009E73",
    control_edge="#00604A",
    ketone="#CC79A7",
    ketone_edge="#8A3F68",
)

DARK = Tokens(
    dark=True,
    ground="#151617",
    page="#1E1E1E",
    field="#262829",
    lane="#25282A",
    out="#1E1E1E",
    line="#34373A",
    grid="#2D3032",
    sel="#33363A",
    hover="#292B2D",
    wash="#322E22",
    sp1="#39424A",
    ink="#ECEAE4",
    ink2="#C4C1B9",
    ink3="#A19E96",
    brass="#D8C9A0",
    edge="#85827B",
    spe="#8E9DAB",
    hatch="#7B776F",
    very_low="#B3BCFF",
    low="#56B4E9",
    low_text="#7CC6F0",
    within="#B9B6AE",
    high="#E69F00",
    high_text="#F0B43C",
    very_high="#FF9EBB",
    control="#35C79B",
    control_edge="#8BE3C8",
    ketone="#D98DB9",
    ketone_edge="#E9B0D0",
)
