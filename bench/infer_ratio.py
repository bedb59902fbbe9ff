"""Times exact inference in the network behind a symptom: a general inference library, and ours, in one run.

The library is pyAgrum (lazy propagation in a junction tree), called from Python as its users do. Ours is
`cargo run --release -p trace --example network`, which writes the network's tables, the evidence, its posteriors and its
times. Every posterior of every unknown must agree within 1e-9. Run:

    python3 bench/infer_ratio.py

It makes a virtual environment of its own under target/ and installs the library from PyPI the first time.
"""

import json
import math
import pathlib
import statistics
import subprocess
import sys
import time
import venv

ROOT = pathlib.Path(__file__).resolve().parent.parent
HOME = ROOT / "target/infer-ratio"
TOLERANCE = 1e-9
RUNS = 15
# Demo boat and symptom, or the boat of two hundred parts made up for measuring.
NETWORKS = [
    ["circuits"],
    ["demo/whimbrel.toml", "engine_starts"],
    ["demo/whimbrel.toml", "fridge_runs"],
    ["demo/whimbrel.toml", "toilet_aft_flushes"],
]


def in_own_environment():
    """Runs this file again with the library installed."""
    python = HOME / "bin/python"
    if not python.exists():
        venv.create(HOME, with_pip=True)
    ready = subprocess.run([python, "-c", "import pyagrum"], capture_output=True).returncode == 0
    if not ready:
        done = subprocess.run([python, "-m", "pip", "install", "--quiet", "pyagrum==3.3.1"])
        if done.returncode != 0:
            sys.exit("The inference library could not be installed from PyPI, so nothing was measured.")
    sys.exit(subprocess.run([python, __file__, "measure"]).returncode)


def ours(which):
    """The network with what our inference makes of it."""
    command = ["cargo", "run", "--release", "--quiet", "-p", "trace", "--example", "network", "--", *which]
    return json.loads(subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True).stdout)


def build(gum, network):
    """The same network in the library."""
    made = gum.BayesNet()
    for at, size in enumerate(network["sizes"]):
        made.add(gum.RangeVariable(f"u{at}", "", 0, size - 1) if size > 1 else gum.LabelizedVariable(f"u{at}", "", 1))
    for table in network["tables"]:
        # Its first unknown runs fastest, which is the one that the table is of; so those given come in reverse.
        for given in reversed(table["given"]):
            made.addArc(given, table["of"])
        made.cpt(table["of"]).fillWith(table["numbers"])
    return made


def infer(gum, made, network):
    """All posteriors, by the library's lazy propagation."""
    engine = gum.LazyPropagation(made)
    engine.setNumberOfThreads(1)
    engine.setEvidence({at: value for at, value in network["seen"]})
    engine.makeInference()
    return [engine.posterior(at) for at in range(len(network["sizes"]))], engine


def median(run):
    """Median time of a call, in seconds."""
    times = []
    for _ in range(RUNS):
        begun = time.perf_counter()
        run()
        times.append(time.perf_counter() - begun)
    return statistics.median(times)


def compare(gum, which):
    """Prints the figures of one network; the ratios of times, without and with building it."""
    network = ours(which)
    made = build(gum, network)
    found, engine = infer(gum, made, network)
    pairs = ((a, b) for table, own in zip(found, network["posteriors"]) for a, b in zip(table.tolist(), own))
    apart = max(abs(a - b) for a, b in pairs)
    evidence = abs(math.log(engine.evidenceProbability()) - network["log_evidence"])
    there = median(lambda: infer(gum, made, network))
    there_built = median(lambda: infer(gum, build(gum, network), network))
    here, here_built = network["infer_ns"] / 1e9, network["build_and_infer_ns"] / 1e9
    print(
        f"{' '.join(which)}: {len(network['sizes'])} unknowns; inference {there * 1e3:.2f} ms to {here * 1e3:.3f} ms, "
        f"ratio {there / here:.1f}; with building {there_built * 1e3:.2f} ms to {here_built * 1e3:.3f} ms, "
        f"ratio {there_built / here_built:.1f}; posteriors apart by {apart:.1e}, log of evidence by {evidence:.1e}"
    )
    if not max(apart, evidence) <= TOLERANCE:
        sys.exit("They do not agree.")
    return there / here, there_built / here_built


def main():
    import pyagrum as gum

    ratios = [compare(gum, which) for which in NETWORKS]
    for name, column in zip(("inference", "with building"), zip(*ratios)):
        print(f"{name}: geometric mean of the ratios {statistics.geometric_mean(column):.1f}")


if __name__ == "__main__":
    main() if "measure" in sys.argv else in_own_environment()
