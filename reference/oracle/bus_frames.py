"""Frames and sentences of our own making, read by other decoders too: every value they tell must be ours.

Usage: bus_frames.py PROGRAM, where PROGRAM is bedplate. The frames and sentences stand in crates/bus/tests. Compared with
nmea2000 (the CANboat database), n2k (a table of its own) and pynmea2; what a decoder does not tell is not compared, and
how much each told is printed. Values agree to a millionth of a step of their own.
"""
import datetime
import json
import logging
import math
import re
import subprocess
import sys
from pathlib import Path

import n2k.messages
import pynmea2
from n2k.message import Message
from nmea2000.decoder import NMEA2000Decoder

logging.disable(logging.CRITICAL)
TESTS = Path(__file__).resolve().parents[2] / "crates" / "bus" / "tests"

# Into SI: factor and offset; a unit that is not here is SI, or has no quantity of its own in our table.
SI = {
    "rpm": (math.pi / 30, 0), "%": (0.01, 0), "L/h": (1e-3 / 3600, 0), "L": (1e-3, 0), "Ah": (3600, 0), "d": (86400, 0),
    "deg": (math.pi / 180, 0), "C": (1, 273.15), "kn": (1852 / 3600, 0), "km/h": (1 / 3.6, 0), "nm": (1852, 0),
    "ft": (0.3048, 0), "fathom": (1.8288, 0), "bar": (1e5, 0), "inHg": (13595.1 * 9.80665 * 0.0254, 0), "h": (3600, 0),
    "min": (60, 0), "Cos Phi": (1, 0),
}


def si(value, unit):
    factor, offset = SI.get(unit, (1, 0))
    return value * factor + offset


def heard(program, name):
    """What bedplate tells of a file: by line, the objects of its values."""
    run = subprocess.run([program, "decode", "--json", str(TESTS / name)], capture_output=True, text=True, check=True)
    by_line = {}
    for line in run.stdout.splitlines()[:-1]:
        told = json.loads(line)
        if "fault" in told:
            sys.exit(f"{name}:{told['line']}: {told['fault']}")
        by_line.setdefault(told["line"], []).append(told)
    return by_line


class Tally:
    def __init__(self):
        self.told, self.wrong = {}, 0

    def compare(self, who, place, ours, theirs):
        """Ours as an object of the program, theirs as a number in SI, a choice's number, a letter or None."""
        self.told[who] = self.told.get(who, 0) + 1
        if theirs is None:
            same = "absent" in ours
        elif "value" in ours:
            same = isinstance(theirs, (int, float)) and abs(ours["value"] - theirs) <= 1e-6 * max(1e-9, abs(theirs)) + 1e-12
        else:
            same = theirs in (ours.get("choice"), ours.get("letter"))
        if not same:
            self.wrong += 1
            shown = {key: ours[key] for key in ("value", "unit", "choice", "letter", "absent") if key in ours}
            print(f"{place}: {shown} here, {theirs} by {who}")


def kebab(name):
    return re.sub(r"([A-Z])", r"-\1", name).lower()


def database(tally, ours):
    """nmea2000: names are those of our table, in another spelling."""
    decoder = NMEA2000Decoder()
    for number, line in enumerate((TESTS / "frames.log").read_text().splitlines(), 1):
        message = decoder.decode(line)
        if message is None:
            continue
        mine = {told["field"]: told for told in ours.get(number, [])}
        for field in message.fields:
            told = mine.get(kebab(field.id))
            if told is None or isinstance(field.raw_value, (str, bytes)):
                continue
            value, unit = field.raw_value, field.unit_of_measurement or ""
            # Where decoders are known to differ: filled with ones, a signed field that cannot be negative is not known,
            # and a choice keeps the number that was sent.
            if "choice" in told:
                tally.compare("nmea2000", f"frames.log:{number} {told['field']}", told, value)
                continue
            if field.value is None:
                value = None
            elif "absent" in told and value == (-1 if unit == "%" else -0.1):
                continue
            theirs = None if value is None else si(float(value), unit)
            tally.compare("nmea2000", f"frames.log:{number} {told['field']}", told, theirs)


# What the other table calls our fields, with its unit.
TABLE = {
    127245: ("rudder", {"angle_order": ("angle-order", ""), "rudder_position": ("position", "")}),
    127250: ("heading", {"heading": ("heading", ""), "deviation": ("deviation", ""), "variation": ("variation", "")}),
    127257: ("attitude", {"yaw": ("yaw", ""), "pitch": ("pitch", ""), "roll": ("roll", "")}),
    127488: ("engine_parameters_rapid", {"engine_speed": ("speed", "rpm"), "engine_boost_pressure": ("boost-pressure", ""),
                                         "engine_tilt_trim": ("tilt-trim", "%")}),
    127489: ("engine_parameters_dynamic", {"engine_oil_press": ("oil-pressure", ""), "engine_oil_temp": ("oil-temperature", ""),
                                           "engine_coolant_temp": ("temperature", ""), "alternator_voltage": ("alternator-potential", ""),
                                           "fuel_rate": ("fuel-rate", "L/h"), "engine_hours": ("total-engine-hours", ""),
                                           "engine_coolant_press": ("coolant-pressure", ""), "engine_fuel_press": ("fuel-pressure", "")}),
    127493: ("transmission_parameters_dynamic", {"oil_pressure": ("oil-pressure", ""), "oil_temperature": ("oil-temperature", "")}),
    127505: ("fluid_level", {"level": ("level", "%"), "capacity": ("capacity", "L")}),
    127506: ("dc_detailed_status", {"state_of_charge": ("state-of-charge", "%"), "state_of_health": ("state-of-health", "%"),
                                    "time_remaining": ("time-remaining", ""), "ripple_voltage": ("ripple-voltage", ""),
                                    "capacity": ("remaining-capacity", "")}),
    127508: ("battery_status", {"battery_voltage": ("voltage", ""), "battery_current": ("current", ""),
                                "battery_temperature": ("temperature", "")}),
    128259: ("boat_speed", {"water_referenced": ("speed-water-referenced", ""), "ground_referenced": ("speed-ground-referenced", "")}),
    128267: ("water_depth", {"depth_below_transducer": ("depth", ""), "offset": ("offset", ""), "max_range": ("range", "")}),
    130310: ("outside_environmental_parameters", {"water_temperature": ("water-temperature", ""),
                                                  "outside_ambient_air_temperature": ("outside-ambient-air-temperature", ""),
                                                  "atmospheric_pressure": ("atmospheric-pressure", "")}),
    130311: ("environmental_parameters", {"temperature": ("temperature", ""), "atmospheric_pressure": ("atmospheric-pressure", "")}),
    130312: ("temperature", {"actual_temperature": ("actual-temperature", ""), "set_temperature": ("set-temperature", "")}),
    130314: ("actual_pressure", {"actual_pressure": ("pressure", "")}),
}


def own_table(tally, ours):
    """n2k: single frames as they are, fast packets put together here."""
    parts, lines = [], (TESTS / "frames.log").read_text().splitlines()
    for number, line in enumerate(lines, 1):
        identifier, data = line.split()[2].split("#")
        pgn, data = int(identifier, 16) >> 8 & 0x3FFFF, bytes.fromhex(data)
        if pgn not in TABLE:
            continue
        if pgn in (127489, 127506):
            parts = [data[2:]] if data[0] & 31 == 0 else parts + [data[1:]]
            length = data[1] if data[0] & 31 == 0 else length
            if sum(map(len, parts)) < length:
                continue
            data = b"".join(parts)[:length]
        name, fields = TABLE[pgn]
        try:
            message = getattr(n2k.messages, f"parse_n2k_{name}")(Message(source=35, pgn=pgn, data=bytearray(data)))
        except ValueError:
            continue  # it refuses the number of a choice that its list does not know
        mine = {told["field"]: told for told in ours[number]}
        for theirs, (field, unit) in fields.items():
            value = getattr(message, theirs)
            tally.compare("n2k", f"frames.log:{number} {field}", mine[field], None if value is None else si(float(value), unit))


# What pynmea2 calls our fields: its name, ours, its unit, and its name of the letter that turns it round, with that letter.
SENTENCES = {
    "RPM": [("source", "source", "", ""), ("engine_no", "number", "", ""), ("speed", "speed", "rpm", ""), ("pitch", "pitch", "%", "")],
    "MTW": [("temperature", "temperature", "C", "")],
    "VHW": [("heading_true", "heading-true", "deg", ""), ("heading_magnetic", "heading-magnetic", "deg", ""),
            ("water_speed_knots", "speed", "kn", ""), ("water_speed_km", "speed-metric", "km/h", "")],
    "RMC": [("latitude", "latitude", "deg", ""), ("longitude", "longitude", "deg", ""), ("spd_over_grnd", "speed-over-ground", "kn", ""),
            ("true_course", "course-true", "deg", ""), ("mag_variation", "variation", "deg", "mag_var_dir"), ("timestamp", "time", "", ""),
            ("datestamp", "date", "", "")],
    "VTG": [("true_track", "course-true", "deg", ""), ("mag_track", "course-magnetic", "deg", ""), ("spd_over_grnd_kts", "speed", "kn", ""),
            ("spd_over_grnd_kmph", "speed-metric", "km/h", "")],
    "HDT": [("heading", "heading", "deg", "")],
    "HDM": [("heading", "heading", "deg", "")],
    "HDG": [("heading", "heading", "deg", ""), ("deviation", "deviation", "deg", "dev_dir"), ("variation", "variation", "deg", "var_dir")],
    "DPT": [("depth", "depth", "", ""), ("offset", "offset", "", ""), ("range", "range", "", "")],
    "DBT": [("depth_feet", "depth-feet", "ft", ""), ("depth_meters", "depth", "", ""), ("depth_fathoms", "depth-fathoms", "fathom", "")],
    "RSA": [("rsa_starboard", "starboard", "deg", ""), ("rsa_port", "port", "deg", "")],
    "ROT": [("rate_of_turn", "rate", "", "")],
    "VLW": [("trip_distance", "total", "nm", ""), ("trip_distance_reset", "trip", "nm", "")],
    "ZDA": [("timestamp", "time", "", ""), ("day", "day", "", ""), ("month", "month", "", ""), ("year", "year", "", ""),
            ("local_zone", "zone", "h", ""), ("local_zone_minutes", "zone-minutes", "min", "")],
    "MDA": [("b_pressure_inch", "pressure-mercury", "inHg", ""), ("b_pressure_bar", "pressure", "bar", ""), ("air_temp", "air-temperature", "C", ""),
            ("water_temp", "water-temperature", "C", ""), ("rel_humidity", "humidity", "%", ""), ("dew_point", "dew-point", "C", ""),
            ("direction_true", "wind-direction-true", "deg", ""), ("direction_magnetic", "wind-direction-magnetic", "deg", ""),
            ("wind_speed_knots", "wind-speed", "kn", ""), ("wind_speed_meters", "wind-speed-metric", "", "")],
    "MWV": [("wind_angle", "angle", "deg", ""), ("reference", "reference", "", "")],
    "MWD": [("direction_true", "direction-true", "deg", ""), ("direction_magnetic", "direction-magnetic", "deg", ""),
            ("wind_speed_knots", "speed", "kn", ""), ("wind_speed_meters", "speed-metric", "", "")],
    "GLL": [("latitude", "latitude", "deg", ""), ("longitude", "longitude", "deg", ""), ("timestamp", "time", "", "")],
    "GGA": [("latitude", "latitude", "deg", ""), ("longitude", "longitude", "deg", ""), ("timestamp", "time", "", ""), ("gps_qual", "quality", "", ""),
            ("num_sats", "satellites", "", ""), ("horizontal_dil", "dilution", "", ""), ("altitude", "altitude", "", ""),
            ("geo_sep", "geoid-separation", "", "")],
}
XDR = {("C", "C"): "C", ("P", "B"): "bar", ("T", "R"): "rpm", ("A", "D"): "deg", ("V", "P"): "%"}


def plain(value):
    """A number of what pynmea2 tells, whatever its type."""
    if value is None or value == "":
        return None
    if isinstance(value, datetime.time):
        return value.hour * 3600 + value.minute * 60 + value.second + value.microsecond * 1e-6
    if isinstance(value, datetime.date):
        return (value - datetime.date(1970, 1, 1)).days * 86400
    try:
        return float(value)
    except ValueError:
        return value


def sentences(tally, ours):
    for number, line in enumerate((TESTS / "sentences.log").read_text().splitlines(), 1):
        message = pynmea2.parse(line, check=True)
        kind = message.sentence_type
        if kind == "XDR":
            for index in range(message.num_transducers):
                transducer = message.get_transducer(index)
                name, _, instance = transducer.id.partition("#")
                told = next(told for told in ours[number] if told["field"] == name and told.get("instance") == (int(instance) if instance else None))
                value = plain(transducer.value)
                theirs = None if value is None else si(value, XDR.get((transducer.type, transducer.units), ""))
                tally.compare("pynmea2", f"sentences.log:{number} {transducer.id}", told, theirs)
            continue
        mine = {told["field"]: told for told in ours[number]}
        for theirs, field, unit, turns in SENTENCES[kind]:
            value = plain(getattr(message, theirs, None))
            if theirs in ("latitude", "longitude") and not message.lat:
                value = None
            if isinstance(value, float):
                value = si(value, unit) * (-1 if turns and getattr(message, turns) in ("W", "S") else 1)
            # It tells the numbers of a sentence that says of itself that it is void; to us they are none.
            if mine[field].get("absent") == "said to be void":
                continue
            tally.compare("pynmea2", f"sentences.log:{number} {field}", mine[field], value)


def main():
    program, tally = sys.argv[1], Tally()
    frames = heard(program, "frames.log")
    database(tally, frames)
    own_table(tally, frames)
    sentences(tally, heard(program, "sentences.log"))
    told = ", ".join(f"{count} by {who}" for who, count in tally.told.items())
    print(f"values read by others too: {told}; {tally.wrong} differ")
    enough = tally.told.get("nmea2000", 0) > 600 and tally.told.get("n2k", 0) > 120 and tally.told.get("pynmea2", 0) > 100
    return 1 if tally.wrong or not enough else 0


if __name__ == "__main__":
    sys.exit(main())
