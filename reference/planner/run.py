#!/usr/bin/env python3
"""Checks the ways of the crate `operate` with an independent planner.

For every goal in goals.json the example program `way` of the crate gives the length of the shortest safe way on the
whole boat. It also writes the part of the boat nearest to the goal as PDDL (a dozen controls and states move, and those
that the way moves; everything else stays as it stands) and solves that part with our planner. The driver of Fast
Downward, a separate program, then solves the same part with A* and a blind estimate, the one configuration of it whose
optimality is certain for tasks with axioms. On the part the lengths must be equal, and what one proves unreachable must
be unreachable for the other. The part can do less than the whole boat, so the way on the whole boat must not be
longer than the other planner's way on the part.

Nothing is installed here. The driver comes with the PyPI package up-fast-downward 1.0.0, GPL-3, run as a program only:

    python3 -m venv VENV && VENV/bin/pip install up-fast-downward==1.0.0
    cargo build --release -p operate --example way
    python3 run.py --way target/release/examples/way --boat demo/whimbrel.toml \
        --driver VENV/lib/python3*/site-packages/up_fast_downward/downward/fast-downward.py
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


def ask(way, boat, goal, folder, most):
    """Runs the example program; its answer as a dictionary."""
    command = [way, boat, goal["goal"], *goal.get("start", []), "--who", goal.get("who", "crew"), "--pddl", folder]
    done = subprocess.run([*command, "--most", str(most)], capture_output=True, text=True, check=True)
    return json.loads(done.stdout)


def solve(driver, folder, seconds):
    """Runs the planner; its cost (None: proved unreachable, "time": gave up), the states it expanded, the time."""
    begun = time.monotonic()
    command = [
        sys.executable, driver, "--overall-time-limit", f"{seconds}s", "--overall-memory-limit", "3G", "--plan-file",
        f"{folder}/plan", f"{folder}/domain.pddl", f"{folder}/problem.pddl", "--search", "astar(blind())",
    ]
    done = subprocess.run(command, capture_output=True, text=True, cwd=folder, check=False)
    took = time.monotonic() - begun
    cost = re.search(r"Plan cost: (\d+)", done.stdout)
    expanded = re.search(r"Expanded (\d+) state", done.stdout)
    unsolvable = "Completely explored state space" in done.stdout or "proven unsolvable" in done.stdout \
        or done.returncode in (11, 12) or "Trivially false goal" in done.stdout
    if cost:
        result = int(cost.group(1))
    elif unsolvable:
        result = None
    else:
        result = "time" if done.returncode in (21, 22, 23, 24) else f"failed {done.returncode}: {done.stderr[-300:]}"
    return result, int(expanded.group(1)) if expanded else 0, took


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--way", required=True)
    parser.add_argument("--boat", required=True)
    parser.add_argument("--driver", required=True)
    parser.add_argument("--seconds", type=int, default=60, help="time limit of the planner for one goal")
    parser.add_argument("--most", type=int, default=12, help="controls and states that move, beyond those of the way")
    options = parser.parse_args()
    rows, bad = [], 0
    for goal in json.loads((HERE / "goals.json").read_text()):
        with tempfile.TemporaryDirectory() as folder:
            ours = ask(options.way, options.boat, goal, folder, options.most)
            theirs, expanded, took = solve(options.driver, folder, options.seconds)
        whole = None if ours["outcome"] == "none" else ours["length"]
        agree = ours["part"]["length"] == theirs and (theirs is None or (whole is not None and whole <= theirs))
        bad += not agree
        rows.append({
            "goal": goal["name"], "fact": goal["goal"], "start": goal.get("start", []), "who": goal.get("who", "crew"),
            "whole_boat": {"length": whole, "outcome": ours["outcome"], "seconds": ours["seconds"]},
            "part": ours["part"], "planner": {"length": theirs, "expanded": expanded, "seconds": round(took, 2)},
            "agree": agree,
        })
        print(f"{goal['name']:55} whole {whole} part {ours['part']} planner {theirs} {took:.1f} s agree {agree}", flush=True)
        result = {"boat": pathlib.Path(options.boat).name, "planner": "Fast Downward, astar(blind())", "rows": rows}
        (HERE / "results.json").write_text(json.dumps(result, indent=1) + "\n")
    sys.exit(1 if bad else 0)


if __name__ == "__main__":
    main()
