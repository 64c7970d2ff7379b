"""Water, friction, hose, nozzle, suction, tap, manifold and injector figures from public libraries.

Recomputes every row of hydraulics.csv, which the unit tests under src/figures read, and compares:

    python3.11 -m venv venv && venv/bin/pip install -r requirements.txt
    venv/bin/python hydraulics.py           exits 1 when a row differs from the file by more than 1e-6 relative
    venv/bin/python hydraulics.py --write   writes the file

Nothing here uses the project's own correlations: water is IAPWS-95 (CoolProp, compared with iapws), friction is Colebrook or
Clamond (fluids), roots are scipy's brentq, whole networks are EPANET 2.2 (wntr), and the injector is fluids' jet pump.
Units are SI and degC. A row is: table,name=value;name=value;...
"""

import csv
import math
import os
import pathlib
import sys
import tempfile
import warnings

import CoolProp.CoolProp as coolprop
import fluids
import fluids.fittings
import fluids.jet_pump
import numpy as np
import wntr
from iapws import IAPWS95
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

warnings.filterwarnings("ignore")

GPM = 231 * 0.0254**3 / 60
PSI = 0.45359237 * 9.80665 / 0.0254**2
FT, IN, G = 0.3048, 0.0254, 9.80665
AIR = 101325.0
FILE = pathlib.Path(__file__).resolve().with_name("hydraulics.csv")
# EPANET answers in single precision, good to about 1e-7.
TOLERANCE = 1e-6

rows = []


def row(table, **numbers):
    rows.append((table, {name: float(value) for name, value in numbers.items()}))


def water(t):
    density = coolprop.PropsSI("D", "T", t + 273.15, "P", AIR, "Water")
    return density, coolprop.PropsSI("V", "T", t + 273.15, "P", AIR, "Water")


def loss(flow, bore, length, roughness, fittings, density, viscosity):
    """Darcy-Weisbach with Clamond's solution of Colebrook; turbulent only."""
    speed = flow / (math.pi / 4 * bore**2)
    reynolds = fluids.Reynolds(V=speed, D=bore, rho=density, mu=viscosity)
    assert reynolds > 4000, reynolds
    factor = fluids.friction_factor(Re=reynolds, eD=roughness / bore, Method="Clamond")
    return fluids.dP_from_K(fluids.K_from_f(fd=factor, L=length, D=bore) + fittings, rho=density, V=speed)


def water_table():
    for t in (0.01, 4, 5, 10, 15, 20, 25, 30, 35, 40, 45, 50, 60):
        density, viscosity = water(t)
        other = IAPWS95(T=t + 273.15, P=AIR / 1e6)
        assert abs(other.rho / density - 1) < 1e-7 and abs(other.mu / viscosity - 1) < 1e-6, t
        row(
            "water",
            temperature=t,
            density=density,
            viscosity=viscosity,
            vapour_pressure=coolprop.PropsSI("P", "T", t + 273.15, "Q", 0, "Water"),
            specific_heat=coolprop.PropsSI("C", "T", t + 273.15, "P", AIR, "Water"),
        )


def atmosphere_table():
    for feet in (0, 500, 1000, 2000, 5000, 7000, 10000):
        row("atmosphere", height=feet * FT, pressure=fluids.ATMOSPHERE_1976(feet * FT).P)


def friction_table():
    for reynolds in (4000.0, 5000.0, 1e4, 2e4, 46228.4, 6e4, 1e5, 2e5, 1e6):
        for relative in (0.0, 1e-5, 1e-4, 1.04987e-3, 2.3e-3, 5e-3, 0.02):
            exact = fluids.friction.Colebrook(reynolds, relative)
            assert abs(fluids.friction.Clamond(reynolds, relative) / exact - 1) < 1e-10
            row("friction", reynolds=reynolds, relative_roughness=relative, factor=exact)


def hose_table():
    for gpm, bore, feet, roughness, fittings, t in (
        (5.5, 0.375, 100, 1e-5, 0, 20),
        (4, 0.25, 100, 1e-5, 0, 20),
        (8, 0.375, 200, 1e-5, 15, 20),
        (8, 0.5, 200, 1e-5, 15, 20),
        (5, 0.625, 200, 1e-5, 12, 20),
        (10, 0.75, 100, 1e-5, 0, 20),
        (3.5, 0.625, 200, 1.5e-6, 0, 20),
        (5.5, 0.375, 100, 3e-5, 0, 20),
        (5.5, 0.375, 150, 1e-5, 15, 20),
        (4, 0.25, 150, 1e-5, 15, 20),
        (5.5, 0.375, 150, 1e-5, 15, 5),
        (5.5, 0.375, 150, 1e-5, 15, 40),
    ):
        density, viscosity = water(t)
        args = (gpm * GPM, bore * IN, feet * FT, roughness, fittings)
        row(
            "hose",
            flow=args[0],
            bore=args[1],
            length=args[2],
            roughness=roughness,
            fittings=fittings,
            temperature=t,
            loss=loss(*args, density, viscosity),
        )


def epanet(build):
    """Runs EPANET in a scratch folder, so that its files land nowhere else."""
    network = wntr.network.WaterNetworkModel()
    options = network.options.hydraulic
    options.headloss, options.accuracy, options.trials, options.viscosity = "D-W", 1e-8, 200, 1.0
    options.emitter_exponent = 0.5
    build(network)
    home = os.getcwd()
    with tempfile.TemporaryDirectory() as scratch:
        os.chdir(scratch)
        try:
            return wntr.sim.EpanetSimulator(network).run_sim(file_prefix="run")
        finally:
            os.chdir(home)


def epanet_hose_table():
    for gpm, bore, feet in ((4, 0.375, 200), (5.5, 0.375, 200), (8, 0.375, 200), (4, 0.25, 100), (5, 0.625, 200), (10, 0.75, 100)):

        def build(network):
            network.add_reservoir("source", base_head=3000)
            network.add_junction("end", base_demand=gpm * GPM, elevation=0)
            network.add_pipe("hose", "source", "end", length=feet * FT, diameter=bore * IN, roughness=1e-5)

        head = 3000 - float(epanet(build).node["head"]["end"].iloc[0])
        row("epanet_hose", flow=gpm * GPM, bore=bore * IN, length=feet * FT, roughness=1e-5, head=head)


def epanet_delivery_table():
    """A pump falling in a straight line from 5.5 gpm at 0 to 2.9 gpm at 60 psi, a hose, a rise and an emitter."""
    metres = PSI / (1000 * G)
    for tip, feet, bore, rise in ((0.6, 200, 0.625, 0), (0.6, 200, 0.625, 25), (0.4, 200, 0.5, 10), (1.0, 100, 0.5, 0)):

        def build(network):
            network.add_reservoir("tank", 0.0)
            network.add_junction("pump-out", base_demand=0, elevation=0)
            network.add_junction("tip", base_demand=0, elevation=rise * FT)
            line = [(q * GPM, max(0.0, (5.5 - q) / 2.6 * 60) * metres) for q in np.linspace(0, 5.5, 23)]
            network.add_curve("line", "HEAD", line)
            network.add_pump("pump", "tank", "pump-out", pump_type="HEAD", pump_parameter="line")
            network.add_pipe(
                "hose", "pump-out", "tip", length=feet * FT, diameter=bore * IN, roughness=1e-5, minor_loss=12
            )
            network.get_node("tip").emitter_coefficient = tip * GPM / math.sqrt(metres)

        result = epanet(build)
        row(
            "epanet_delivery",
            tip_gpm_per_root_psi=tip,
            length=feet * FT,
            bore=bore * IN,
            rise=rise * FT,
            flow=float(result.link["flowrate"]["hose"].iloc[0]),
            pump_pressure=float(result.node["pressure"]["pump-out"].iloc[0]) * 1000 * G,
            tip_pressure=float(result.node["pressure"]["tip"].iloc[0]) * 1000 * G,
        )


def washer_table():
    """Unloader open: where nozzle and hose together need the setting."""
    density, viscosity = water(20)
    for gpm, psi, size, bore, feet in (
        (5.5, 3000, 6.5, 0.375, 200),
        (8, 3500, 8, 0.375, 200),
        (4, 4000, 3.5, 0.25, 100),
        (4, 4000, 3, 0.25, 150),
    ):

        def over(q):
            hose = loss(q * GPM, bore * IN, feet * FT, 1e-5, 15, density, viscosity)
            return 4000 * PSI * (q / size) ** 2 + hose - psi * PSI

        row(
            "washer",
            pump_flow=gpm * GPM,
            unloader=psi * PSI,
            size=size,
            bore=bore * IN,
            length=feet * FT,
            roughness=1e-5,
            fittings=15,
            flow=brentq(over, 1.0, gpm, xtol=1e-14, rtol=1e-14) * GPM,
        )


def suction_table():
    for t, level, bore, feet in ((20, 0.6, 1, 6), (20, -0.6, 1, 6), (40, 0.6, 0.75, 6), (60, 0.6, 1, 6), (20, 0.3, 0.625, 15)):
        density, viscosity = water(t)
        flow, strainer = 5.5 * GPM, 0.3 * PSI
        hose = loss(flow, bore * IN, feet * FT, 1e-5, 4, density, viscosity)
        vapour = coolprop.PropsSI("P", "T", t + 273.15, "Q", 0, "Water")
        speed = flow / (math.pi / 4 * (bore * IN) ** 2)
        row(
            "suction",
            temperature=t,
            level=level,
            bore=bore * IN,
            length=feet * FT,
            roughness=1e-5,
            fittings=4,
            strainer=strainer,
            flow=flow,
            head=(AIR - vapour - hose - strainer) / (density * G) + level,
            port=density * G * level - hose - strainer - density * speed**2 / 2,
        )


def tap_table():
    density, viscosity = water(15)
    for psi, bore, feet in ((50, 0.625, 100), (50, 0.75, 100), (60, 0.75, 100), (40, 0.5, 50)):
        service = (psi - 8) * PSI / (12 * GPM) ** 2

        def left(q):
            return psi * PSI - service * q * q - loss(q, bore * IN, feet * FT, 1e-5, 3, density, viscosity)

        row(
            "tap",
            standing=psi * PSI,
            service=service,
            bore=bore * IN,
            length=feet * FT,
            roughness=1e-5,
            fittings=3,
            temperature=15,
            flow=brentq(left, 2 * GPM, 60 * GPM, xtol=1e-16, rtol=1e-14),
        )


def manifold_table():
    """Three branches at one junction; flow coefficients set so that 1.5 ft levels give 68 : 30 : 2."""
    density, _ = water(20)
    foot = density * G * FT / PSI
    gravities = (1.0, 1.17, 1.02)
    coefficients = (1.671159, 0.781378, 0.054218)
    for levels in ((1.5, 1.5, 0.5), (1.5, 3.0, 0.5), (1.5, 0.3, 0.5), (3.0, 0.3, 0.5), (0.3, 3.0, 0.5)):
        branches = list(zip(coefficients, gravities, levels))

        def flows(p):
            return [cv * math.sqrt((sg * foot * level - p) / sg) for cv, sg, level in branches]

        most = min(sg * foot * level for _, sg, level in branches)
        p = brentq(lambda p: sum(flows(p)) - 4.0, -14.0, most, xtol=1e-14, rtol=1e-14)
        water_flow, bleach, soap = flows(p)
        row(
            "manifold",
            water_level_ft=levels[0],
            bleach_level_ft=levels[1],
            soap_level_ft=levels[2],
            junction_psi=p,
            water_gpm=water_flow,
            bleach_gpm=bleach,
            soap_gpm=soap,
        )


def injector_table():
    """Head ratio N from fluids' jet pump, which solves the same momentum balance its own way."""
    density, _ = water(20)
    for area_ratio, m in ((0.6, 0.1), (0.5, 0.1), (0.6, 0.05), (0.4, 0.2)):
        nozzle, flow = 2.1e-3, 5.5 * GPM
        # fluids counts the loss of the throat and of the diffuser apart; a wide diffuser leaves no exit velocity.
        solved = fluids.jet_pump.liquid_jet_pump(
            rhop=density,
            rhos=density,
            Kp=0.05,
            Ks=0.0,
            Km=0.1,
            Kd=0.1,
            d_nozzle=nozzle,
            d_mixing=nozzle / math.sqrt(area_ratio),
            d_diffuser=0.1,
            Qp=flow,
            Qs=m * flow,
            P2=AIR,
        )
        row(
            "injector",
            nozzle=nozzle,
            area_ratio=area_ratio,
            drawn=m,
            flow=flow,
            head_ratio=solved["N"],
            inlet_pressure=solved["P1"] - AIR,
            back_pressure=solved["P5"] - AIR,
        )


def fittings_table():
    for coupling, hose in ((0.28, 0.375), (0.25, 0.375), (0.2, 0.25), (0.4, 0.5)):
        beta = coupling / hose
        contraction = fluids.fittings.contraction_sharp(hose * IN, coupling * IN)
        expansion = fluids.fittings.diffuser_sharp(coupling * IN, hose * IN)
        row(
            "coupling",
            coupling=coupling * IN,
            hose=hose * IN,
            contraction=contraction / beta**4,
            borda=(1 - beta**2) ** 2 / beta**4,
            expansion=expansion / beta**4,
        )
    for cv, bore in ((2.4, 0.375), (7.0, 0.375), (3.0, 0.5), (15.0, 0.75)):
        row("flow_coefficient", cv=cv, bore=bore * IN, k=fluids.Cv_to_K(cv, bore * IN))
    for bore in (0.5, 0.75, 1.0):
        row(
            "check_valve",
            bore=bore * IN,
            swing=fluids.fittings.K_swing_check_valve_Crane(D=bore * IN),
            spring=fluids.fittings.K_lift_check_valve_Crane(D1=bore * IN, D2=bore * IN, angled=False),
        )


def fixed_coefficients_table():
    for reynolds in (2e4, 5e4):
        row(
            "elbow",
            reynolds=reynolds,
            three_k=fluids.fittings.Darby3K(NPS=0.375, Re=reynolds, name="Elbow, 90°, threaded, standard, (r/D = 1)"),
            two_k=fluids.fittings.Hooper2K(Di=0.375, Re=reynolds, name="Elbow, 90°, Standard (R/D = 1), Screwed"),
        )
    for bore in (0.375, 0.5, 0.75):
        row(
            "ball_valve",
            bore=bore * IN,
            full=fluids.fittings.K_ball_valve_Crane(D1=bore * IN, D2=bore * IN, angle=0),
        )
    row("reduced_ball_valve", k=fluids.fittings.K_ball_valve_Crane(D1=0.5 * IN, D2=0.75 * IN, angle=30))
    row("entrance", k=fluids.fittings.entrance_sharp(), exit=fluids.fittings.exit_normal())
    density, viscosity = water(20)
    bore = 0.375 * IN
    for gpm in (4, 5.5, 8):
        reynolds = fluids.Reynolds(V=gpm * GPM / (math.pi / 4 * bore**2), D=bore, rho=density, mu=viscosity)
        straight = fluids.friction_factor(Re=reynolds, eD=1e-5 / bore, Method="Clamond")
        for drum in (10, 14):
            for name, method in (("schmidt", "Schmidt turbulent"), ("mori_nakayama", "Mori Nakayama turbulent")):
                curved = fluids.friction_factor_curved(reynolds, bore, drum * IN, roughness=1e-5, Method=method)
                row("wound", reynolds=reynolds, drum=drum * IN, **{name: curved / straight})


def warming_table():
    for capacity, power, loss_, start, air, limit in (
        (4180.0, 600.0, 1.5, 20.0, 25.0, 60.0),
        (4180.0, 600.0, 0.0, 20.0, 25.0, 60.0),
        (4180.0, 600.0, 1e-9, 20.0, 25.0, 60.0),
        (1.58e6, 9600.0, 28.3, 20.0, 20.0, 60.0),
        (2090.0, 300.0, 3.0, 35.0, 10.0, 60.0),
    ):

        def rate(_t, y):
            return [(power - loss_ * (y[0] - air)) / capacity]

        def reached(_t, y):
            return y[0] - limit

        reached.terminal = True
        span = 20 * capacity * (limit - start) / power
        hit = solve_ivp(rate, (0, span), [start], events=reached, rtol=1e-11, atol=1e-9, max_step=span / 2000)
        row(
            "warming",
            capacity=capacity,
            power=power,
            loss=loss_,
            start=start,
            air=air,
            limit=limit,
            seconds=hit.t_events[0][0],
        )


def main():
    water_table()
    atmosphere_table()
    friction_table()
    hose_table()
    epanet_hose_table()
    epanet_delivery_table()
    washer_table()
    suction_table()
    tap_table()
    manifold_table()
    injector_table()
    fittings_table()
    fixed_coefficients_table()
    warming_table()
    lines = [f"{table}," + ";".join(f"{name}={value!r}" for name, value in numbers.items()) for table, numbers in rows]
    if "--write" in sys.argv[1:]:
        FILE.write_text("table,numbers\n" + "\n".join(lines) + "\n", encoding="ascii")
        return 0
    with open(FILE, newline="", encoding="ascii") as held:
        kept = list(csv.reader(held))[1:]
    wrong = abs(len(kept) - len(rows))
    if wrong:
        print(f"{len(kept)} rows in the file, {len(rows)} computed")
    for (table, numbers), (kept_table, text) in zip(rows, kept):
        held = {name: float(value) for name, value in (pair.split("=") for pair in text.split(";"))}
        same = table == kept_table and numbers.keys() == held.keys()
        if not same or any(abs(numbers[n] - held[n]) > TOLERANCE * max(abs(held[n]), 1e-12) for n in held):
            wrong += 1
            print(f"differs: {kept_table} holds {held}, computed {table} {numbers}")
    print(f"{len(rows)} rows, {wrong} differ")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
