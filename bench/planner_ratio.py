"""Prints how our planner's times compare with the independent planner's, from reference/planner/results.json.

Both were timed in one run of reference/planner/run.py: ours as one cold question on the whole boat, the other as its whole
program from start to end, translation included, on the smaller part of the boat that it can take. Its start alone is most
of that, so the ratio says how it is to be asked, not how well either searches; for that compare the states expanded.
"""

import json
import math
import pathlib

ROOT = pathlib.Path(__file__).resolve().parent.parent
ROWS = json.loads((ROOT / "reference/planner/results.json").read_text())["rows"]

ratios = []
for row in ROWS:
    ours, other = row["whole_boat"]["seconds"], row["planner"].get("seconds")
    if other and ours:
        ratios.append(other / ours)
        print(f"{row['goal']:45} ours {ours * 1000:7.2f} ms  other {other * 1000:7.0f} ms  ratio {other / ours:7.0f}")
mean = math.exp(sum(map(math.log, ratios)) / len(ratios))
print(f"{len(ratios)} goals; the other takes {mean:.0f} times as long (geometric mean)")
