"""Readings exported as Parquet, read by another implementation: they must be those of the table that was imported.

Usage: parquet_export.py PROGRAM, where PROGRAM is bedplate. A table of a made-up vessel is imported into a new folder, exported
as Parquet in both forms, as a table and in SI, and read with pyarrow (the Arrow project's own C++ reader). Every time, name,
unit and value is compared with what was imported, worked out here.
"""
import csv
import datetime
import math
import subprocess
import sys
import tempfile
from pathlib import Path

import pyarrow
import pyarrow.parquet

VESSEL = """
[vessel]
name = "Exported"
[engine.main]
kind = "diesel"
rated = { power = "60 kW", speed = "1800 rpm" }
[circuit]
raw-water = ["seacock", "strainer", "raw-pump", "exchanger", "elbow"]
[gauge.coolant]
at = "engine.coolant-out"
reads = "temperature"
[gauge.oil-pressure]
at = "engine.oil-in"
reads = "pressure"
[gauge.speed]
at = "engine"
reads = "speed"
"""
BEGIN = datetime.datetime(2026, 7, 2, 6, 0, 0, tzinfo=datetime.timezone.utc)
# Into SI: factor and offset.
SI = {"°C": (1, 273.15), "bar": (1e5, 0), "rpm": (math.pi / 30, 0)}
UNITS = {"coolant": "°C", "oil-pressure": "bar", "speed": "rpm"}
NAMES = list(UNITS)


def rows():
    """Time, then a value or nothing for each gauge: some seconds, some thousandths apart, with gaps."""
    for i in range(5000):
        time = BEGIN + datetime.timedelta(milliseconds=1000 * i + (i % 3) * 7)
        coolant = 70 + (i % 200) / 10
        pressure = None if i % 11 == 0 else 2 + (i % 40) / 20
        speed = None if i % 5 else 1000 + i % 700
        yield time, (coolant, pressure, speed)


def run(program, *arguments):
    done = subprocess.run([program, *map(str, arguments)], capture_output=True, text=True)
    if done.returncode != 0:
        sys.exit(f"{arguments}: {done.stderr}")
    return done.stdout


def alike(ours, theirs):
    return math.isclose(ours, theirs, rel_tol=1e-9, abs_tol=1e-9)


def main(program):
    with tempfile.TemporaryDirectory() as folder:
        folder = Path(folder)
        (folder / "vessel.toml").write_text(VESSEL)
        with open(folder / "day.csv", "w", newline="") as file:
            table = csv.writer(file)
            table.writerow(["time", "coolant [°C]", "oil pressure (bar)", "speed (rpm)"])
            for time, values in rows():
                table.writerow([time.isoformat(timespec="milliseconds"), *("" if v is None else v for v in values)])
        run(program, "import", folder, folder / "day.csv")
        wanted = [(t, n, v) for t, values in rows() for n, v in zip(NAMES, values) if v is not None]

        run(program, "export", folder, "--parquet", folder / "long.parquet")
        long = pyarrow.parquet.read_table(folder / "long.parquet")
        assert long.schema.field("time").type == pyarrow.timestamp("ms", tz="UTC"), long.schema
        found = long.to_pylist()
        assert len(found) == len(wanted), (len(found), len(wanted))
        for row, (time, name, value) in zip(found, wanted):
            assert (row["time"], row["gauge"], row["unit"], row["clock"]) == (time, name, UNITS[name], "sound"), row
            assert alike(row["value"], value), (row, value)

        run(program, "export", folder, "--parquet", folder / "si.parquet", "--si")
        for row, (time, name, value) in zip(pyarrow.parquet.read_table(folder / "si.parquet").to_pylist(), wanted):
            factor, offset = SI[UNITS[name]]
            # A speed in rad/s is written to a thousandth, of which a step of 1 rpm has a hundred.
            assert abs(row["value"] - (value * factor + offset)) <= 1e-3, (row, value)

        run(program, "export", folder, "--parquet", folder / "wide.parquet", "--wide")
        wide = pyarrow.parquet.read_table(folder / "wide.parquet")
        headings = ["time"] + [f"{name} [{unit}]" for name, unit in UNITS.items()]
        assert wide.column_names == headings, wide.column_names
        for row, (time, values) in zip(wide.to_pylist(), rows(), strict=True):
            assert row["time"] == time, row
            for heading, value in zip(headings[1:], values):
                assert (row[heading] is None) == (value is None) and (value is None or alike(row[heading], value)), row

        lines = list(csv.DictReader(run(program, "export", folder, "--csv", "-").splitlines()))
        for row, (time, name, value) in zip(lines, wanted, strict=True):
            told = datetime.datetime.fromisoformat(row["time"])
            assert (told, row["gauge"], row["unit"]) == (time, name, UNITS[name]) and alike(float(row["value"]), value), row
        bytes_each = (folder / "long.parquet").stat().st_size / len(wanted)
        print(f"{len(wanted)} readings in four exports are those imported; Parquet takes {bytes_each:.1f} B a reading")


if __name__ == "__main__":
    main(sys.argv[1])
