"""Days and times on the page, in the person's own order of dates and by their clock."""

from __future__ import annotations

from datetime import date, datetime, time

from app.domain.clock import Period
from app.domain.person import Person
from app.report.words import many, tr
from app.review.visit import VisitPage

_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = "January February March April May June July August September October November December"


def month_words(day: date) -> str:
    """The month of a day in full."""
    return tr(_MONTHS.split()[day.month - 1])


def day_words(day: date, person: Person, *, year: bool = False) -> str:
    """A day without its weekday: "8 May", "8 May 2026", "May 8, 2026", "2026 May 8"."""
    month, number = month_words(day), str(day.day)
    if person.date_order == "mdy":
        return f"{month} {number}, {day.year}" if year else f"{month} {number}"
    if person.date_order == "ymd":
        return f"{day.year} {month} {number}" if year else f"{month} {number}"
    return f"{number} {month} {day.year}" if year else f"{number} {month}"


def days_words(first: date, last: date, person: Person, *, year: bool = False) -> str:
    """Days from one to another, both included: "8 – 15 March", "March 8 – 15"."""
    if first == last:
        return day_words(first, person, year=year)
    if (first.year, first.month) == (last.year, last.month):
        if person.date_order == "dmy":
            return f"{first.day} – {day_words(last, person, year=year)}"
        begin = f"{month_words(first)} {first.day} – {last.day}"
        if not year:
            return begin
        return f"{begin}, {last.year}" if person.date_order == "mdy" else f"{last.year} {begin}"
    # The year stands once, unless the days lie in two years.
    both = year and first.year != last.year
    leads = person.date_order == "ymd"
    begin = day_words(first, person, year=both or (year and leads))
    return f"{begin} – {day_words(last, person, year=both or (year and not leads))}"


def day_in_month(day: date) -> str:
    """A day below the name of its month: "Thu 7"."""
    return f"{tr(_WEEKDAYS[day.weekday()])} {day.day}"


def clock_words(at: datetime | time, person: Person) -> str:
    """A time of day by the person's clock: "17:05", "5:05 PM"."""
    if person.clock == 24:
        return f"{at:%H:%M}"
    half = tr("AM") if at.hour < 12 else tr("PM")
    return f"{(at.hour + 11) % 12 + 1}:{at:%M} {half}"


def moment_words(wall: datetime, person: Person, *, year: bool = False) -> str:
    """A moment of the period: "7 May 18:07"."""
    return f"{day_words(wall.date(), person, year=year)} {clock_words(wall, person)}"


def day_of(day: date, page: VisitPage) -> str:
    """A day of a page, with its year where it could be another."""
    return day_words(day, page.person, year=page.many_years)


def days_of(first: date, last: date, page: VisitPage) -> str:
    """Days of a page, with their year where they could be others."""
    return days_words(first, last, page.person, year=page.many_years)


def moment_of(wall: datetime, page: VisitPage) -> str:
    """A moment of a page, with its year where it could be another."""
    return moment_words(wall, page.person, year=page.many_years)


def period_words(period: Period, person: Person) -> str:
    """A period with its length: "7 February – 7 May 2026 · 90 days"."""
    return tr("{days_of} · {days}").format(
        days_of=days_words(period.first, period.last, person, year=True),
        days=many(period.days, "day", "days"),
    )


def title_of(period: Period, person: Person) -> str:
    """The title of the file: no author, no name of a person."""
    return tr("Readings, {period}").format(period=period_words(period, person))
