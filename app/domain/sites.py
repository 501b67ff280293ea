"""Where the drop of blood was taken: open codes, and how a person says them."""

from __future__ import annotations

# Codes are open text in the file: a code of a newer list is shown as written, never refused.
SITES: dict[str, str] = {
    "finger": "finger",
    "palm": "palm",
    "forearm": "forearm",
    "upper_arm": "upper arm",
    "thigh": "thigh",
    "earlobe": "earlobe",
    "other": "another site",
}
FINGERS: tuple[str, ...] = ("thumb", "index", "middle", "ring", "little")
SIDES: tuple[str, ...] = ("left", "right")


def site_words(site: str, detail: str | None = None) -> str:
    """A site in plain words.

    >>> site_words("finger", "left index"), site_words("palm", "right"), site_words("finger")
    ('left index finger', 'right palm', 'finger')
    """
    name = SITES.get(site, site)
    if not detail:
        return name
    if site == "other":
        return detail
    if site == "finger" and detail.split()[-1] in ("thumb", "hand"):
        return detail if detail.endswith("thumb") else f"finger of the {detail}"
    return f"{detail} {name}"
