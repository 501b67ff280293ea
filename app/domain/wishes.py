"""How a person wants things shown and judged: what the first start asks and the settings change."""

from __future__ import annotations

from dataclasses import dataclass, field

from app.domain.errors import Refused
from app.domain.glucose import Unit
from app.domain.marks import SLOTS, Mark
from app.domain.person import DATE_ORDERS, checked_name, checked_zone
from app.domain.targets import TargetSet


@dataclass(frozen=True, slots=True)
class Wishes:
    """Everything that is asked about a person; `usual_times` are minutes of the local day by slot.

    `targets` are the goals to be in force; None leaves those that are.
    """

    name: str
    unit: Unit
    zone: str
    clock: int = 24
    date_order: str = "dmy"
    day_start: int = 0
    usual_times: dict[Mark, int] = field(default_factory=dict)
    targets: TargetSet | None = None
    emergency_number: str = ""


def checked(wishes: Wishes) -> Wishes:
    """The wishes as they will be kept; refuses what can't be, in one sentence."""
    if wishes.clock not in (12, 24):
        raise Refused(f"A clock has 12 or 24 hours, not {wishes.clock}.")
    if wishes.date_order not in DATE_ORDERS:
        orders = ", ".join(DATE_ORDERS)
        raise Refused(f'"{wishes.date_order}" is no order of dates; say one of {orders}.')
    if not 0 <= wishes.day_start <= 6:
        raise Refused(f"A diary day starts at a whole hour from 0 to 6, not {wishes.day_start}.")
    for mark, minute in wishes.usual_times.items():
        if mark not in SLOTS or not 0 <= minute < 1440:
            raise Refused(f"{mark.words} can't be usual at minute {minute} of the day.")
    return Wishes(
        name=checked_name(wishes.name),
        unit=wishes.unit,
        zone=checked_zone(wishes.zone),
        clock=wishes.clock,
        date_order=wishes.date_order,
        day_start=wishes.day_start,
        usual_times=dict(wishes.usual_times),
        targets=wishes.targets,
        emergency_number=" ".join(wishes.emergency_number.split()),
    )
