"""Carbon monoxide in a ventilated box, solved numerically.

Integrates V dC/dt = G - Q C with scipy's solve_ivp (DOP853) and writes air.csv, which the unit tests of
src/figures/air.rs read. The closed form is deliberately not used here.

    python3 -m venv venv && venv/bin/pip install -r requirements-air.txt && venv/bin/python air.py

Columns: volume m3, air m3/s, source m3/s, start and level as volume fractions, seconds until the level is met
(empty when the level is not met within 200 air changes, that is, never), a moment in s, and the fraction then.
"""

import csv
import pathlib

from scipy.integrate import solve_ivp

FT3 = 0.3048**3
CFM = FT3 / 60
HOUR = 3600.0
# Rough source strengths in m3/s of pure CO at 25 degC: a small engine near normal oxygen, one at the legal ceiling.
LOW, HIGH = 0.43672 / HOUR, 3.7829 / HOUR

BOXES = [
    # volume, air, source, start
    (5 * 8 * 6 * FT3, 0.0, LOW, 0.0),
    (5 * 8 * 6 * FT3, 0.0, HIGH, 35e-6),
    (5 * 8 * 6 * FT3, 367.9 / HOUR, LOW, 0.0),
    (5 * 8 * 6 * FT3, 367.9 / HOUR, HIGH, 0.0),
    (7 * 14 * 6.5 * FT3, 622.0 / HOUR, LOW, 0.0),
    (7 * 14 * 6.5 * FT3, 2184.0 / HOUR, LOW, 0.0),
    (7 * 14 * 6.5 * FT3, 3.4 / HOUR, 0.02 * LOW, 0.0),
    (5 * 8 * 6 * FT3, 1e-9, LOW, 0.0),  # nearly closed: the closed form must not lose digits here
    (5 * 8 * 6 * FT3, 367.9 / HOUR, 0.0, 1500e-6),  # engine stopped, box airing out
    (5 * 8 * 6 * FT3, 12478.0 / HOUR, LOW, 900e-6),  # strong fan, falling to 35 ppm
    (2332 * FT3, 836 * CFM, 0.818 * CFM, 0.0),  # Earnest et al. 1997, the site in Colorado
    (10_000 * FT3, 10_000 / 60 * CFM, 0.818 * CFM, 0.0),
]
LEVELS = [35e-6, 200e-6, 1200e-6]
MOMENTS = [5.0, 60.0, 600.0]


def solve(volume, air, source, start, until, level=None):
    def rate(_t, c):
        return [(source - air * c[0]) / volume]

    events = None
    if level is not None:

        def events(_t, c):
            return c[0] - level

        events.terminal = True
    # A step of at most a hundredth of the span keeps the event search honest.
    return solve_ivp(
        rate, (0.0, until), [start], method="DOP853", rtol=1e-11, atol=1e-16, events=events, max_step=until / 100
    )


def time_to_level(volume, air, source, start, level):
    if start >= level:
        return 0.0
    if source == 0.0:
        return None
    until = 200 * volume / air if air > 1e-6 else 10 * level * volume / source
    hit = solve(volume, air, source, start, until, level).t_events[0]
    return float(hit[0]) if len(hit) else None


def main():
    here = pathlib.Path(__file__).resolve().parent
    with open(here / "air.csv", "w", newline="", encoding="ascii") as out:
        rows = csv.writer(out, lineterminator="\n")
        rows.writerow(["volume", "air", "source", "start", "level", "time_to_level", "moment", "level_then"])
        for volume, air, source, start in BOXES:
            for level, moment in zip(LEVELS, MOMENTS):
                met = time_to_level(volume, air, source, start, level)
                then = float(solve(volume, air, source, start, moment).y[0, -1])
                numbers = [volume, air, source, start, level, met, moment, then]
                rows.writerow(["" if n is None else repr(float(n)) for n in numbers])


if __name__ == "__main__":
    main()
