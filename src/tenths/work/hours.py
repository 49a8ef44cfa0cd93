"""Working hours: from days of the calendar to hours at the bench and back."""

from dataclasses import dataclass
from datetime import date, timedelta

from tenths.errors import OutOfRange


@dataclass(frozen=True, slots=True)
class Calendar:
    """When the shop works.

    Attributes:
        today: the day from which hours count.
        hours: bench hours of one person on a working day [h], 0.5 to 24.
        days: working days, 0 = Monday to 6 = Sunday.
        closed: days on which the shop is closed.
    """

    today: date
    hours: float = 8.0
    days: frozenset[int] = frozenset(range(5))
    closed: frozenset[date] = frozenset()

    def __post_init__(self) -> None:
        if not 0.5 <= self.hours <= 24:
            raise OutOfRange(f"hours of a day: {self.hours} is outside 0.5 to 24")
        if not self.days or not self.days <= set(range(7)):
            raise OutOfRange(f"working days: {sorted(self.days)} must be some of 0 (Monday) to 6 (Sunday)")

    def works(self, day: date) -> bool:
        """Whether the shop works on a day."""
        return day.weekday() in self.days and day not in self.closed

    def until(self, day: date) -> float:
        """Working hours [h] from the morning of today to the morning of a day; 0 for today and before."""
        whole, count = 0, (day - self.today).days
        for k in range(max(0, count)):
            whole += self.works(self.today + timedelta(days=k))
        return whole * self.hours

    def day(self, hours: float) -> date:
        """The day on which so many working hours [h] from this morning are used up."""
        day, left = self.today, hours
        while True:
            if self.works(day):
                if left <= self.hours + 1e-9:
                    return day
                left -= self.hours
            day += timedelta(days=1)

    def away(self, days: float) -> float:
        """Working hours [h] that pass, on the average, while something is away for so many days of the calendar."""
        return days * self.hours * len(self.days) / 7
