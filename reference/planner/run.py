#!/usr/bin/env python3
"""Checks the ways of the crate `operate` with an independent planner; README.md says what that shows and what not.

For every goal in goals.json the example program `way` of the crate gives the length of the shortest safe way on the
whole boat. It also writes the part of the boat nearest to the goal as PDDL (a dozen controls and states move, and those
that the way moves; everything else stays as it stands) and solves that part with our planner. The driver of Fast
Downward, a separate program, then solves the same part. On the part the lengths must be equal, and what one proves
unreachable must be unreachable for the other. The way on the whole boat must not be longer than the way on the part.
A goal on which a program runs out of its time or memory is not decided: neither agreement nor disagreement.

Without --out nothing is written: the lengths are compared with those in results.json too, and any difference counts.
The exit status is 1 if anything disagrees.
"""

import argparse
import json
import pathlib
import re
import subprocess
import sys
import tempfile
import time

HERE = pathlib.Path(__file__).parent
UNDECIDED = "not decided"

# Exit codes of the driver: proved to have no plan; out of memory or time (documentation of Fast Downward, "Exit codes").
NO_PLAN = (10, 11)
RAN_OUT = (20, 21, 22, 23, 24)


def ask(way, boat, goal, folder, most):
    """Runs the example program; its answer as a dictionary."""
    command = [way, boat, goal["goal"], *goal.get("start", []), "--who", goal.get("who", "crew"), "--pddl", folder]
    done = subprocess.run([*command, "--most", str(most)], capture_output=True, text=True, check=True)
    return json.loads(done.stdout)


def solve(driver, folder, seconds):
    """Runs the planner; its cost (None: proved unreachable), the states it expanded, the time."""
    begun = time.monotonic()
    command = [
        sys.executable, driver, "--overall-time-limit", f"{seconds}s", "--overall-memory-limit", "3G", "--plan-file",
        f"{folder}/plan", f"{folder}/domain.pddl", f"{folder}/problem.pddl", "--search", "astar(blind())",
    ]
    done = subprocess.run(command, capture_output=True, text=True, cwd=folder, check=False)
    took = time.monotonic() - begun
    cost = re.search(r"Plan cost: (\d+)", done.stdout)
    expanded = re.search(r"Expanded (\d+) state", done.stdout)
    if cost:
        result = int(cost.group(1))
    elif done.returncode in RAN_OUT or done.returncode < 0:
        result = UNDECIDED
    elif done.returncode in NO_PLAN or "Completely explored state space" in done.stdout \
            or "Trivially false goal" in done.stdout:
        # The blind estimate rules out no state, so a state space explored to its end is a proof.
        result = None
    else:
        result = f"failed {done.returncode}: {done.stderr[-300:]}"
    return result, int(expanded.group(1)) if expanded else 0, took


def judge(ours, whole, theirs):
    """True, False or "not decided"."""
    part = ours["part"]["length"]
    if theirs == UNDECIDED or part == "cut off" or ours["outcome"] == "gave up":
        return UNDECIDED
    return part == theirs and (theirs is None or (whole is not None and whole <= theirs))


def check(options, goal):
    """One goal put to both; the row of the results."""
    with tempfile.TemporaryDirectory() as folder:
        ours = ask(options.way, options.boat, goal, folder, options.most)
        theirs, expanded, took = solve(options.driver, folder, options.seconds)
    whole = ours["length"] if ours["outcome"] in ("shortest", "way", "already") else None
    return {
        "goal": goal["name"], "fact": goal["goal"], "start": goal.get("start", []), "who": goal.get("who", "crew"),
        "whole_boat": {"length": whole, "outcome": ours["outcome"], "seconds": ours["seconds"]},
        "part": ours["part"], "planner": {"length": theirs, "expanded": expanded, "seconds": round(took, 2)},
        "agree": judge(ours, whole, theirs),
    }


def changed(row, known):
    """What is otherwise than in the committed row, in words; times and counts of states are not compared."""
    if known is None:
        return ["it is not in results.json"]
    parts = []
    for name in ("whole_boat", "part", "planner"):
        now, then = row[name]["length"], known[name]["length"]
        if now != then and UNDECIDED not in (now, then):
            parts.append(f"{name} was {then}, is {now}")
    return parts


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--way", required=True, help="the example program")
    parser.add_argument("--boat", required=True, help="a boat file")
    parser.add_argument("--driver", required=True, help="fast-downward.py of the package")
    parser.add_argument("--seconds", type=int, default=60, help="time limit of the planner for one goal")
    parser.add_argument("--most", type=int, default=12, help="controls and states that move, beyond those of the way")
    parser.add_argument("--out", help="write the results to this file, and compare with no earlier ones")
    options = parser.parse_args()
    known = {}
    if options.out is None:
        known = {row["goal"]: row for row in json.loads((HERE / "results.json").read_text())["rows"]}
    rows, bad, undecided = [], 0, 0
    for goal in json.loads((HERE / "goals.json").read_text()):
        row = check(options, goal)
        rows.append(row)
        other = changed(row, known.get(row["goal"])) if options.out is None else []
        bad += row["agree"] is False or bool(other)
        undecided += row["agree"] == UNDECIDED
        verdict = {True: "agree", False: "DISAGREE"}.get(row["agree"], UNDECIDED)
        lengths = f"whole {row['whole_boat']['length']} part {row['part']['length']} planner {row['planner']['length']}"
        print(f"{row['goal']:55} {lengths} in {row['planner']['seconds']} s: {verdict}", flush=True)
        for words in other:
            print(f"    otherwise than in results.json: {words}", flush=True)
    print(f"{len(rows)} goals: {bad} to look into, {undecided} not decided.")
    if options.out is not None:
        result = {"boat": pathlib.Path(options.boat).name, "planner": "Fast Downward, astar(blind())", "rows": rows}
        pathlib.Path(options.out).write_text(json.dumps(result, indent=1) + "\n")
    sys.exit(1 if bad else 0)


if __name__ == "__main__":
    main()
