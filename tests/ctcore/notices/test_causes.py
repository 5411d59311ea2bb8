"""Shorted turn, closed primary loop, parallel path and remanence told apart on simulated windings."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from tests.ctcore.notices.windings import VOLTS, Winding

ALL = ("shorted_turn", "closed_primary_loop", "parallel_path", "magnetised_core")
HEALTHY = Winding()


def causes(made: Any) -> list[tuple[str, tuple[str, ...]]]:
    return [(name, cores) for name in ALL for cores in made.cores_noticed(name)]


def two_cores(made: Any, **loops: complex | None) -> None:
    """Curves of both cores of every phase; the second core has a sixth of the knee. A loop by phase."""
    for phase, spread in (("L1", 1.0), ("L2", 1.03), ("L3", 0.97)):
        loop = loops.get(phase)
        first = Winding(i_magnetising_a=0.04 * spread, z_primary_loop_ohm=loop)
        second = Winding(
            v_knee_v=66.0, i_magnetising_a=0.004 * spread, i_loss_a=0.002, z_primary_loop_ohm=loop
        )
        made.curve(f"{phase}-1", first.curve(VOLTS), primary_state="closed" if loop else "open")
        volts = [v / 6.0 for v in VOLTS]
        made.curve(f"{phase}-2", second.curve(volts), primary_state="closed" if loop else "open")


def test_healthy_windings_raise_nothing(bay: Callable[..., Any]) -> None:
    made = bay()
    made.windings()

    assert causes(made) == []


def test_one_shorted_turn_is_found_on_its_core_alone(bay: Callable[..., Any]) -> None:
    made = bay()
    made.windings(L2=HEALTHY.with_faults(turns_shorted_count=1.0))
    made.resistances("L2-1")

    assert causes(made) == [("shorted_turn", ("L2-1",))]


def test_the_path_of_a_shorted_turn_is_measured_in_turns(bay: Callable[..., Any]) -> None:
    made = bay()
    made.windings(L2=HEALTHY.with_faults(turns_shorted_count=2.0))
    made.resistances("L2-1")
    (notice,) = made.noticed("shorted_turn")

    assert notice.evidence[-1].value == pytest.approx(2.0, rel=0.12)


def test_a_shorted_turn_shows_a_resistive_current_as_arithmetic_says() -> None:
    """600 turns, 3 ohm, 100 V: V/(N Rct) = 56 mA; arithmetic."""
    healthy, faulty = (
        Winding(i_magnetising_a=1e-9, i_loss_a=1e-9, turns_shorted_count=n).shows(100.0)[1]
        for n in (0.0, 1.0)
    )

    assert faulty - healthy == pytest.approx(100.0 / (600.0 * 3.0), rel=1e-3)


def test_a_loop_of_five_milliohm_shows_what_arithmetic_says() -> None:
    """600 turns, 5 milliohm, 100 V: V/(N^2 Z) = 56 mA; arithmetic."""
    only = Winding(i_magnetising_a=1e-9, i_loss_a=1e-9, z_primary_loop_ohm=0.005 + 0j)

    assert only.shows(100.0)[1] == pytest.approx(100.0 / (600.0**2 * 0.005), rel=1e-3)


@pytest.mark.parametrize("loop", [0.005 + 0j, 0.003 + 0.004j])
def test_a_closed_primary_shows_on_every_core_of_its_transformer(
    bay: Callable[..., Any], loop: complex
) -> None:
    made = bay(cores=2)
    two_cores(made, L3=loop)

    assert causes(made) == [("closed_primary_loop", ("L3-1", "L3-2"))]


def test_the_loop_is_given_in_ohm(bay: Callable[..., Any]) -> None:
    made = bay(cores=2)
    two_cores(made, L1=0.005 + 0j)
    (notice,) = made.noticed("closed_primary_loop")

    assert notice.evidence[0].value == pytest.approx(0.005, rel=0.15)


def test_one_core_high_beside_a_healthy_one_is_no_loop(bay: Callable[..., Any]) -> None:
    made = bay(cores=2)
    two_cores(made)
    made.readings = [entry for entry in made.readings if entry.core_id != "L1-1"]
    made.curve("L1-1", HEALTHY.with_faults(turns_shorted_count=1.0).curve(VOLTS))

    assert causes(made) == [("shorted_turn", ("L1-1",))]
    assert "L1 core 2 is as the sisters are" in made.noticed("shorted_turn")[0].sentence


def test_a_burden_left_on_lowers_the_resistance_and_is_a_parallel_path(bay: Callable[..., Any]) -> None:
    made = bay()
    made.windings(L1=HEALTHY.with_faults(r_parallel_ohm=60.0))
    for phase, ohm in (("L1", 3.0 * 60.0 / 63.0), ("L2", 3.0), ("L3", 3.0)):
        made.key(f"{phase}-1", "resistance", leads="four_wire", t_winding_degc=20)
        made.key(f"{phase}-1", "resistance", "S1-S3", r_measured_ohm=ohm)

    assert causes(made) == [("parallel_path", ("L1-1",))]


def test_low_insulation_speaks_for_a_parallel_path(bay: Callable[..., Any]) -> None:
    made = bay()
    made.windings(L1=HEALTHY.with_faults(r_parallel_ohm=1500.0))
    for phase, ohm in (("L1", 2e4), ("L2", 2e9), ("L3", 1e9)):
        made.key(f"{phase}-1", "insulation", "secondary_earth", insulation_resistance_ohm=ohm)

    assert causes(made) == [("parallel_path", ("L1-1",))]


def test_remanence_shows_at_the_low_end_alone(bay: Callable[..., Any]) -> None:
    made = bay()
    made.windings(L3=HEALTHY.with_faults(remanence_ratio=0.6))

    assert causes(made) == [("magnetised_core", ("L3-1",))]


@pytest.mark.parametrize("seed", range(8))
def test_noise_of_the_meters_changes_no_answer(bay: Callable[..., Any], seed: int) -> None:
    made = bay()
    chance = np.random.default_rng(seed)
    faulty = {"L1": HEALTHY.with_faults(turns_shorted_count=1.0), "L2": HEALTHY, "L3": HEALTHY}
    for phase, winding in faulty.items():
        made.curve(f"{phase}-1", winding.curve(VOLTS, chance))

    assert causes(made) == [("shorted_turn", ("L1-1",))]


@pytest.mark.parametrize("name", ["shorted_turn", "parallel_path", "magnetised_core"])
def test_without_a_sister_nothing_is_told_apart(bay: Callable[..., Any], name: str) -> None:
    made = bay()
    made.curve("L1-1", HEALTHY.curve(VOLTS))

    assert "No curve of this core that a sister phase has too" in made.reason(name)


def test_a_parallel_path_needs_resistance_insulation_or_links(bay: Callable[..., Any]) -> None:
    made = bay()
    for phase, winding in (("L1", HEALTHY.with_faults(r_parallel_ohm=1500.0)), ("L2", HEALTHY)):
        made.curve(f"{phase}-1", winding.curve(VOLTS), links=None)

    assert "Neither resistance, insulation nor the state of the links" in made.reason("parallel_path")


def test_one_core_cannot_tell_a_loop(bay: Callable[..., Any]) -> None:
    made = bay()
    made.windings(L1=HEALTHY.with_faults(z_primary_loop_ohm=0.005 + 0j))

    assert "Fewer than two cores" in made.reason("closed_primary_loop")
    assert "a primary loop is noted as open" in made.noticed("shorted_turn")[0].sentence


@pytest.mark.parametrize("state", ["primary_state", "other_cores"])
def test_a_loop_needs_the_state_of_primary_and_other_cores(bay: Callable[..., Any], state: str) -> None:
    made = bay(cores=2)
    two_cores(made)
    made.readings = [entry for entry in made.readings if entry.quantity_id != state]

    assert "is not recorded" in made.reason("closed_primary_loop")
