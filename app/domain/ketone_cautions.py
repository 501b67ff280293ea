"""What is said once beside a raised ketone result; it never blocks a save and names no dose.

The texts and their sources are in resources/cautions.toml, beside those for glucose.
"""

from __future__ import annotations

from app.domain.cautions import CareTexts, caution_texts
from app.domain.ketones import BLOOD, URINE, Ketones, band_of


def ketone_caution(result: Ketones, *, care: CareTexts | None) -> tuple[str, ...]:
    """The lines that belong to a result, the care-team line last; none for a normal one.

    Parameters
    ----------
    care : CareTexts, optional
        With an emergency number, that is named in place of "your local emergency number".
    """
    band = band_of(result)
    texts = caution_texts()
    own = texts.get(f"ketone_{band.code}") if band else None
    if own is None:
        return ()
    number = ((care.emergency_number if care else None) or "").strip()
    emergency = number or texts["local_number"]
    shown = result.shown.removeprefix("urine: ") if result.method == URINE else result.shown
    of = "Blood" if result.method == BLOOD else "Urine"
    said = (own["title"], *own["says"], texts["care_team"])
    return tuple(each.format(shown=shown, of=of, emergency=emergency) for each in said)
