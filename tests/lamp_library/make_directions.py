"""Makes invented lamp files of every type and symmetry, and directions.csv: what general libraries read in them.

IES LM-63 is read with photompy, EULUMDAT with eulumdat-py (imported as pyldt); both are under the MIT licence, and
neither shares code with the program under test. README.md says how to run it.
"""

import csv
import math
import pathlib

from photompy import IESFile
from pyldt import LdtReader

HERE = pathlib.Path(__file__).parent
GAMMA = [0, 15, 40, 60, 75, 85, 90, 95, 105, 120, 140, 165, 180]
LEVEL = [-90, -60, -30, -15, -5, 0, 5, 15, 30, 60, 90]
LUMENS = 340


def value(plane, step):
    """A lamp without any symmetry, in candela."""
    plane, step = math.radians(plane), math.radians(step)
    return round(20 + 6 * math.cos(plane - 0.4) + 3 * math.sin(2 * plane + 0.9) + 5 * math.cos(step * 1.3 + 0.2), 3)


def numbers(values, line=9):
    rows = [values[at : at + line] for at in range(0, len(values), line)]
    return "\n".join(" ".join(f"{one:g}" for one in row) for row in rows)


def write_ies(name, header, kind, planes, steps, multiplier=1.0, ballast=1.0, later="1"):
    lines = [header, "[TEST] invented", "[MANUFAC] nobody", "TILT=NONE"]
    lines += [f"1 -1 {multiplier:g} {len(steps)} {len(planes)} {kind} 2 0.03 0.03 0.02", f"{ballast:g} {later} 5"]
    lines += [numbers(steps), numbers(planes)]
    lines += [numbers([value(plane, step) for step in steps]) for plane in planes]
    (HERE / name).write_text("\n".join(lines) + "\n", newline="")


def write_ldt(name, symmetry, kept, planes, comma):
    head = ["nobody, invented", "1", str(symmetry), str(len(planes)), "0", str(len(GAMMA)), "0"]
    head += ["report", "lamp", "1", name, "date"] + ["0"] * 9 + ["50", "100", "1", "0", "1"]
    head += ["1", "lamp", str(LUMENS), "white", "80", "5"] + ["0.5"] * 10
    lines = head[:] + [f"{one:g}" for one in planes + GAMMA]
    lines += [f"{value(plane, step) * 1000 / LUMENS:.4f}" for plane in kept for step in GAMMA]
    if comma:
        lines[12:] = [line.replace(".", ",") for line in lines[12:]]
    (HERE / name).write_text("\r\n".join(lines) + "\r\n", newline="")


def circle(first, last, step=15):
    return list(range(first, last + 1, step))


def write_all():
    write_ies("c_round.ies", "IESNA:LM-63-2002", 1, [0], GAMMA)
    write_ies("c_quarters.ies", "IESNA:LM-63-1995", 1, circle(0, 90), GAMMA, multiplier=1.25, ballast=0.8)
    write_ies("c_halves.ies", "IESNA:LM-63-1995", 1, circle(0, 180, 30), GAMMA, ballast=0.93)
    write_ies("c_whole.ies", "IES:LM-63-2019", 1, circle(0, 360, 30), GAMMA, multiplier=0.5, later="1.00001")
    write_ies("b_halves.ies", "IESNA:LM-63-2002", 2, [0, 15, 40, 90], LEVEL, multiplier=2)
    write_ies("b_whole.ies", "IES:LM-63-2019", 2, [-90, -40, -15, 0, 10, 30, 90], LEVEL)
    write_ies("a_halves.ies", "IESNA:LM-63-2002", 3, [0, 5, 20, 45, 90], LEVEL)
    write_ies("a_whole.ies", "IESNA:LM-63-1995", 3, [-90, -50, -10, 0, 20, 60, 90], LEVEL, multiplier=1.5)
    planes = circle(0, 345)
    write_ldt("whole.ldt", 0, planes, planes, comma=False)
    write_ldt("round.ldt", 1, [0], planes, comma=True)
    write_ldt("halves_0_180.ldt", 2, circle(0, 180), planes, comma=False)
    write_ldt("halves_90_270.ldt", 3, [angle % 360 for angle in circle(270, 450)], planes, comma=True)
    write_ldt("quarters.ldt", 4, circle(0, 90), planes, comma=False)


def straight(low, high, at):
    return low[1] if high[0] == low[0] else low[1] + (high[1] - low[1]) * (at - low[0]) / (high[0] - low[0])


def of_ldt(path):
    """Candela of a C-plane and gamma. The library gives the whole table; between its points it runs straight."""
    ldt = LdtReader.read(path)
    head = ldt.header
    planes = [*head.c_angles, head.c_angles[0] + 360]
    rows = [*ldt.intensities, ldt.intensities[0]]
    flux = float(head.lamp_flux[0]) * head.conv_factor / 1000

    def candela(plane, step):
        after = next(at for at, known in enumerate(planes) if known > plane) if plane < planes[-1] else len(planes) - 1
        over = max(1, next(at for at, known in enumerate(head.g_angles) if known >= step))
        on = [
            straight((head.g_angles[over - 1], row[over - 1]), (head.g_angles[over], row[over]), step)
            for row in (rows[after - 1], rows[after])
        ]
        return straight((planes[after - 1], on[0]), (planes[after], on[1]), plane) * flux

    return candela


def of_ies(path):
    """Candela of a horizontal and a vertical angle. The library leaves the ballast factor to whoever uses it."""
    lamp = IESFile.read(path)
    photometry, ballast = lamp.photometry.expanded(), lamp.header.ballast_factor
    return lambda plane, step: float(photometry.get_intensity(step, plane)) * ballast


def main():
    write_all()
    samples = sorted(HERE.glob("../lamp_samples/type_*.ies"))
    with open(HERE / "directions.csv", "w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(["file", "horizontal", "vertical", "candela"])
        for path in sorted([*HERE.glob("*.ies"), *HERE.glob("*.ldt")]) + samples:
            c_planes = path.suffix == ".ldt" or path.name.startswith("c_")
            read = of_ldt(path) if path.suffix == ".ldt" else of_ies(path)
            half = path.name in ("type_a_halves.ies", "type_b_halves.ies")
            across = [0, 7, 30, 64.5, 90, 118, 180, 201.25, 270, 296, 333.3, 359] if c_planes else [-88, -40, -7, 0, 12, 33.3, 90]
            over = [0, 4, 40, 72.5, 90, 101, 135, 180] if c_planes else [0, 3, 44, 90] if half else [-90, -31, -2, 0, 3, 44, 90]
            for plane in across:
                for step in over:
                    out.writerow([path.name, f"{plane:g}", f"{step:g}", f"{read(plane, step):.6f}"])


if __name__ == "__main__":
    main()
