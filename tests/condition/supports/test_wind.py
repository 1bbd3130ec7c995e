"""Wind pressures against published worked examples, code by code."""

import pytest

from condition.compute.supports import wind_asce, wind_en
from condition.compute.supports.pressure import net_coefficient

HARBOUR = pytest.mark.published("steel industry guide to EN 1991-1-4: worked tower example")


@HARBOUR
def test_w01_roughness_high_over_the_sea():
    assert wind_en.roughness("0", 77.36) == pytest.approx(1.585, abs=0.001)


@HARBOUR
def test_w02_mean_speed_high_over_the_sea():
    assert wind_en.mean_speed(25, "0", 77.36) == pytest.approx(39.624, abs=0.001)


@HARBOUR
def test_w03_peak_pressure_high_over_the_sea():
    assert wind_en.peak_pressure(25, "0", 77.36) / 1000 == pytest.approx(1.658, abs=0.001)


@pytest.mark.published("EN 1991-1-4 (4.10): ½ × 1.25 × 26², printed as 423 in a calculation sheet")
def test_w05_basic_pressure():
    assert wind_en.basic_pressure(26) == pytest.approx(422.5, abs=1e-9)


@pytest.mark.published("calculation sheet to EN 1991-1-4: vb 22, category III, z 13.48: 0.58 kN/m²")
def test_w07_peak_pressure_in_a_suburb():
    assert wind_en.peak_pressure(22, "III", 13.48) / 1000 == pytest.approx(0.58, abs=0.005)


@pytest.mark.published("European steel access note, vb 26, category II, z 7.30; from memory")
def test_w09_peak_pressure_over_low_vegetation():
    assert wind_en.peak_pressure(26, "II", 7.30) == pytest.approx(911, abs=1)


@pytest.mark.published("EN 1991-1-4, 4.3.2: below zmin the pressure is that at zmin")
def test_w10_below_the_least_height_the_pressure_is_that_of_the_least_height():
    assert wind_en.peak_pressure(26, "IV", 3) == wind_en.peak_pressure(26, "IV", 10)


@pytest.mark.published("EN 1991-1-4 (4.8): exposure factor of category II at 10 m")
def test_w10b_exposure_factor():
    factor = wind_en.peak_pressure(26, "II", 10) / wind_en.basic_pressure(26)
    assert factor == pytest.approx(2.352, abs=0.001)


@pytest.mark.published("EN 1991-1-4 (4.3) to (4.8): exposure factors, reckoned by hand")
@pytest.mark.parametrize(
    ("terrain", "factors"),
    [
        ("0", (2.34, 2.60, 2.86, 2.98, 3.22, 3.39, 3.64)),
        ("I", (2.09, 2.37, 2.64, 2.77, 3.02, 3.20, 3.46)),
        ("II", (1.64, 1.93, 2.21, 2.35, 2.62, 2.81, 3.09)),
        ("III", (1.28, 1.28, 1.57, 1.71, 1.98, 2.18, 2.48)),
        ("IV", (1.18, 1.18, 1.18, 1.18, 1.44, 1.64, 1.94)),
    ],
)
def test_exposure_factors_of_every_terrain(terrain, factors):
    heights = (3, 5, 8, 10, 15, 20, 30)
    found = [wind_en.peak_pressure(20, terrain, z) / wind_en.basic_pressure(20) for z in heights]
    assert found == pytest.approx(factors, abs=0.006)


@pytest.mark.published("EN 1991-1-4 (4.3), (4.7), (4.8): vb 26, category II, z 10, co 1.2, by hand")
def test_hills_raise_the_mean_speed_and_calm_the_gusts():
    assert wind_en.mean_speed(26, "II", 10, 1.2) == pytest.approx(31.41, abs=0.005)
    assert wind_en.turbulence("II", 10, 1.2) == pytest.approx(0.1573, abs=0.00005)
    assert wind_en.peak_pressure(26, "II", 10, 1.2) == pytest.approx(1295.6, abs=0.5)


@pytest.mark.published("ASCE 7-16, table 26.10-1")
@pytest.mark.parametrize(
    ("case", "exposure", "height_ft", "factor"),
    [
        ("W11", "B", 30, 0.70),
        ("W12", "C", 15, 0.85),
        ("W14", "C", 60, 1.13),
        ("W15", "D", 30, 1.16),
        ("row 0-15", "B", 0, 0.57),
        ("row 20", "B", 20, 0.62),
        ("row 40", "C", 40, 1.04),
        ("row 60", "D", 60, 1.31),
    ],
)
def test_exposure_factor_of_the_american_code(case, exposure, height_ft, factor):
    assert wind_asce.exposure_factor(exposure, height_ft) == pytest.approx(factor, abs=0.01), case


@pytest.mark.published("ASCE 7-16, table 26.10-1, its note: exposure B, 0.70 for components")
def test_exposure_b_is_never_below_070_for_glazing():
    assert wind_asce.component_factor("B", 10) == 0.70
    assert wind_asce.component_factor("C", 10) == pytest.approx(0.85, abs=0.01)


@pytest.mark.published("anonymous teaching page on ASCE 7: 0.00256 × 0.90 × 1.0 × 0.85 × 100²")
def test_w16_velocity_pressure():
    assert wind_asce.velocity_pressure_psf(100, 0.90, 1.0, 0.85) == pytest.approx(19.58, abs=0.01)


@pytest.mark.published("ASCE 7-16 (26.10-1): the same on a hill with Kzt 1.5, by hand")
def test_hills_raise_the_american_pressure():
    assert wind_asce.velocity_pressure_psf(100, 0.90, 1.5, 0.85) == pytest.approx(29.38, abs=0.01)


@pytest.mark.published("ASCE 7-16 (26.10-1) in SI: 0.613 × V² in N/m² for m/s")
def test_velocity_pressure_agrees_with_the_metric_form():
    metric = 0.613 * (100 * 0.44704) ** 2
    found = wind_asce.velocity_pressure_psf(100, 1.0) * wind_asce.PA_PER_PSF
    assert found == pytest.approx(metric, rel=0.001)


@pytest.mark.published("teaching page on ASCE 7: qh 31.33 psf, G 0.85, Cp −0.7, GCpi 0.18")
def test_w18_net_pressure_on_a_wall():
    assert 31.33 * net_coefficient(0.85 * -0.7, 0.18) == pytest.approx(-24.28, abs=0.01)
