"""Chemistry of bleach and fault distances, worked out with general libraries.

Writes chemistry.csv, which the unit tests of src/figures/bleach and paths read; with --check it compares and fails
on a difference. No closed form of the figures is used: the rate law comes from chempy's Eyring equation and is
integrated by scipy, stoichiometry is balanced by chempy, strength by weight is solved as a root, paths are networkx's.

    python3.11 -m venv venv && venv/bin/pip install -r requirements-chemistry.txt && venv/bin/python chemistry.py

Columns: kind, subject, inputs separated by spaces, value.
    molar      formula                   -                                            g/mol
    dose       formula                   -                                            kg a kg of available chlorine
    water      -                         degC                                         kg/m3 at 101325 Pa (IAPWS-95)
    constant   -                         degC, ionic strength mol/L                   L/(mol s)
    left       -                         kg/m3, mol/L, degC, factor, s                kg/m3 left
    oxygen     -                         kg/m3, mol/L, degC, factor, s, m3            mol made in that time
    equivalent -                         mean degC, amplitude K                       degC
    by-weight  hypochlorite or chlorine  weight percent, weight percent caustic       kg/m3 available chlorine
    diluted    -                         kg/m3, caustic, volumes of water to one      kg/m3, volumes by density
    path       mode: source > cell       -                                            failures, or never
"""

import csv
import math
import pathlib
import sys

import networkx
from chemicals import iapws95_rho
from chempy import Substance, balance_stoichiometry
from chempy.kinetics.eyring import EyringParam
from molmass import Formula
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

HERE = pathlib.Path(__file__).resolve().parent
CHLORINE = Substance.from_formula("Cl2").mass
HYPOCHLORITE = Substance.from_formula("NaClO").mass
WATER = iapws95_rho(293.15, 101325.0)

# Adam and Gordon, Inorg. Chem. 38 (1999) 1299: enthalpy J/mol and entropy J/(mol K) of activation, slope in salt.
EYRING = EyringParam(1.018e5, -56.5)
SALT = 0.149
CHLORATE_TO_OXYGEN = 8.7


def density(chlorine, caustic):
    """Two-term fit of density, kg/m3, through a bleach-equipment maker's points at 120 g/L."""
    return WATER * (1 + (0.157 / 120) * chlorine + (0.011 / 0.73) * caustic)


def constant(celsius, ionic):
    return 10 ** (SALT * ionic) * EYRING(celsius + 273.15)


def decay(chlorine, ionic, celsius, factor, seconds):
    """Hypochlorite mol/L and oxygen mol/L after a time; each oxygen takes two and each chlorate three hypochlorite."""
    k = factor * constant(celsius, ionic)
    share = 1 / (3 * CHLORATE_TO_OXYGEN + 2)

    def rate(_t, y):
        loss = k * y[0] ** 2
        return [-loss, share * loss]

    return solve_ivp(rate, (0, seconds), [chlorine / CHLORINE, 0], method="DOP853", rtol=1e-11, atol=1e-16).y[:, -1]


def equivalent(mean, amplitude):
    average = quad(lambda x: EYRING(mean + amplitude * math.sin(2 * math.pi * x) + 273.15), 0, 1)[0]
    return brentq(lambda t: EYRING(t + 273.15) - average, mean, mean + amplitude + 1e-9, xtol=1e-12)


def by_weight(basis, percent, caustic):
    """The strength whose weight percentage is the one wanted, found as a root."""
    times = HYPOCHLORITE / CHLORINE if basis == "hypochlorite" else 1.0
    return brentq(lambda g: 100 * times * g / density(g, caustic) - percent, 0, 400, xtol=1e-12)


def diluted(chlorine, caustic, parts):
    """Strength of one volume of bleach with so many of water: masses add, the final volume comes from the density."""
    mass = density(chlorine, caustic) + parts * WATER
    left = density(chlorine, caustic) * caustic / mass
    volume = brentq(lambda v: v * density(chlorine / v, left) - mass, 0.5 * (1 + parts), 2 * (1 + parts), xtol=1e-13)
    return chlorine / volume


# Ions left out of a product are spectators: only the moles of agent to a mole of chlorine matter.
REACTIONS = {
    "C6H8O6": ({"C6H8O6", "Cl2"}, {"C6H6O6", "HCl"}, "C6H8O6"),
    "C6H7O6Na": ({"C6H7O6Na", "Cl2"}, {"C6H6O6", "HCl", "NaCl"}, "C6H7O6Na"),
    "Na2SO3": ({"SO3-2", "Cl2", "H2O"}, {"SO4-2", "Cl-", "H+"}, "SO3-2"),
    "NaHSO3": ({"HSO3-", "Cl2", "H2O"}, {"SO4-2", "Cl-", "H+"}, "HSO3-"),
    "Na2S2O5": ({"S2O5-2", "Cl2", "H2O"}, {"SO4-2", "Cl-", "H+"}, "S2O5-2"),
    "Na2S2O3 least": ({"S2O3-2", "Cl2", "H2O"}, {"SO4-2", "Cl-", "H+"}, "S2O3-2"),
    "Na2S2O3 most": ({"S2O3-2", "Cl2"}, {"S4O6-2", "Cl-"}, "S2O3-2"),
}


def molar(formula):
    mass = Substance.from_formula(formula).mass
    other = Formula(formula).mass
    # The two libraries differ in the weights they take for chlorine and sulfur.
    assert abs(mass / other - 1) < 3e-4, (formula, mass, other)
    return mass


def dose(name):
    left, right, agent = REACTIONS[name]
    coefficients, _ = balance_stoichiometry(left, right)
    return float(coefficients[agent]) / float(coefficients["Cl2"]) * molar(name.split()[0]) / CHLORINE


# The invented rig of src/figures/paths/tests.rs: name, kind, from, to.
RIG = [
    ("fill hose", "pipe", "tap", "fill end"),
    ("gap", "gap", "fill end", "water tank"),
    ("water out", "valve", "water tank", "header"),
    ("washer suction", "pipe", "header", "washer pump"),
    ("washer discharge", "pipe", "washer pump", "injector"),
    ("injector ball", "check", "pick-up", "injector"),
    ("pick-up tube", "tube", "soap pail", "pick-up"),
    ("washer hose", "pipe", "injector", "washer gun"),
    ("bleach out", "valve", "bleach tank", "bleach line"),
    ("bleach meter", "valve", "bleach line", "bleach inlet"),
    ("bleach check", "check", "bleach inlet", "manifold"),
    ("soap out", "valve", "soap tank", "soap line"),
    ("soap meter", "valve", "soap line", "soap inlet"),
    ("soap check", "check", "soap inlet", "manifold"),
    ("water feed", "pipe", "header", "water line"),
    ("water meter", "valve", "water line", "water inlet"),
    ("water check", "check", "water inlet", "manifold"),
    ("roof suction", "pipe", "manifold", "roof pump"),
    ("roof discharge", "pipe", "roof pump", "roof hose"),
    ("roof gun", "pipe", "roof hose", "roof end"),
    ("bleach wand", "tube", "bleach tank", "transfer pump"),
    ("water wand", "tube", "transfer pump", "water tank"),
    ("acid out", "valve", "acid tank", "acid line"),
    ("acid check", "check", "acid line", "manifold"),
]
MODES = {
    "wash": {"water out", "bleach out", "bleach meter", "soap out", "soap meter", "water meter"},
    "rinse": {"water out", "bleach out", "soap out", "water meter"},
    "transfer": {"bleach wand", "water wand"},
    "store": set(),
    "acid": {"water out", "bleach out", "soap out", "acid out"},
}


def distances(mode, source):
    graph = networkx.MultiDiGraph()
    for name, kind, start, end in RIG:
        shut = name not in MODES[mode]
        forward, reverse = {
            "pipe": (0, 0),
            "check": (0, 1),
            "gap": (0, None),
            "valve": (1, 1) if shut else (0, 0),
            "tube": (None, None) if shut else (0, 0),
        }[kind]
        graph.add_nodes_from((start, end))
        if forward is not None:
            graph.add_edge(start, end, weight=forward)
        if reverse is not None:
            graph.add_edge(end, start, weight=reverse)
    found = networkx.single_source_dijkstra_path_length(graph, source)
    return {cell: found.get(cell, "never") for cell in sorted(graph)}


def rows():
    for formula in ["NaClO", "Cl2", "NaOH", "C6H8O6", "C6H7O6Na", "Na2SO3", "NaHSO3", "Na2S2O5", "Na2S2O3"]:
        yield "molar", formula, (), molar(formula)
    for name in REACTIONS:
        yield "dose", name, (), dose(name)
    for celsius in (0.01, 15.0, 20.0, 25.0, 40.0):
        yield "water", "", (celsius,), iapws95_rho(celsius + 273.15, 101325.0)
    for celsius in (15.0, 25.0, 40.0, 55.0):
        for ionic in (1.0, 3.584, 6.0):
            yield "constant", "", (celsius, ionic), constant(celsius, ionic)
    day = 86400.0
    for inputs in [
        (125.0, 3.584, 25.0, 1.0, 30 * day),
        (125.0, 3.584, 30.0, 1.6, 90 * day),
        (141.0, 4.04, 35.0, 1.3, 180 * day),
        (62.5, 1.79, 40.0, 0.8, 14 * day),
        (125.0, 3.584, 15.0, 4.0, 7 * day),
    ]:
        yield "left", "", inputs, decay(*inputs)[0] * CHLORINE
    for inputs in [(125.0, 3.584, 30.0, 1.0, 60.0), (100.0, 2.877, 40.0, 1.3, 60.0)]:
        yield "oxygen", "", (*inputs, 0.2082), decay(*inputs)[1] * 208.2
    for inputs in [(25.0, 8.0), (30.0, 10.0), (35.0, 12.0), (10.0, 15.0)]:
        yield "equivalent", "", inputs, equivalent(*inputs)
    for basis in ("hypochlorite", "chlorine"):
        for percent in (1.0, 5.25, 8.25, 12.5, 15.0):
            for caustic in (0.0, 0.2, 1.0):
                yield "by-weight", basis, (percent, caustic), by_weight(basis, percent, caustic)
    for parts in (0.5, 1.0, 3.0, 11.5):
        yield "diluted", "", (125.0, 0.2, parts), diluted(125.0, 0.2, parts)
    for mode in MODES:
        for source in ("bleach tank", "acid tank"):
            for cell, faults in distances(mode, source).items():
                yield "path", f"{mode}: {source} > {cell}", (), faults


def printed(row):
    kind, subject, inputs, value = row
    shown = value if isinstance(value, str) else f"{float(value):.10g}"
    return [kind, subject, " ".join(repr(float(number)) for number in inputs), shown]


def same(one, two):
    if one[:3] != two[:3]:
        return False
    if "never" in (one[3], two[3]):
        return one[3] == two[3]
    return math.isclose(float(one[3]), float(two[3]), rel_tol=1e-8)


def main():
    found = [printed(row) for row in rows()]
    path = HERE / "chemistry.csv"
    if "--check" in sys.argv:
        with open(path, newline="", encoding="ascii") as file:
            committed = list(csv.reader(file))[1:]
        differing = [pair for pair in zip(found, committed) if not same(*pair)]
        for mine, theirs in differing:
            print("differs:", mine, theirs)
        if differing or len(found) != len(committed):
            sys.exit(f"{len(differing)} rows differ, {len(found)} computed, {len(committed)} committed")
        print(f"{len(found)} rows agree")
        return
    with open(path, "w", newline="", encoding="ascii") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(["kind", "subject", "inputs", "value"])
        writer.writerows(found)


if __name__ == "__main__":
    main()
