"""The same figures by samplics: reads FOLDER/items.csv, writes FOLDER/samplics.csv, prints what,seconds."""

import csv
import sys
import time
import warnings
from importlib.metadata import version

warnings.simplefilter("ignore")

import pandas as pd
from samplics import PopParam
from samplics.estimation import TaylorEstimator

folder = sys.argv[1]
d = pd.read_csv(f"{folder}/items.csv")
d["psu"] = d["stratum"] + " " + d["box"]
conditions = [f"c{i}" for i in range(1, 21)]
sampled = d.groupby("stratum")["psu"].nunique()
frame = d.groupby("stratum")["N"].first()
weights = d["stratum"].map(frame / sampled)
# samplics wants the factor itself, 1 - n / N.
fpc = (1 - sampled / frame).to_dict()


def one(condition, domain=None):
    made = TaylorEstimator(PopParam.mean)
    made.estimate(
        y=d[condition], samp_weight=weights, stratum=d["stratum"], psu=d["psu"], fpc=fpc, domain=domain
    )
    return made


start = time.process_time()
whole = {c: one(c) for c in conditions}
refused = 0
for c in conditions:
    # A condition that a stratum has none of is a division by zero there.
    try:
        one(c, d["stratum"])
    except ZeroDivisionError:
        refused += 1
took = time.process_time() - start
print(f"shares and errors, all and by stratum,{took}")


def single(value):
    return float(next(iter(value.values()))) if isinstance(value, dict) else float(value)


with open(f"{folder}/samplics.csv", "w", newline="") as file:
    rows = csv.writer(file)
    rows.writerow(["condition", "estimate", "se"])
    for c, made in whole.items():
        rows.writerow([c, repr(single(made.point_est)), repr(single(made.stderror))])
if refused:
    print(f"note,refused {refused} of 20 conditions by stratum (none seen in one of them)")
print(f"version,{version('samplics')}")
