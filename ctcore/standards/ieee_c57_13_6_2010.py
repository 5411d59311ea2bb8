"""IEEE C57.13.6-2005 (reaffirmed 2010), high-accuracy instrument transformers: the classes 0.15 and 0.15S."""

from __future__ import annotations

from ctcore.standards.rows import SEEN, CorrectionLimit, MeteringRow

STANDARD = "IEEE C57.13"
EDITION = "IEEE C57.13.6-2005 (R2010)"

_METERING = f"{EDITION}, accuracy classes, TCF limits of current transformers"

METERING = (
    MeteringRow(
        "0.15S",
        (CorrectionLimit(5, 0.9985, 1.0015), CorrectionLimit(100, 0.9985, 1.0015)),
        _METERING,
        SEEN,
    ),
    MeteringRow(
        "0.15",
        (CorrectionLimit(5, 0.9970, 1.0030), CorrectionLimit(100, 0.9985, 1.0015)),
        _METERING,
        SEEN,
    ),
)
