"""Simulated windings: what the meters would show at the terminals of a core with a fault of known size.

One sine of flux at a time. The core takes a magnetising current of two powers of the flux and a loss current
in phase with the e.m.f.; a shorted turn, a loop across the primary and a burden left on take theirs; the
terminals see the e.m.f. and the drop in the winding. Volts as a mean-sensing meter scaled to r.m.s. reads
them, amperes in true r.m.s.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

_ANGLES = np.linspace(0.0, 2.0 * np.pi, 512, endpoint=False)
_COS, _SIN = np.cos(_ANGLES), np.sin(_ANGLES)


@dataclass(frozen=True)
class Winding:
    """A core on one winding; faults are None or zero where there is none.

    `i_magnetising_a` and `i_loss_a` are r.m.s. at the knee, which lies near `v_knee_v`.
    """

    turns_count: float = 600.0
    r_winding_ohm: float = 3.0
    v_knee_v: float = 400.0
    i_magnetising_a: float = 0.040
    i_loss_a: float = 0.020
    turns_shorted_count: float = 0.0
    z_primary_loop_ohm: complex | None = None
    r_parallel_ohm: float | None = None
    remanence_ratio: float = 0.0

    def shows(self, emf_v: float) -> tuple[float, float]:
        """Volts and amperes at the terminals for an e.m.f. of the core, r.m.s."""
        emf = np.sqrt(2.0) * emf_v * _COS
        flux = emf_v / self.v_knee_v * _SIN
        current = self._magnetising(flux, emf_v) + self.i_loss_a * np.sqrt(2.0) * (
            (emf_v / self.v_knee_v) ** 0.6 * _COS
        )
        # A turn shorted in itself has the resistance of one turn.
        current = current + emf * self.turns_shorted_count / (self.turns_count * self.r_winding_ohm)
        if self.z_primary_loop_ohm is not None:
            admittance = 1.0 / (self.turns_count**2 * self.z_primary_loop_ohm)
            current = current + np.sqrt(2.0) * emf_v * (admittance.real * _COS - admittance.imag * _SIN)
        terminals = emf + self.r_winding_ohm * current
        if self.r_parallel_ohm is not None:
            current = current + terminals / self.r_parallel_ohm
        mean_scaled = float(np.mean(np.abs(terminals)) * np.pi / (2.0 * np.sqrt(2.0)))
        return mean_scaled, float(np.sqrt(np.mean(current**2)))

    def _magnetising(self, flux: np.ndarray, emf_v: float) -> np.ndarray:
        size = np.abs(flux)
        below = np.sign(flux) * (0.75 * size**0.9 + 0.25 * size**17)
        current = self.i_magnetising_a * np.sqrt(2.0) * below
        # A biased core is less permeable for small swings; a swing towards the knee wears the bias off.
        left = self.remanence_ratio * max(0.0, 1.0 - emf_v / (0.5 * self.v_knee_v))
        return current * (1.0 + 3.0 * left)

    def curve(
        self, volts: list[float], noise: np.random.Generator | None = None
    ) -> list[tuple[float, float]]:
        """Readings at about these volts, with 0.2 % on volts and 0.3 % on amperes where there is noise."""
        rows = [self.shows(emf) for emf in volts]
        if noise is None:
            return rows
        return [(v * (1 + noise.normal(0, 0.0005)), i * (1 + noise.normal(0, 0.003))) for v, i in rows]

    def with_faults(self, **faults: float | complex | None) -> Winding:
        """The same winding with a fault."""
        return replace(self, **faults)  # type: ignore[arg-type]


VOLTS = [
    20.0,
    40.0,
    60.0,
    90.0,
    120.0,
    160.0,
    200.0,
    240.0,
    280.0,
    320.0,
    350.0,
    380.0,
    400.0,
    420.0,
    440.0,
    460.0,
]
