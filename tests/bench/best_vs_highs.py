"""Times Couplet's best possible against HiGHS's linear program of the same year, in one run, and checks that both agree.

    python3 tests/bench/best_vs_highs.py

Needs cargo, Python 3.10 or later, and the package index for highspy and numpy (kept in target/highs-venv for the next run).

Both sides solve the same invented years (core/examples/best_year.rs): 8,760 hours of one household under four tariffs. On the
side of HiGHS only the solver is timed, with the dual simplex method and with the interior point method, on one thread and
without the time to build the model; on Couplet's side everything from the series to the cost and the plan. The fastest of
several runs counts.
"""

import math
import os
import pathlib
import subprocess
import sys
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
TARGET = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))
VENV = TARGET / "highs-venv"
PYTHON = VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")

STEPS = 8760
REPEATS = 3
RELATIVE = 1e-6
TARIFFS = ["flat", "tou", "hourly", "limits"]


def enter_venv() -> None:
    """Runs this file again inside the environment that has HiGHS."""
    if not PYTHON.exists():
        subprocess.run([sys.executable, "-m", "venv", str(VENV)], check=True)
        subprocess.run(
            [str(PYTHON), "-m", "pip", "install", "--quiet", "highspy", "numpy"], check=True
        )
    sys.exit(subprocess.run([str(PYTHON), __file__, "--inside"]).returncode)


def invented_year(tariff):
    """The same year as `Year::invented` in core/examples/best_year.rs: net load, PV and both prices of every hour."""
    net, pv, buy, sell = [], [], [], []
    for index in range(STEPS):
        day, hour = index // 24, index % 24 + 0.5
        season = math.cos(2 * math.pi * (day - 171) / 365)
        cloud = 0.6 + 0.4 * math.sin(0.9 * day + 0.7 * hour)
        height = math.cos(math.pi * (hour - 12.4) / (12 + 2.2 * season))
        lit = abs(hour - 12.4) < 0.5 * (12 + 2.2 * season)
        sun = (4500 + 1500 * season) * height * cloud if lit else 0.0
        load = (
            350
            + 900 * math.exp(-((hour - 19) ** 2) / 5)
            + 500 * math.exp(-((hour - 7.5) ** 2) / 2)
            + 300 * (1 + math.sin(1.3 * day + 2.1 * hour))
        )
        pv.append(sun)
        net.append(load - sun)
        if tariff == "flat":
            prices = (0.28, 0.07)
        elif tariff == "hourly":
            price = 0.18 + 0.09 * math.sin(0.5 * hour + 0.11 * day) + 0.05 * math.sin(2.3 * hour)
            prices = (price, 0.8 * price)
        else:
            dear = 16 <= hour < 21
            prices = (0.41 if dear else 0.17 if hour < 6 else 0.25, 0.05)
        buy.append(prices[0])
        sell.append(prices[1])
    return net, pv, buy, sell


def highs_model(tariff):
    """The linear program, in the columns import, export, charge, discharge, stored and throttled of every hour."""
    import highspy
    import numpy as np

    net, pv, buy, sell = (np.array(series) / scale for series, scale in
                          zip(invented_year(tariff), (1000, 1000, 1, 1)))
    n, inf = STEPS, highspy.kHighsInf
    limits = tariff == "limits"
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = 6 * n, 2 * n
    lp.col_cost_ = np.concatenate([buy, -sell, np.zeros(4 * n)])
    upper = [
        np.full(n, 6.0 if limits else inf), np.full(n, 1.5 if limits else inf), np.full(n, 3.3),
        np.full(n, 4.6), np.full(n, 13.5), pv if limits else np.zeros(n),
    ]
    lower = np.zeros(6 * n)
    upper = np.concatenate(upper)
    lower[5 * n - 1] = upper[5 * n - 1] = 2.0
    lp.col_lower_, lp.col_upper_ = lower, upper
    rows, cols, values = [], [], []
    for column, factor in ((0, 1.0), (1, -1.0), (2, -1.0), (3, 1.0), (5, -1.0)):
        rows.append(np.arange(n)), cols.append(column * n + np.arange(n)), values.append(np.full(n, factor))
    for column, factor in ((4, 1.0), (2, -0.974), (3, 1 / 0.968)):
        rows.append(n + np.arange(n)), cols.append(column * n + np.arange(n)), values.append(np.full(n, factor))
    rows.append(n + np.arange(1, n)), cols.append(4 * n + np.arange(n - 1)), values.append(np.full(n - 1, -1.0))
    rows, cols, values = map(np.concatenate, (rows, cols, values))
    order = np.lexsort((rows, cols))
    lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    lp.a_matrix_.start_ = np.concatenate([[0], np.cumsum(np.bincount(cols, minlength=6 * n))])
    lp.a_matrix_.index_, lp.a_matrix_.value_ = rows[order], values[order]
    stored = np.zeros(n)
    stored[0] = 2.0
    lp.row_lower_ = lp.row_upper_ = np.concatenate([net, stored])
    return lp


def solve(lp, solver):
    """Fastest time, s, and optimum."""
    import highspy

    fastest, optimum = float("inf"), float("nan")
    for _ in range(REPEATS):
        highs = highspy.Highs()
        highs.setOptionValue("output_flag", False)
        highs.setOptionValue("threads", 1)
        highs.setOptionValue("solver", solver)
        highs.passModel(lp)
        begun = time.perf_counter()
        highs.run()
        fastest = min(fastest, time.perf_counter() - begun)
        optimum = highs.getInfo().objective_function_value
    return fastest, optimum


def couplet(tariff):
    """Fastest time, s, and optimum, printed by core/examples/best_year.rs."""
    program = TARGET / "release" / "examples" / ("best_year.exe" if os.name == "nt" else "best_year")
    lines = subprocess.run(
        [str(program), tariff, "20"], check=True, capture_output=True, text=True
    ).stdout.split("\n")
    return tuple(float(line.split()[1]) for line in lines if line)


def main() -> int:
    subprocess.run(
        ["cargo", "build", "--quiet", "--release", "-p", "couplet-core", "--example", "best_year"],
        check=True, cwd=ROOT,
    )
    agree = True
    for tariff in TARIFFS:
        lp = highs_model(tariff)
        simplex_s, optimum = solve(lp, "simplex")
        interior_s, _ = solve(lp, "ipm")
        ours_s, ours = couplet(tariff)
        off = abs(ours - optimum) / abs(optimum)
        agree &= off <= RELATIVE
        fastest = min(simplex_s, interior_s)
        print(
            f"{tariff:>7}, {STEPS} h: HiGHS simplex {1000 * simplex_s:7.1f} ms, interior point "
            f"{1000 * interior_s:7.1f} ms; couplet {1000 * ours_s:6.2f} ms, {fastest / ours_s:5.0f} times as fast "
            f"as the faster; optimum {optimum:.6f}, agreed to {off:.1e}"
        )
    if not agree:
        print(f"the optima differ by more than {RELATIVE:g}")
    return 0 if agree else 1


if __name__ == "__main__":
    sys.exit(main()) if "--inside" in sys.argv else enter_venv()
