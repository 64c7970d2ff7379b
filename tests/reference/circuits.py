"""The washers' circuits of the demo specs, solved by EPANET 2.2 through wntr.

Reads each spec and its parts book, builds a network of its plumbing from the washer to the tip, and compares what EPANET
finds with circuits.csv, which tests/circuits_epanet.rs reads:

    venv/bin/python circuits.py           exits 1 when a number differs from the file by more than 1e-6 relative
    venv/bin/python circuits.py --write   writes the file

The washer is a fixed inflow while that needs no more than its unloader's setting, else a reservoir at the setting. The tip is
an emitter. Loss coefficients of fittings are the usual ones: coupling 7/3, elbow 1.2, reel swivel 3 velocity heads, an
injector between smooth and rough. A row is: spec,element,flow m3/s,pressure in Pa.
"""

import csv
import math
import os
import pathlib
import re
import sys
import tempfile
import warnings

import wntr
import yaml

warnings.filterwarnings("ignore")

HERE = pathlib.Path(__file__).resolve().parent
SPECS = HERE.parent.parent / "specs"
FILE = HERE / "circuits.csv"
TOLERANCE = 1e-6
G, DENSITY, VISCOSITY = 9.80665, 998.2041, 1.001567e-3  # water of 20 degC, IAPWS
ROUGHNESS = 1e-5
COUPLING, ELBOW, SWIVEL = 7 / 3, 1.2, 3.0
UNITS = {
    "in": 0.0254,
    "ft": 0.3048,
    "mm": 1e-3,
    "gpm": 231 * 0.0254**3 / 60,
    "psi": 0.45359237 * 9.80665 / 0.0254**2,
    "deg": math.pi / 180,
}
RIGS = ("tandem-roof-rig", "open-trailer", "pickup-skid", "worked/water-a", "worked/water-b")


def si(text):
    """`2-5/16 in`, `3/8 in`, `-6 in`, `5.5 gpm` in SI."""
    if isinstance(text, (int, float)):
        return float(text)
    number, unit = re.fullmatch(r"(-?[\d./-]+) ?([a-z]*)", text).groups()
    whole, _, fraction = number.rpartition("-") if re.match(r"\d+-\d+/\d+", number) else ("0", "", number)
    top, _, bottom = fraction.partition("/")
    return (float(whole or 0) + float(top) / float(bottom or 1)) * UNITS.get(unit, 1.0)


def merged(book, own):
    both = dict(book)
    for key, value in own.items():
        both[key] = merged(book[key], value) if isinstance(value, dict) and isinstance(book.get(key), dict) else value
    return both


def read(name):
    path = SPECS / f"{name}.yaml"
    spec = yaml.safe_load(path.read_text())
    books = {at: yaml.safe_load((path.parent / file).read_text())["parts"] for at, file in spec.get("books", {}).items()}
    parts = {}
    for at, part in spec["parts"].items():
        book, _, entry = part.get("from", "").partition("/")
        parts[at] = merged(books[book][entry], part) if entry else part
    return parts, spec["plumbing"]


def head(pressure):
    return pressure / (DENSITY * G)


def heads(loss, flow, bore):
    """A loss at a flow as velocity heads in a bore."""
    return loss / (DENSITY * (flow / (math.pi / 4 * bore**2)) ** 2 / 2)


def elements(parts, plumbing, washer):
    """From the washer to the tip: name, bore, length, velocity heads, rise."""
    found, at, port = [], washer, "outlet"
    bore = None
    while True:
        lines = [line for line in plumbing if line["from"] in (f"{at}.{port}", f"{at}.outlet", f"{at}.out")]
        assert len(lines) == 1, (at, lines)
        (line,) = lines
        following = line["to"].split(".")[0]
        bore = si(line["hose"])
        k = COUPLING + ELBOW * si(line.get("elbows", 0))
        found.append((f"{at} to {following}", bore, si(line["length"]), k, si(line["rise"])))
        at, port = following, "out"
        part = parts[at]
        if part["kind"] == "nozzle":
            return found, part
        if part["kind"] == "reel":
            assert part["bore"] == part["hose"]["bore"], "the swivel is as wide as its hose"
            bore = si(part["hose"]["bore"])
            found.append((f"{at}, swivel", bore, 0.0, SWIVEL, 0.0))
            found.append((f"{at}, hose", bore, si(part["hose"]["length"]), 0.0, 0.0))
        elif part["kind"] == "gun":
            found.append((at, bore, 0.0, heads(si(part["loss"]), si(part["rated-flow"]), bore), 0.0))
        elif part["kind"] == "injector":
            # Cunningham: 1 + Kn - 2b + (1 + Ktd) b^2 heads in the orifice; smooth 0.05, 0.2, 0.6, rough 0.1, 0.4, 0.5.
            ends = [1 + kn - 2 * b + (1 + ktd) * b * b for kn, ktd, b in ((0.05, 0.2, 0.6), (0.1, 0.4, 0.5))]
            found.append((at, bore, 0.0, sum(ends) / 2 * (bore / si(part["orifice"])) ** 4, 0.0))
        else:
            raise AssertionError(part["kind"])


def solve(way, tip, flow, setting):
    """Pressures along the way with the unloader shut, or open where that needs more than its setting."""
    capacity = si(tip["flow"]) * si(tip["count"]) / math.sqrt(si(tip["at-pressure"]))

    def run(fixed, idle=1.0):
        network = wntr.network.WaterNetworkModel()
        options = network.options.hydraulic
        options.headloss, options.accuracy, options.trials = "D-W", 1e-8, 200
        # EPANET's viscosity is a multiple of 1.1e-5 ft2/s.
        options.viscosity = VISCOSITY / DENSITY / (1.1e-5 * 0.3048**2)
        options.emitter_exponent = 0.5
        if fixed:
            network.add_junction("0", base_demand=-flow, elevation=0)
        else:
            network.add_reservoir("0", base_head=head(setting))
        up = 0.0
        for at, (_, bore, length, k, rise) in enumerate(way):
            up += rise
            network.add_junction(str(at + 1), base_demand=0, elevation=up)
            # A part without length is a pipe of a millimetre.
            network.add_pipe(f"p{at}", str(at), str(at + 1), length=max(length, 1e-3), diameter=bore, roughness=ROUGHNESS, minor_loss=k)
        network.get_node(str(len(way))).emitter_coefficient = capacity * math.sqrt(DENSITY * G)
        if fixed:
            # EPANET wants some node of fixed head, and its shut pipes leak a little: so one of the same head, shut off.
            network.add_reservoir("idle", base_head=idle)
            network.add_pipe("shut", "idle", "0", length=1, diameter=0.01, roughness=ROUGHNESS, initial_status="CLOSED")
        home = os.getcwd()
        with tempfile.TemporaryDirectory() as scratch:
            os.chdir(scratch)
            try:
                result = wntr.sim.EpanetSimulator(network).run_sim(file_prefix="run")
            finally:
                os.chdir(home)
        through = float(result.link["flowrate"]["p0"].iloc[0])
        ups = [0.0]
        for *_, rise in way:
            ups.append(ups[-1] + rise)
        return through, [(float(result.node["head"][str(at)].iloc[0]) - up) * DENSITY * G for at, up in enumerate(ups)]

    idle = 1.0
    for _ in range(6):
        through, pressures = run(True, idle)
        idle = head(pressures[0])
    assert abs(through / flow - 1) < 1e-6, through / flow
    if pressures[0] > setting:
        through, pressures = run(False)
    return through, pressures


def main():
    rows = []
    for name in RIGS:
        parts, plumbing = read(name)
        washer = next(at for at, part in parts.items() if part["kind"] == "washer")
        way, tip = elements(parts, plumbing, washer)
        flow, pressures = solve(way, tip, si(parts[washer]["flow"]), si(parts[washer]["unloader"]["opens"]))
        names = [element[0] for element in way] + ["tip"]
        rows += [(name, element, flow, pressure) for element, pressure in zip(names, pressures)]
    if "--write" in sys.argv[1:]:
        with open(FILE, "w", newline="", encoding="ascii") as file:
            csv.writer(file, delimiter=";", lineterminator="\n").writerows([("spec", "element", "flow", "pressure"), *rows])
        return 0
    with open(FILE, newline="", encoding="ascii") as file:
        kept = list(csv.reader(file, delimiter=";"))[1:]
    wrong = abs(len(kept) - len(rows))
    for row, held in zip(rows, kept):
        off = max(abs(value / float(text) - 1) for value, text in zip(row[2:], held[2:]))
        if list(row[:2]) != held[:2] or off > TOLERANCE:
            wrong += 1
            print(f"differs: {held}, computed {row}")
    print(f"{len(rows)} rows, {wrong} differ")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
