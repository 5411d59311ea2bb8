"""The shapes of the rows that the editions fill: each row carries its source and how it was known."""

from __future__ import annotations

from dataclasses import dataclass

SEEN = "seen"
FROM_MEMORY = "from memory"
COMMON_PRACTICE = "common practice, no source"
ARITHMETIC = "arithmetic"
TAGS = (SEEN, FROM_MEMORY, COMMON_PRACTICE, ARITHMETIC)


@dataclass(frozen=True, slots=True)
class ErrorLimit:
    """Ratio and phase limits, both signs, at one percentage of rated primary current."""

    percent_current: float
    ratio_error_percent: float
    phase_displacement_arcmin: float | None


@dataclass(frozen=True, slots=True)
class MeasuringRow:
    """A measuring class of IEC: limits at its currents and the range of burden in which they hold.

    `burden_low_va` is the floor in VA below which the burden of the test does not go; its tag is apart,
    since the floor was not seen in print.
    """

    designation: str
    limits: tuple[ErrorLimit, ...]
    burden_low_percent: float
    burden_high_percent: float
    burden_low_va: float | None
    source: str
    tag: str
    family: str = "measuring"
    burden_floor_tag: str = FROM_MEMORY


@dataclass(frozen=True, slots=True)
class ProtectionRow:
    """A protection class of IEC; a limit that the class does not have is None.

    `phase_centre_arcmin` is the displacement about which the phase limit lies: zero but for TPZ. `tag` speaks
    of every limit but the composite error, which has its own.
    """

    designation: str
    family: str
    ratio_error_percent: float | None
    phase_displacement_arcmin: float | None
    phase_centre_arcmin: float
    composite_error_percent: float | None
    turns_ratio_error_percent: float | None
    remanence_percent: float | None
    peak_error_percent: float | None
    source: str
    tag: str
    composite_error_tag: str = FROM_MEMORY


@dataclass(frozen=True, slots=True)
class CorrectionLimit:
    """Limits of RCF and TCF at one percentage of rated primary current."""

    percent_current: float
    factor_low: float
    factor_high: float


@dataclass(frozen=True, slots=True)
class MeteringRow:
    """A metering class of IEEE: limits of the correction factors at its two currents."""

    designation: str
    limits: tuple[CorrectionLimit, ...]
    source: str
    tag: str
    family: str = "ieee_metering"


@dataclass(frozen=True, slots=True)
class RelayRow:
    """A relaying class of IEEE: what excitation current and knee may be.

    `excitation_percent` is of 20 times rated secondary current; `knee_percent` is the least 45 degree knee
    in percent of the voltage rating; `ratio_error_percent` holds at rated current, and its tag is apart.
    """

    designation: str
    family: str
    limit_factor: float | None
    excitation_percent: float | None
    knee_percent: float | None
    source: str
    tag: str
    ratio_error_percent: float | None = None
    ratio_error_tag: str = FROM_MEMORY


@dataclass(frozen=True, slots=True)
class BurdenRow:
    """A standard burden at 5 A and 60 Hz."""

    name: str
    r_ohm: float
    l_h: float
    z_ohm: float
    power_factor: float
    source: str
    tag: str


@dataclass(frozen=True, slots=True)
class MultiRatioRow:
    """Turns between neighbouring leads of a five-lead multi-ratio winding, X1-X2 first."""

    designation: str
    i_primary_rated_a: float
    i_secondary_rated_a: float
    section_turns_count: tuple[int, ...]
    source: str
    tag: str


@dataclass(frozen=True, slots=True)
class EnvelopeRow:
    """How far an excitation curve may lie from its reference curve."""

    current_percent_below_knee: float
    voltage_percent_above_knee: float
    source: str
    tag: str


@dataclass(frozen=True, slots=True)
class StandardValues:
    """Preferred values of a rated quantity; another value is no error, only unusual."""

    quantity: str
    unit: str
    values: tuple[float, ...]
    source: str
    tag: str


Row = MeasuringRow | ProtectionRow | MeteringRow | RelayRow
