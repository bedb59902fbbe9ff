"""Times one 72 h battery trace (864 steps of 5 min) in the reference simulator and in ours, in one run.

The reference is the battery model of NREL-PySAM, stepped from Python as its users do: the time of its calls is part of it.
Ours is `cargo run --release -p endure --example trace`. Both must end with the same charge. Run:

    python3 bench/battery_ratio.py

It makes a virtual environment of its own under target/ and installs the reference from PyPI the first time.
"""

import csv
import json
import pathlib
import subprocess
import sys
import time
import venv

ROOT = pathlib.Path(__file__).resolve().parent.parent
HOME = ROOT / "target/battery-ratio"
TABLE = ROOT / "reference/oracles/leadacid_kibam_trace72h.csv"
# Tolerance of the table, in Ah: see reference/oracles/README.md.
TOLERANCE = 1e-6


def in_own_environment():
    """Runs this file again with the reference installed."""
    python = HOME / "bin/python"
    if not python.exists():
        venv.create(HOME, with_pip=True)
    ready = subprocess.run([python, "-c", "import PySAM"], capture_output=True).returncode == 0
    if not ready:
        done = subprocess.run([python, "-m", "pip", "install", "--quiet", "NREL-PySAM==7.1.1.post1"])
        if done.returncode != 0:
            sys.exit("The reference simulator could not be installed from PyPI, so nothing was measured.")
    sys.exit(subprocess.run([python, __file__, "measure"]).returncode)


def reference(demand):
    """Best time of five, in seconds, and the two wells at the end, in Ah."""
    import PySAM.BatteryStateful as stateful

    best, wells = float("inf"), None
    for _ in range(5):
        battery = stateful.default("LeadAcid")
        cell, pack = battery.ParamsCell, battery.ParamsPack
        cell.Qfull = cell.leadacid_q20 = 400.0
        cell.leadacid_q10, cell.leadacid_qn, cell.leadacid_tn = 372.0, 240.0, 1.0
        cell.resistance, cell.initial_SOC, cell.minimum_SOC, cell.maximum_SOC = 0.0, 100, 0, 100
        cell.cycling_matrix = ((20, 0, 100), (20, 1e4, 100), (80, 0, 100), (80, 1e4, 100))
        cell.calendar_choice = 0
        pack.nominal_voltage, pack.nominal_energy = 12, 400.0 * 12 / 1000
        pack.cap_vs_temp = ((-20, 100), (0, 100), (20, 100), (40, 100))
        pack.T_room_init, pack.mass, pack.Cp, pack.h, pack.surface_area = 25, 250, 900, 7.5, 2
        pack.loss_choice, pack.replacement_option = 0, 0
        pack.monthly_charge_loss = pack.monthly_discharge_loss = pack.monthly_idle_loss = [0] * 12
        battery.Controls.control_mode, battery.Controls.dt_hr, battery.Controls.input_current = 0, 1 / 12, 0
        battery.setup()
        begun = time.perf_counter()
        for amps in demand:
            battery.Controls.input_current = amps
            battery.execute(0)
        best = min(best, time.perf_counter() - begun)
        wells = battery.StateCell.q1_0, battery.StateCell.q2_0
    return best, wells


def ours():
    """Best time of ours, in seconds, and the two wells at the end, in Ah."""
    facts = json.loads((ROOT / "reference/oracles/leadacid_kibam_params.json").read_text())["sets"]["agm400"]
    numbers = [repr(facts[name]) for name in ("c_grid", "k_grid", "qmax_grid")]
    command = ["cargo", "run", "--release", "--quiet", "-p", "endure", "--example", "trace", "--", str(TABLE), *numbers]
    said = subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True).stdout.split()
    return int(said[1]) / 1e9, (float(said[2]), float(said[3]))


def main():
    with TABLE.open() as file:
        demand = [float(row["demand_a"]) for row in csv.DictReader(file)]
    there, wells_there = reference(demand)
    here, wells_here = ours()
    apart = max(abs(a - b) for a, b in zip(wells_there, wells_here))
    print(f"{len(demand)} steps: reference {there * 1e3:.2f} ms, ours {here * 1e6:.2f} µs, ratio {there / here:.0f}")
    print(f"wells at the end apart by {apart:.1e} Ah")
    if apart > TOLERANCE:
        sys.exit("They do not end with the same charge.")


if __name__ == "__main__":
    main() if "measure" in sys.argv else in_own_environment()
