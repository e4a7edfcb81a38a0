"""Liquid circuits of the shipped vessels, drawn up as networks and solved again by EPANET (wntr): ours must agree.

Usage: vessel_networks.py PROGRAM, where PROGRAM is bedplate-lab. Flows within 0.5 %, pressures within 0.5 kPa.
"""
import json
import os
import subprocess
import sys
import tempfile
import warnings
from pathlib import Path

import wntr

warnings.filterwarnings("ignore")
VESSELS = Path(__file__).resolve().parents[2] / "vessels"
PASCALS = 1000.0 * 9.80665
FLOW, PRESSURE = 0.005, 500.0


def solved(inp):
    with tempfile.TemporaryDirectory() as tmp:
        path = os.path.join(tmp, "vessel.inp")
        Path(path).write_text(inp)
        network = wntr.network.WaterNetworkModel(path)
        run = wntr.sim.EpanetSimulator(network).run_sim(file_prefix=os.path.join(tmp, "x"))
    return run.link["flowrate"].iloc[0] * 1000.0, run.node["head"].iloc[0] * PASCALS


def main():
    program = sys.argv[1]
    tried, bad, worst_flow, worst_pressure = 0, 0, 0.0, 0.0
    for vessel in sorted(VESSELS.glob("*/vessel.toml")):
        for share in ("0.4", "0.8", "1.0"):
            run = subprocess.run([program, "network", str(vessel), share], capture_output=True, text=True)
            if run.returncode:
                bad += 1
                print(f"{vessel.parent.name} at {share}: {run.stderr.strip()}")
                continue
            ours = json.loads(run.stdout)
            flows, heads = solved(ours["inp"])
            for name, flow in ours["flows"].items():
                off = abs(flows[name] - flow) / flow
                worst_flow, tried = max(worst_flow, off), tried + 1
                if off > FLOW:
                    bad += 1
                    print(f"{vessel.parent.name} at {share}: {name} {flow:.5f} kg/s here, {flows[name]:.5f} there")
            for name, pressure in ours["heads"].items():
                off = abs(heads[name] - pressure)
                worst_pressure, tried = max(worst_pressure, off), tried + 1
                if off > PRESSURE:
                    bad += 1
                    print(f"{vessel.parent.name} at {share}: {name} {pressure:.0f} Pa here, {heads[name]:.0f} there")
    print(f"{tried} flows and pressures solved again, {bad} wrong; worst {100 * worst_flow:.3f} %, {worst_pressure:.0f} Pa")
    return 1 if bad or not tried else 0


if __name__ == "__main__":
    sys.exit(main())
