"""Makes `values/dispatch_limits.csv`: optima under limits, with DC-joined PV and with demand charges, by HiGHS.

    python3 tests/reference/make_dispatch_limits.py

Needs highspy and numpy. The linear program is stated in `values/README.md`, section 13.
"""

import csv
import gzip
import pathlib

import highspy
import numpy as np

VALUES = pathlib.Path(__file__).resolve().parent / "values"
MONTH_DAYS = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
INF = highspy.kHighsInf

BASE = dict(
    capacity_Wh=10000.0, start_Wh=2000.0, charge_W=4000.0, discharge_W=5000.0, eta_charge=0.97, eta_discharge=0.98,
    inverter_out_W=4000.0, inverter_in_W=3000.0, eta_out=0.955, eta_in=0.95, dc_pv_share=0.0, throttleable_share=0.0,
    import_limit_W=None, export_limit_W=None, demand_per_kW=0.0, demand_periods="none",
)
CASES = [
    ("M01", "n24", "tou_24", {}),
    ("M02", "n168", "tou_168", dict(export_limit_W=0.0, throttleable_share=1.0)),
    ("M03", "n168", "flat_168", dict(export_limit_W=1500.0, throttleable_share=1.0)),
    ("M04", "n168", "hourly_168", dict(import_limit_W=2500.0, export_limit_W=2000.0, throttleable_share=1.0)),
    ("M05", "n168", "tou_168", dict(dc_pv_share=0.8)),
    ("M06", "n168", "hourly_168", dict(dc_pv_share=2.0, export_limit_W=0.0, throttleable_share=1.0)),
    ("M07", "n168", "hourly_168", dict(dc_pv_share=1.5, inverter_in_W=0.0, export_limit_W=3000.0, throttleable_share=1.0)),
    ("M08", "n24", "flat_24", dict(demand_per_kW=3.0, demand_periods="whole")),
    ("M09", "n168", "tou_168", dict(demand_per_kW=2.0, demand_periods="whole")),
    ("M10", "n168", "hourly_168", dict(demand_per_kW=0.4, demand_periods="days", dc_pv_share=0.5)),
    ("M11", "n8760", "tou_8760", dict(dc_pv_share=0.7, export_limit_W=2000.0, throttleable_share=1.0)),
    ("M12", "n8760", "hourly_8760", dict(dc_pv_share=0.7, export_limit_W=0.0, throttleable_share=1.0)),
    ("M13", "n8760", "tou_8760", dict(demand_per_kW=9.0, demand_periods="months")),
    ("M14", "n8760", "hourly_8760", dict(demand_per_kW=6.0, demand_periods="months", dc_pv_share=0.5)),
]


def horizons():
    found = {}
    with gzip.open(VALUES / "dispatch_lp_inputs.csv.gz", "rt") as file:
        for row in csv.DictReader(file):
            found.setdefault((row["profile_id"], row["price_id"]), []).append(
                [float(row[name]) for name in ("net_load_W", "price_import_per_kWh", "price_export_per_kWh")]
            )
    return {key: np.array(rows).T for key, rows in found.items()}


def periods(kind, n):
    lengths = {
        "none": [], "whole": [n], "days": [24] * (n // 24), "months": [24 * days for days in MONTH_DAYS],
    }[kind]
    ends = np.cumsum(lengths).astype(int)
    return list(zip([0, *ends[:-1]], ends)) if lengths else []


def optimum(net, buy, sell, case, solver):
    """Columns: import, export, AC cut, DC cut, inverter out, inverter in, charge, discharge, stored, peaks; W and Wh."""
    n = len(net)
    spans = periods(case["demand_periods"], n)
    columns = 9 * n + len(spans)
    surplus = np.maximum(-net, 0)
    dc_pv = case["dc_pv_share"] * surplus
    limit = lambda value: np.full(n, INF if value is None else value)
    lower, upper, cost = np.zeros(columns), np.full(columns, INF), np.zeros(columns)
    for block, bound in enumerate([
        limit(case["import_limit_W"]), limit(case["export_limit_W"]), case["throttleable_share"] * surplus, dc_pv,
        limit(case["inverter_out_W"]), limit(case["inverter_in_W"]), limit(case["charge_W"]), limit(case["discharge_W"]),
        limit(case["capacity_Wh"]),
    ]):
        upper[block * n : (block + 1) * n] = bound
    lower[9 * n - 1] = upper[9 * n - 1] = case["start_Wh"]
    cost[:n], cost[n : 2 * n], cost[9 * n :] = buy / 1000, -sell / 1000, case["demand_per_kW"] / 1000
    rows, cols, values = [], [], []

    def put(row, column, value):
        rows.append(row), cols.append(column), values.append(np.full(len(row), value))

    t = np.arange(n)
    for block, factor in ((0, 1), (1, -1), (2, -1), (4, 1), (5, -1)):
        put(t, block * n + t, factor)
    for block, factor in ((3, 1), (7, -1), (5, -case["eta_in"]), (6, 1), (4, 1 / case["eta_out"])):
        put(n + t, block * n + t, factor)
    for block, factor in ((8, 1), (6, -case["eta_charge"]), (7, 1 / case["eta_discharge"])):
        put(2 * n + t, block * n + t, factor)
    put(2 * n + t[1:], 8 * n + t[:-1], -1.0)
    under = 3 * n
    for index, (first, after) in enumerate(spans):
        span = np.arange(first, after)
        put(under + np.arange(len(span)), span, 1.0)
        put(under + np.arange(len(span)), np.full(len(span), 9 * n + index), -1.0)
        under += len(span)
    stored = np.zeros(n)
    stored[0] = case["start_Wh"]
    row_upper = np.concatenate([net, dc_pv, stored, np.zeros(under - 3 * n)])
    row_lower = row_upper.copy()
    row_lower[3 * n :] = -INF
    rows, cols, values = map(np.concatenate, (rows, cols, values))
    order = np.lexsort((rows, cols))
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_, lp.col_cost_ = columns, under, cost
    lp.col_lower_, lp.col_upper_, lp.row_lower_, lp.row_upper_ = lower, upper, row_lower, row_upper
    lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    lp.a_matrix_.start_ = np.concatenate([[0], np.cumsum(np.bincount(cols, minlength=columns))])
    lp.a_matrix_.index_, lp.a_matrix_.value_ = rows[order], values[order]
    highs = highspy.Highs()
    for option, value in (
        ("output_flag", False), ("solver", solver), ("primal_feasibility_tolerance", 1e-9), ("dual_feasibility_tolerance", 1e-9),
    ):
        highs.setOptionValue(option, value)
    highs.passModel(lp)
    highs.run()
    assert highs.getModelStatus() == highspy.HighsModelStatus.kOptimal, highs.getModelStatus()
    return highs.getInfo().objective_function_value


def main():
    inputs = horizons()
    with open(VALUES / "dispatch_limits.csv", "w", newline="") as file:
        names = ["case_id", "profile_id", "price_id", *BASE, "bill_optimal", "bill_optimal_second_solver", "bill_no_battery"]
        writer = csv.DictWriter(file, names, lineterminator="\n")
        writer.writeheader()
        for case_id, profile, price, changes in CASES:
            case = {**BASE, **changes}
            net, buy, sell = inputs[profile, price]
            assert (buy >= sell).all() and (sell >= 0).all()
            none = {**case, "capacity_Wh": 0.0, "start_Wh": 0.0}
            row = dict(
                case_id=case_id, profile_id=profile, price_id=price,
                **{key: "" if value is None else value for key, value in case.items()},
                bill_optimal=repr(float(optimum(net, buy, sell, case, "simplex"))),
                bill_optimal_second_solver=repr(float(optimum(net, buy, sell, case, "ipm"))),
                bill_no_battery="",
            )
            if case["import_limit_W"] is None:
                row["bill_no_battery"] = repr(float(optimum(net, buy, sell, none, "simplex")))
            writer.writerow(row)
            print(row["case_id"], row["bill_optimal"], row["bill_optimal_second_solver"], row["bill_no_battery"])


if __name__ == "__main__":
    main()
