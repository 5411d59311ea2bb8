"""Invented jobs to look at and to try things on, read through importlib.resources."""

from __future__ import annotations

from dataclasses import dataclass
from importlib import resources
from importlib.resources.abc import Traversable
from typing import Final


@dataclass(frozen=True, slots=True, kw_only=True)
class Sample:
    """One sample job: its file beside this one, the id of the job in it, and what it shows."""

    name: str
    file_name: str
    job_id: str
    words: str

    @property
    def file(self) -> Traversable:
        """The job file, wherever the package is installed."""
        return resources.files("samples").joinpath(self.file_name)


SAMPLES: Final[tuple[Sample, ...]] = (
    Sample(
        name="line_bay",
        file_name="line_bay.json",
        job_id="sample-line-bay",
        words="Line bay, three phases, two cores (5P20, 0.5S FS5) at 600-300/1, one whole day of readings.",
    ),
    Sample(
        name="ring_bus_multi_ratio",
        file_name="ring_bus_multi_ratio.json",
        job_id="sample-ring-bus",
        words="Ring bus, 60 Hz, three multi-ratio transformers 1200:5, C400, five leads and ten ratios.",
    ),
    Sample(
        name="steel_toroid",
        file_name="steel_toroid.json",
        job_id="sample-steel-toroid",
        words="Two toroids of 120 turns; excitation computed from measured B-H points of two steels.",
    ),
    Sample(
        name="every_test",
        file_name="every_test.json",
        job_id="sample-every-test",
        words="Transformer bay, two cores (5P20, 0.5 FS5): every test, from links found to load in service.",
    ),
    Sample(
        name="clean_bay",
        file_name="clean_bay.json",
        job_id="sample-clean-bay",
        words="Two feeders, two cores (5P20, 0.5 FS5) at 600-300/1, the plan of a whole day; all in order.",
    ),
    Sample(
        name="faulty_bay",
        file_name="faulty_bay.json",
        job_id="sample-faulty-bay",
        words="The same two feeders with ten faults put in on purpose, for the notices to find.",
    ),
)
FIRST: Final = SAMPLES[0]


def sample(name: str) -> Sample:
    """The sample of that name.

    >>> sample("line_bay").file_name
    'line_bay.json'
    """
    return next(entry for entry in SAMPLES if entry.name == name)
