"""Makes `values/dispatch_settled.csv`: optima under tiers and net metering, by HiGHS.

    python3 tests/reference/make_dispatch_settled.py

Needs highspy and numpy. The linear program is stated in `values/README.md`, section 13b.
"""

import csv
import pathlib

import highspy
import numpy as np

from make_dispatch_limits import BASE, MONTH_DAYS, VALUES, horizons

INF = highspy.kHighsInf

# Evening is 16:00 to 21:00. Tiers as "end in kWh:price", the last without end.
CASES = [
    ("T01", "n168", 84, dict(evening="10:0.20 25:0.30 :0.45", other="15:0.12 :0.30", netting="none", sell=0.05)),
    ("T02", "n168", 84, dict(evening=":0.36", other=":0.15", netting="each", cash_out=0.03)),
    ("T03", "n168", 84, dict(evening="8:0.26 :0.40", other="12:0.12 :0.26", netting="carried", cash_out=0.02)),
    ("T04", "n8760", 0, dict(evening="60:0.26 :0.40", other="150:0.12 :0.26", netting="none", sell=0.05)),
    ("T05", "n8760", 0, dict(evening=":0.36", other=":0.15", netting="each", cash_out=0.03)),
    ("T06", "n8760", 0, dict(evening=":0.36", other=":0.15", netting="carried", cash_out=0.03)),
    ("T07", "n8760", 0, dict(evening="60:0.26 :0.40", other="150:0.12 :0.26", netting="each", cash_out=0.03)),
    ("T08", "n8760", 0, dict(evening="250:0.26 :0.36", other="250:0.12 :0.22", netting="none", sell=0.05, whole=True)),
    ("T09", "n8760", 0, dict(evening="60:0.26 :0.40", other="150:0.12 :0.26", netting="carried", cash_out=0.03)),
    ("T10", "n8760", 0, dict(evening=":0.20", other=":0.20", netting="carried", cash_out=0.03)),
]


def tiers(text):
    found = [part.split(":") for part in text.split()]
    ends = [float(end) if end else INF for end, _ in found]
    return list(zip(np.diff([0.0, *ends]), [float(price) for _, price in found]))


def optimum(net, stretch, case, solver):
    """Columns: import, export, inverter out, inverter in, charge, discharge, stored; then kWh by tier, and kWh left over."""
    n, b = len(net), BASE
    t = np.arange(n)
    evening = (t % 24 >= 16) & (t % 24 < 21)
    group = 2 * stretch + np.where(evening, 0, 1)
    groups = 2 * (stretch.max() + 1)
    lower, upper, cost = [0.0] * (7 * n), [], [0.0] * (7 * n)
    for bound in (INF, INF, b["inverter_out_W"], b["inverter_in_W"], b["charge_W"], b["discharge_W"], b["capacity_Wh"]):
        upper += [bound] * n
    lower[-1] = upper[-1] = b["start_Wh"]
    rows, cols, values, row_lower, row_upper = [], [], [], [], []

    def row(parts, low, high):
        for column, value in parts:
            rows.append(len(row_lower)), cols.append(column), values.append(value)
        row_lower.append(low), row_upper.append(high)

    def column(high, price):
        lower.append(0.0), upper.append(high), cost.append(price)
        return len(upper) - 1

    for i in range(n):
        row([(i, 1.0), (n + i, -1.0), (2 * n + i, 1.0), (3 * n + i, -1.0)], net[i], net[i])
        row([(5 * n + i, -1.0), (3 * n + i, -b["eta_in"]), (4 * n + i, 1.0), (2 * n + i, 1 / b["eta_out"])], 0.0, 0.0)
        before = [(6 * n + i - 1, -1.0)] if i else []
        start = 0.0 if i else b["start_Wh"]
        row([(6 * n + i, 1.0), (4 * n + i, -b["eta_charge"]), (5 * n + i, 1 / b["eta_discharge"]), *before], start, start)
    netted = case["netting"] != "none"
    if not netted:
        cost[n : 2 * n] = [-case["sell"] / 1000] * n
    prices = [tiers(case["evening"]), tiers(case["other"])]
    billed = []
    for of_group in range(groups):
        pieces = prices[of_group % 2]
        if case.get("whole"):
            billed.append([column(INF, pieces[0][1])])
        else:
            billed.append([column(size, price) for size, price in pieces])
    if case.get("whole"):
        base = prices[0][0][1]
        assert [s for s, _ in prices[0]] == [s for s, _ in prices[1]]
        for month in range(groups // 2):
            raised = [column(size, price - base) for size, price in prices[0]]
            row([(billed[2 * month][0], 1.0), (billed[2 * month + 1][0], 1.0), *[(c, -1.0) for c in raised]], 0.0, 0.0)
    left = {}
    for of_group in range(groups):
        last = of_group + 2 >= groups
        if netted:
            paid = case["cash_out"] if case["netting"] == "each" or last else 0.0
            left[of_group] = column(INF, -paid)
        steps = np.flatnonzero(group == of_group)
        parts = [(i, 1e-3) for i in steps] + [(c, -1.0) for c in billed[of_group]]
        if netted:
            parts += [(n + i, -1e-3) for i in steps] + [(left[of_group], 1.0)]
            if case["netting"] == "carried" and of_group >= 2:
                parts.append((left[of_group - 2], -1.0))
        row(parts, 0.0, 0.0)
    rows, cols, values = np.array(rows), np.array(cols), np.array(values)
    order = np.lexsort((rows, cols))
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_, lp.col_cost_ = len(cost), len(row_lower), np.array(cost)
    lp.col_lower_, lp.col_upper_ = np.array(lower), np.array(upper)
    lp.row_lower_, lp.row_upper_ = np.array(row_lower), np.array(row_upper)
    lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    lp.a_matrix_.start_ = np.concatenate([[0], np.cumsum(np.bincount(cols, minlength=len(cost)))])
    lp.a_matrix_.index_, lp.a_matrix_.value_ = rows[order], values[order]
    highs = highspy.Highs()
    for option, value in (("output_flag", False), ("solver", solver)):
        highs.setOptionValue(option, value)
    highs.passModel(lp)
    highs.run()
    assert highs.getModelStatus() == highspy.HighsModelStatus.kOptimal, highs.getModelStatus()
    return highs.getInfo().objective_function_value


def main():
    inputs = {profile: series[0] for (profile, price), series in horizons().items() if price.startswith("tou")}
    with open(VALUES / "dispatch_settled.csv", "w", newline="") as file:
        names = ["case_id", "profile_id", "price_id", "stretch_h", "evening", "other", "whole", "netting", "sell_per_kWh", "cash_out_per_kWh"]
        names += ["bill_optimal", "bill_optimal_second_solver"]
        writer = csv.DictWriter(file, names, lineterminator="\n")
        writer.writeheader()
        for case_id, profile, stretch_h, case in CASES:
            net = inputs[profile]
            t = np.arange(len(net))
            stretch = t // stretch_h if stretch_h else np.repeat(np.arange(12), 24 * np.array(MONTH_DAYS))
            row = dict(
                case_id=case_id, profile_id=profile, price_id="tou_" + profile[1:], stretch_h=stretch_h or "months",
                evening=case["evening"], other=case["other"], whole="yes" if case.get("whole") else "no", netting=case["netting"],
                sell_per_kWh=case.get("sell", 0.0), cash_out_per_kWh=case.get("cash_out", 0.0),
                bill_optimal=repr(float(optimum(net, stretch, case, "simplex"))),
                bill_optimal_second_solver=repr(float(optimum(net, stretch, case, "ipm"))),
            )
            writer.writerow(row)
            print(case_id, row["bill_optimal"], row["bill_optimal_second_solver"], flush=True)


if __name__ == "__main__":
    main()
