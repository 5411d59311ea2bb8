"""What every public function of the core asks of its arguments before it computes.

Each check returns the value as a float (or a float array) or raises `BadInput` with the quantity's name.
"""

from __future__ import annotations

import cmath
import math
from typing import Any, NoReturn

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
    if isinstance(value, float):
        # The short way: most values are single floats, and judging asks for thousands of them.
        if not -GREATEST <= value <= GREATEST:
            _refuse_size(quantity, value, math.isfinite(value))
        return float(value)
    array = _array(quantity, value, "fiu")
    return float(array) if array.ndim == 0 else array.astype(np.float64)


def positive(quantity: str, value: Any) -> Real:
    """Return a finite number or array above zero.

    >>> positive("rated secondary current", 5)
    5.0
    """
    number = finite(quantity, value)
    lowest = number if isinstance(number, float) else float(np.min(number))
    if lowest <= 0.0:
        raise BadInput(quantity, value, "the value is above zero")
    if lowest < LEAST:
        raise BadInput(quantity, value, f"the value is too small to be a measurement (below {LEAST:g})")
    return number


def not_negative(quantity: str, value: Any) -> Real:
    """Return a finite number or array of zero or more.

    >>> not_negative("winding resistance", 0)
    0.0
    """
    number = finite(quantity, value)
    lowest = number if isinstance(number, float) else float(np.min(number))
    if lowest < 0.0:
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


def not_negative_scalar(quantity: str, value: Any) -> float:
    """Return a finite single number of zero or more.

    >>> not_negative_scalar("exciting current", 0)
    0.0
    """
    return float(not_negative(quantity, scalar(quantity, value)))


def scalar_impedance(quantity: str, value: Any) -> complex:
    """Return a single passive impedance, complex ohm.

    >>> scalar_impedance("burden", 2)
    (2+0j)
    """
    number = impedance(quantity, value)
    if not isinstance(number, complex):
        raise BadInput(quantity, value, "one impedance is needed, not an array")
    return number


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
    lowest = number.real if isinstance(number, complex) else float(np.min(np.real(number)))
    if lowest < 0.0:
        raise BadInput(quantity, value, "the resistance of a burden is zero or more")
    return number


def finite_complex(quantity: str, value: Any) -> Complex:
    """Return a finite complex number or array.

    >>> finite_complex("admittance", 0.001 - 0.002j)
    (0.001-0.002j)
    """
    if isinstance(value, (float, complex)):
        number = complex(value)
        if not (-GREATEST <= number.real <= GREATEST and -GREATEST <= number.imag <= GREATEST):
            _refuse_size(quantity, value, cmath.isfinite(number))
        return number
    array = _array(quantity, value, "fiuc")
    return complex(array) if array.ndim == 0 else array.astype(np.complex128)


def same_shape(quantity: str, *values: Any) -> None:
    """Refuse arrays that cannot be combined element by element.

    >>> same_shape("current and voltage", 1.0, 2.0)
    """
    shapes_known = {np.shape(value) for value in values if isinstance(value, np.ndarray)}
    if len(shapes_known) < 2:
        return
    try:
        np.broadcast_shapes(*shapes_known)
    except ValueError:
        shapes = " and ".join(str(np.shape(value)) for value in values)
        raise BadInput(quantity, shapes, "the arrays do not have the same shape") from None


def _array(quantity: str, value: Any, kinds: str) -> NDArray[Any]:
    if isinstance(value, (bool, str, bytes)) or value is None:
        raise BadInput(quantity, value, "a number is needed")
    try:
        array = np.asarray(value)
    except ValueError:
        raise BadInput(quantity, value, "a number or an even array of numbers is needed") from None
    if array.dtype.kind not in kinds:
        raise BadInput(quantity, value, "a number is needed" if "c" in kinds else "a real number is needed")
    if array.size == 0:
        raise BadInput(quantity, value, "an empty array holds no value")
    size = np.maximum(np.abs(array.real.astype(np.float64)), np.abs(array.imag.astype(np.float64)))
    if not np.all(size <= GREATEST):
        _refuse_size(quantity, value, bool(np.all(np.isfinite(array))))
    return array


def _refuse_size(quantity: str, value: Any, is_finite: bool) -> NoReturn:
    reason = "too large to be a measurement" if is_finite else "not finite"
    raise BadInput(quantity, value, f"the value is {reason}")
