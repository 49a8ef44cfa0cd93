"""The errors that Tenths raises on purpose; everything else is a defect."""


class TenthsError(Exception):
    """Base of every error that is meant to be read by a person."""


class BadInput(TenthsError):
    """What was given cannot be taken: the message names the field, the value and what is accepted."""


class OutOfRange(TenthsError):
    """A number lies outside the range in which the formula holds: the message names argument, value, range, source."""


class Refused(TenthsError):
    """The logbook refuses the entry: the message says which and why."""


class Damaged(TenthsError):
    """Stored or imported data does not verify: the message names the place."""


class Unsettled(TenthsError):
    """A solution did not converge: the message says of what, and at which value."""
