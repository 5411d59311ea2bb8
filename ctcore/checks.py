"""What every public function of the core asks of its arguments before it computes.

Each check returns the value as a float (or a float array) or raises `BadInput` with the quantity's name.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from ctcore.errors import BadInput

Real = float | NDArray[np.float64]
Complex = complex | NDArray[np.complex128]

# Beyond these sizes no quantity of a transformer is a measurement, and products would leave the range of
# floats.
LEAST = 1e-18
GREATEST = 1e18


def finite(quantity: str, value: Any) -> Real:
    """Return a real, finite number or array; anything else is refused by name.

    >>> finite("phase displacement", 12)
    12.0
    """
    if isinstance(value, (bool, str, bytes)) or value is None:
        raise BadInput(quantity, value, "a number is needed")
    try:
        array = np.asarray(value)
    except ValueError:
        raise BadInput(quantity, value, "a number or an even array of numbers is needed") from None
    if array.dtype.kind not in "fiu":
        raise BadInput(quantity, value, "a real number is needed")
    if array.size == 0:
        raise BadInput(quantity, value, "an empty array holds no value")
    _within_reach(quantity, value, array)
    return float(array) if array.ndim == 0 else array.astype(np.float64)


def positive(quantity: str, value: Any) -> Real:
    """Return a finite number or array above zero.

    >>> positive("rated secondary current", 5)
    5.0
    """
    number = finite(quantity, value)
    if np.any(np.less_equal(number, 0.0)):
        raise BadInput(quantity, value, "the value is above zero")
    if np.any(np.less(number, LEAST)):
        raise BadInput(quantity, value, f"the value is too small to be a measurement (below {LEAST:g})")
    return number


def not_negative(quantity: str, value: Any) -> Real:
    """Return a finite number or array of zero or more.

    >>> not_negative("winding resistance", 0)
    0.0
    """
    number = finite(quantity, value)
    if np.any(np.less(number, 0.0)):
        raise BadInput(quantity, value, "the value is zero or more")
    return number


def scalar(quantity: str, value: Any) -> float:
    """Return a finite single number; an array is refused.

    >>> scalar("limit", 0.5)
    0.5
    """
    number = finite(quantity, value)
    if not isinstance(number, float):
        raise BadInput(quantity, value, "one number is needed, not an array")
    return number


def positive_scalar(quantity: str, value: Any) -> float:
    """Return a finite single number above zero.

    >>> positive_scalar("frequency", 50)
    50.0
    """
    return float(positive(quantity, scalar(quantity, value)))


def power_factor(quantity: str, value: Any) -> Real:
    """Return a power factor above 0, up to and including 1.

    >>> power_factor("power factor", 0.8)
    0.8
    """
    number = positive(quantity, value)
    if np.any(np.greater(number, 1.0)):
        raise BadInput(quantity, value, "a power factor is at most 1")
    return number


def impedance(quantity: str, value: Any) -> Complex:
    """Return a passive impedance, complex ohm: real part zero or more, finite.

    >>> impedance("burden", 2)
    (2+0j)
    """
    number = finite_complex(quantity, value)
    if np.any(np.less(np.real(number), 0.0)):
        raise BadInput(quantity, value, "the resistance of a burden is zero or more")
    return number


def finite_complex(quantity: str, value: Any) -> Complex:
    """Return a finite complex number or array.

    >>> finite_complex("admittance", 0.001 - 0.002j)
    (0.001-0.002j)
    """
    if isinstance(value, (bool, str, bytes)) or value is None:
        raise BadInput(quantity, value, "a number is needed")
    try:
        array = np.asarray(value)
    except ValueError:
        raise BadInput(quantity, value, "a number or an even array of numbers is needed") from None
    if array.dtype.kind not in "fiuc":
        raise BadInput(quantity, value, "a number is needed")
    if array.size == 0:
        raise BadInput(quantity, value, "an empty array holds no value")
    _within_reach(quantity, value, array)
    return complex(array) if array.ndim == 0 else array.astype(np.complex128)


def same_shape(quantity: str, *values: Any) -> None:
    """Refuse arrays that cannot be combined element by element.

    >>> same_shape("current and voltage", 1.0, 2.0)
    """
    try:
        np.broadcast_shapes(*(np.shape(value) for value in values))
    except ValueError:
        shapes = " and ".join(str(np.shape(value)) for value in values)
        raise BadInput(quantity, shapes, "the arrays do not have the same shape") from None


def _within_reach(quantity: str, value: Any, array: NDArray[Any]) -> None:
    if not np.all(np.isfinite(array)):
        raise BadInput(quantity, value, "the value is not finite")
    if np.any(np.abs(array.astype(np.complex128)) > GREATEST):
        raise BadInput(quantity, value, f"the value is too large to be a measurement (above {GREATEST:g})")
