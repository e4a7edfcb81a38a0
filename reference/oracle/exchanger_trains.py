"""Coolers of the shipped vessels, worked out again: each by `ht`, and those that share a stream of raw water as one train
by `tespy`. Ours must agree.

Usage: exchanger_trains.py PROGRAM, where PROGRAM is bedplate-lab. Outlet temperatures within 0.05 K of `ht`; within 0.3 K of
`tespy`, which knows no heat that bare pipes between two coolers lose.
"""
import json
import logging
import subprocess
import sys
import warnings
from pathlib import Path

warnings.filterwarnings("ignore")

from CoolProp.CoolProp import PropsSI
from ht import effectiveness_NTU_method
from tespy.components import HeatExchanger, Sink, Source
from tespy.connections import Connection
from tespy.networks import Network

logging.disable(logging.CRITICAL)
VESSELS = Path(__file__).resolve().parents[2] / "vessels"
ALONE, TRAIN = 0.05, 0.3
# Films grow with flow to this power: 0.8 in tubes (Dittus and Boelter), 2/3 between plates (Martin 1996).
POWER = {"plate-exchanger": 2.0 / 3.0}
REST = 0.02


def conductance(cooler):
    """Overall conductance [W/K] from the figures of the cooler and its two flows."""
    figures, power = cooler["figures"], POWER.get(cooler["kind"], 0.8)
    resistance = figures["fouling_resistance"]
    for side, rated in (("cold", "rated_cold_flow"), ("hot", "rated_hot_flow")):
        share = cooler[side]["flow"] / figures[rated]
        resistance += 0.5 / figures["clean_conductance"] * (share**2 + REST**2) ** (-power / 2)
    return 1.0 / resistance


def alone(cooler):
    """Outlets [K], cold and hot, by the transfer units of a counterflow exchanger."""
    hot, cold = cooler["hot"], cooler["cold"]
    found = effectiveness_NTU_method(
        mh=hot["flow"], mc=cold["flow"], Cph=hot["capacity"], Cpc=cold["capacity"], subtype="counterflow",
        Thi=hot["in"], Tci=cold["in"], UA=conductance(cooler),
    )
    return found["Tco"], found["Tho"]


def as_water(stream):
    """Water that carries as much heat for each kelvin over this stream's own range [kg/s]."""
    middle = 0.5 * (stream["in"] + stream["out"])
    return stream["flow"] * stream["capacity"] / PropsSI("C", "T", middle, "P", 5e5, "water")


def train(coolers):
    """Outlets of coolers in a row on one stream of raw water [K], cold and hot of each."""
    network = Network()
    network.units.set_defaults(temperature="K", pressure="bar")
    network.set_attr(iterinfo=False)
    connections, ends, at = [], [], (Source("sea"), "out1")
    for cooler in coolers:
        body = HeatExchanger(cooler["name"])
        cold = Connection(*at, body, "in2")
        # Of the first the inlet is told; the others take what comes.
        if not connections:
            cold.set_attr(m=as_water(cooler["cold"]), T=cooler["cold"]["in"], p=5, fluid={"water": 1})
        warm = Connection(Source("hot " + cooler["name"]), "out1", body, "in1")
        warm.set_attr(m=as_water(cooler["hot"]), T=cooler["hot"]["in"], p=5, fluid={"water": 1})
        off = Connection(body, "out1", Sink("cooled " + cooler["name"]), "in1")
        body.set_attr(kA=conductance(cooler), pr1=1, pr2=1)
        off.set_attr(T0=cooler["hot"]["out"])
        connections += [cold, warm, off]
        ends.append([cold, off])
        at = (body, "out2")
    last = Connection(*at, Sink("overboard"), "in1")
    last.set_attr(T0=coolers[-1]["cold"]["out"])
    network.add_conns(*connections, last)
    network.solve("design", print_results=False)
    network.assert_convergence() if hasattr(network, "assert_convergence") else None
    colds = [pair[0] for pair in ends][1:] + [last]
    return [(cold.T.val_SI, pair[1].T.val_SI) for cold, pair in zip(colds, ends)]


def rows(coolers):
    """Coolers that share a stream of raw water, each row in the order of the flow."""
    by_name = {cooler["name"]: cooler for cooler in coolers}
    after = {cooler["cold"]["after"]: cooler for cooler in coolers if cooler["cold"]["after"]}
    found = []
    for first in coolers:
        if first["cold"]["after"] is None and first["name"] in after:
            row = [first]
            while row[-1]["name"] in after:
                row.append(by_name[after[row[-1]["name"]]["name"]])
            found.append(row)
    return found


def main():
    program = sys.argv[1]
    tried, trains, bad, worst, worst_train = 0, 0, 0, 0.0, 0.0
    for vessel in sorted(VESSELS.glob("*/vessel.toml")):
        for share, sea in (("0.4", "5"), ("0.8", "15"), ("1.0", "32")):
            where = f"{vessel.parent.name} at {share} in {sea} °C"
            run = subprocess.run([program, "trains", str(vessel), share, sea], capture_output=True, text=True)
            if run.returncode:
                # A vessel may be cooled through its hull alone.
                if "no cooler" not in run.stderr:
                    bad += 1
                    print(f"{where}: {run.stderr.strip()}")
                continue
            coolers = json.loads(run.stdout)["coolers"]
            for cooler in coolers:
                for side, there in zip(("cold", "hot"), alone(cooler)):
                    off, tried = abs(cooler[side]["out"] - there), tried + 1
                    worst = max(worst, off)
                    if off > ALONE:
                        bad += 1
                        print(f"{where}: {cooler['name']} {side} {cooler[side]['out']:.2f} K here, {there:.2f} there")
            for row in rows(coolers):
                trains += 1
                for cooler, ends in zip(row, train(row)):
                    for side, there in zip(("cold", "hot"), ends):
                        off = abs(cooler[side]["out"] - there)
                        worst_train = max(worst_train, off)
                        if off > TRAIN:
                            bad += 1
                            print(f"{where}, in its train: {cooler['name']} {side} {cooler[side]['out']:.2f} K here, {there:.2f} there")
    print(f"{tried} outlets of coolers worked out again, worst {worst:.3f} K; {trains} trains, worst {worst_train:.3f} K; {bad} wrong")
    return 1 if bad or not tried or not trains else 0


if __name__ == "__main__":
    sys.exit(main())
