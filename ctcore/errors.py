"""The two exceptions that cross the border of the core."""

from __future__ import annotations


class BadInput(ValueError):
    """Input that no calculation can go on with.

    Names the quantity, the value as it came and the reason, so that the message can stand at its field.

    >>> raise BadInput("winding resistance", -1.0, "a resistance is above zero")
    Traceback (most recent call last):
        ...
    ctcore.errors.BadInput: winding resistance: -1.0: a resistance is above zero
    """

    def __init__(self, quantity: str, value: object, reason: str) -> None:
        super().__init__(f"{quantity}: {value!s}: {reason}")
        self.quantity = quantity
        self.value = value
        self.reason = reason

    def __reduce__(self) -> tuple[type[BadInput], tuple[str, object, str]]:
        return (type(self), (self.quantity, self.value, self.reason))


class NoKnee(Exception):
    """The readings do not hold the knee that was asked for; `reason` says why.

    >>> NoKnee("the readings stop short").reason
    'the readings stop short'
    """

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason
