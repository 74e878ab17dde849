"""Times Couplet's chain from sun to DC power against pvlib's, in one run, and checks that both give the same sums.

    python3 tests/bench/sky_vs_pvlib.py

Needs cargo, Python 3.10 or later, and the package index for pvlib 0.16.1 and numpy (kept in target/pvlib-venv for the next run).

Both sides do the same work on the same invented year (core/benches/sky/chain.rs): sun position by the NREL algorithm with refraction,
extraterrestrial irradiance (Spencer), air mass (Kasten & Young), split of global light (Erbs), two planes under a Perez sky, cell
temperature (Faiman), DC power. Making the year is not timed on either side. The fastest of several runs counts.
"""

import os
import pathlib
import subprocess
import sys
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
TARGET = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))
VENV = TARGET / "pvlib-venv"
PYTHON = VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")

# The positions agree to 1e-6 degrees and the rest is the same arithmetic; only steps where the sun stands at a rule's very limit
# (87 or 90 degrees) may fall to either side of it.
RELATIVE = 1e-6
SIZES = [(3600, 8760, 15), (300, 105120, 5)]


def enter_venv() -> None:
    """Runs this file again inside the environment that has pvlib."""
    if not PYTHON.exists():
        subprocess.run([sys.executable, "-m", "venv", str(VENV)], check=True)
        subprocess.run(
            [str(PYTHON), "-m", "pip", "install", "--quiet", "pvlib==0.16.1", "numpy"], check=True
        )
    sys.exit(subprocess.run([str(PYTHON), __file__, "--inside"]).returncode)


def invented_year(step_s):
    """The same year as `Input::invented` in core/benches/sky/chain.rs."""
    import numpy as np

    index = np.arange(365 * 86400 // step_s)
    mid_s = (index + 0.5) * step_s
    day, hour = np.floor(mid_s / 86400), (mid_s % 86400) / 3600
    season = np.cos(2 * np.pi * (day - 171) / 365)
    cloud = 0.6 + 0.4 * np.sin(0.9 * day + 0.7 * hour)
    length = 12 + 2.2 * season
    height = np.cos(np.pi * (hour - 12.4) / length)
    lit = np.abs(hour - 12.4) < 0.5 * length
    ghi = np.where(lit, (700 + 250 * season) * height * cloud, 0.0)
    air = 14 + 10 * season + 5 * np.cos(2 * np.pi * (hour - 15) / 24)
    wind = 2 + np.sin(0.3 * day)
    return mid_s, ghi, air, wind


def pvlib_chain(times, ghi, air, wind, step_h):
    import numpy as np
    import pvlib

    latitude, longitude, elevation = 36.1, -79.95, 273.0
    sun = pvlib.solarposition.spa_python(
        times, latitude, longitude, altitude=elevation,
        pressure=pvlib.atmosphere.alt2pres(elevation), temperature=12, delta_t=69.1,
        atmos_refract=0.5667, how="numpy",
    )
    true_zenith = sun["zenith"].to_numpy()
    zenith, azimuth = sun["apparent_zenith"].to_numpy(), sun["azimuth"].to_numpy()
    extra = pvlib.irradiance.get_extra_radiation(times, method="spencer").to_numpy()
    air_mass = pvlib.atmosphere.get_relative_airmass(zenith, "kastenyoung1989")
    split = pvlib.irradiance.erbs(ghi, true_zenith, times)
    dni, dhi = np.asarray(split["dni"]), np.asarray(split["dhi"])
    energies = []
    for tilt, facing in ((30, 180), (20, 270)):
        plane = pvlib.irradiance.get_total_irradiance(
            tilt, facing, zenith, azimuth, dni, ghi, dhi, dni_extra=extra, airmass=air_mass,
            albedo=0.2, model="perez", model_perez="allsitescomposite1990",
        )
        poa = np.nan_to_num(np.asarray(plane["poa_global"]))
        cell = pvlib.temperature.faiman(poa, air, wind, u0=25.0, u1=6.84)
        dc = poa / 1000 * (1 - 0.0035 * (cell - 25))
        energies.append(float(dc.sum() * step_h))
    return [float(dni.sum() * step_h), float(dhi.sum() * step_h), *energies]


def couplet_chain(step_s, repeats):
    """Seconds and sums printed by core/examples/sky_chain.rs."""
    program = TARGET / "release" / "examples" / ("sky_chain.exe" if os.name == "nt" else "sky_chain")
    lines = subprocess.run(
        [str(program), str(step_s), str(repeats)], check=True, capture_output=True, text=True
    ).stdout.split("\n")
    seconds, *sums = [float(line.split()[1]) for line in lines if line]
    return seconds, sums


def main() -> int:
    import pandas as pd

    subprocess.run(
        ["cargo", "build", "--quiet", "--release", "-p", "couplet-core", "--example", "sky_chain"],
        check=True, cwd=ROOT,
    )
    agree = True
    for step_s, steps, repeats in SIZES:
        mid_s, ghi, air, wind = invented_year(step_s)
        assert len(ghi) == steps
        start = pd.Timestamp("2026-01-01T05:00Z")
        times = start + pd.to_timedelta(mid_s, unit="s")
        fastest = float("inf")
        for _ in range(repeats):
            begun = time.perf_counter()
            theirs = pvlib_chain(times, ghi, air, wind, step_s / 3600)
            fastest = min(fastest, time.perf_counter() - begun)
        seconds, ours = couplet_chain(step_s, 4 * repeats)
        off = max(abs(a - b) / abs(b) for a, b in zip(ours, theirs))
        agree &= off <= RELATIVE
        print(
            f"{steps:>7} steps: pvlib {1000 * fastest:9.2f} ms, couplet {1000 * seconds:7.2f} ms, "
            f"{fastest / seconds:5.1f} times as fast; sums agree to {off:.1e}"
        )
    if not agree:
        print(f"the sums differ by more than {RELATIVE:g}")
    return 0 if agree else 1


if __name__ == "__main__":
    sys.exit(main()) if "--inside" in sys.argv else enter_venv()
