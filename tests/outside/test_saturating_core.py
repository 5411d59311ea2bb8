"""A saturating core in an independent circuit simulator: exciting current on a sine, time to saturation.

A capacitor of 1 F integrates the voltage of the core, so that its own voltage is the flux linkage; the
magnetising branch is a current that follows it. Agreement asked for: 0.5 %.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest

from ctcore import duty
from ctcore.curve import Curve

Simulate = Callable[..., dict[str, np.ndarray]]
FIVE_PER_MILLE = 5e-3

# i = 0.02 psi + 0.3 psi^9 in A and Vs: about 300 V at the knee with 50 Hz.
LINEAR, NINTH, HERTZ = 0.02, 0.3, 50.0
# Amperes for each volt-second past the knee: a branch that saturates hard.
HARD = 1e5


def circuit(volts: float) -> str:
    """A stiff sine on a core; the flux starts where it belongs, so that no offset has to die away."""
    peak = math.sqrt(2.0) * volts
    linkage = peak / (2.0 * math.pi * HERTZ)
    return f"""exciting current of a saturating core on a sine
Vs u 0 SIN(0 {peak!r} {HERTZ!r})
Rw u e 1m
Bf 0 psi I=V(e)
Cl psi 0 1 IC={-linkage!r}
Rl psi 0 1e12
Bm e 0 I={LINEAR!r}*V(psi)+{NINTH!r}*V(psi)*abs(V(psi))^8
.options reltol=1e-6
.tran 10u 0.06 0 10u UIC
"""


def simulated(simulate: Simulate, volts: float) -> tuple[float, float]:
    """Volts as a mean-sensing meter scaled to r.m.s. reads them, amperes in true r.m.s."""
    found = simulate(circuit(volts), "v(u)", "i(vs)")
    whole = np.linspace(0.02, 0.06, 8001)
    u, i = (np.interp(whole, found["time"], found[name]) for name in ("v(u)", "i(vs)"))
    mean = float(np.trapezoid(np.abs(u), whole) / 0.04)
    return mean * math.pi / (2.0 * math.sqrt(2.0)), math.sqrt(float(np.trapezoid(i**2, whole)) / 0.04)


def by_quadrature(volts: float) -> float:
    linkage = math.sqrt(2.0) * volts / (2.0 * math.pi * HERTZ)
    psi = linkage * np.sin(np.linspace(0.0, 2.0 * np.pi, 4096, endpoint=False))
    return float(np.sqrt(np.mean((LINEAR * psi + NINTH * psi**9) ** 2)))


@pytest.fixture
def curve(simulate: Simulate) -> Curve:
    volts, amperes = zip(*(simulated(simulate, float(v)) for v in np.geomspace(30.0, 330.0, 18)), strict=True)
    return Curve(volts, amperes)


def test_the_simulator_and_a_quadrature_of_the_law_agree(simulate: Simulate) -> None:
    drawn = simulated(simulate, 230.0)[1]

    assert drawn == pytest.approx(by_quadrature(230.0), rel=1e-3)


def test_the_exciting_current_between_the_readings_is_what_the_simulator_draws(
    curve: Curve, simulate: Simulate
) -> None:
    between = [45.0, 110.0, 165.0, 205.0, 240.0, 290.0]
    drawn = [simulated(simulate, volts)[1] for volts in between]

    assert [float(curve.current_a(volts)) for volts in between] == pytest.approx(drawn, rel=FIVE_PER_MILLE)


def test_ten_per_cent_above_the_knee_the_simulator_draws_half_as_much_again(
    curve: Curve, simulate: Simulate
) -> None:
    knee = curve.knee("iec")
    at_knee, above = (simulated(simulate, factor * knee.voltage_v)[1] for factor in (1.0, 1.1))

    assert above / at_knee == pytest.approx(1.5, rel=FIVE_PER_MILLE)


def fault(x_over_r: float, hertz: float, *, knee_vs: float, at_s: float, t2_s: float | None = None) -> str:
    """A fully offset fault current of 1 A peak in 1 ohm, across a core that saturates hard at a flux."""
    t1 = x_over_r / (2.0 * math.pi * hertz)
    branch = "0" if t2_s is None else f"V(psi)/{t2_s!r}"
    return f"""offset fault on a saturating core
Bi 0 e I=exp(-time/{t1!r})-cos({2.0 * math.pi * hertz!r}*time)
Rb e 0 1
Bf 0 psi I=V(e)
Cl psi 0 1 IC=0
Rl psi 0 1e12
Bm e 0 I={branch}
Vk knee 0 {knee_vs!r}
Bs e 0 I=max(V(psi)-V(knee),0)*{HARD!r}
.options reltol=1e-6
.tran 5u {1.5 * at_s + 0.02!r} 0 5u UIC
"""


def linkage_at(steps: dict[str, np.ndarray], at_s: float) -> float:
    return float(np.interp(at_s, steps["time"], steps["v(psi)"]))


def saturates_at(steps: dict[str, np.ndarray]) -> float:
    """When the saturated branch first draws a thousandth of the peak of the fault current."""
    drawn = steps["v(psi)"] - steps["v(knee)"] > 1e-3 / HARD
    first = int(np.argmax(drawn))
    assert drawn[first]
    return float(steps["time"][first])


@pytest.mark.parametrize(
    ("x_over_r", "hertz", "periods"), [(12.0, 60.0, 0), (12.0, 60.0, 1), (20.0, 50.0, 2), (40.0, 50.0, 3)]
)
def test_the_time_to_saturation_is_when_the_simulated_core_saturates(
    simulate: Simulate, x_over_r: float, hertz: float, periods: int
) -> None:
    """At three quarters of a period the alternating part stands at its peak, as the formula has it always."""
    at_s = (periods + 0.75) / hertz
    knee = linkage_at(simulate(fault(x_over_r, hertz, knee_vs=1e3, at_s=at_s), "v(psi)", "v(knee)"), at_s)
    saturated = saturates_at(simulate(fault(x_over_r, hertz, knee_vs=knee, at_s=at_s), "v(psi)", "v(knee)"))
    # The symmetrical part alone reaches 1/w; the saturation factor is the knee over that.
    factor = knee * 2.0 * math.pi * hertz

    assert duty.time_to_saturation_s(factor, x_over_r, hertz) == pytest.approx(saturated, rel=FIVE_PER_MILLE)


@pytest.mark.parametrize("periods", [0, 1, 3])
def test_a_finite_secondary_time_constant_agrees_as_well(simulate: Simulate, periods: int) -> None:
    t1_s, t2_s, hertz = 0.05, 0.5, 50.0
    at_s = (periods + 0.75) / hertz
    x_over_r = t1_s * 2.0 * math.pi * hertz
    free = simulate(fault(x_over_r, hertz, knee_vs=1e3, at_s=at_s, t2_s=t2_s), "v(psi)", "v(knee)")
    knee = linkage_at(free, at_s)
    hard = simulate(fault(x_over_r, hertz, knee_vs=knee, at_s=at_s, t2_s=t2_s), "v(psi)", "v(knee)")
    found = duty.transient_factor(knee * 2.0 * math.pi * hertz, t1_s, t2_s, f_hz=hertz)

    assert found.t_saturation_s == pytest.approx(saturates_at(hard), rel=FIVE_PER_MILLE)
