"""Makes points.csv: chromaticities of many lights, and in which of the signal colours' areas each lies.

The chromaticities are computed with colour-science from spectra; the verdicts and distances with shapely from
corners.csv. Neither shares code with the program under test. README.md says how to run it.
"""

import csv
import pathlib
import warnings

warnings.filterwarnings("ignore")  # colour-science warns of optional packages, none of which is used here

import colour
import numpy
import shapely
from shapely.geometry import LineString, Point, Polygon

HERE = pathlib.Path(__file__).parent
COLOURS = ["red", "green", "white", "yellow"]
SHAPE = colour.SpectralShape(360, 830, 1)
OBSERVER = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(SHAPE)
WAVELENGTHS = OBSERVER.wavelengths

TOLERANCE = 1e-9  # nearer than this to a side is upon it
UPON = 1e-10  # every point upon a border is nearer than this,
CLEAR = 1e-7  # and every other farther off than this, so that rounding decides no row
STEP_ASIDE = 1e-4
DECIMALS = 12
PUBLISHED_DIGITS = 1e-4  # published chromaticities have four decimals

CIE_ILLUMINANTS = [name for name in colour.SDS_ILLUMINANTS if not name.startswith("ISO")]


def spectrum(values):
    """A spectrum at OBSERVER's wavelengths."""
    return numpy.asarray(values, dtype=float)


def tristimulus(values):
    distribution = colour.SpectralDistribution(values, WAVELENGTHS)
    return colour.sd_to_XYZ(distribution, OBSERVER, method="Integration")


def tabled_xy(distribution):
    """A published spectrum, summed at the step of its own table as the CIE does, so that lines stay as narrow."""
    start, end = max(distribution.shape.start, SHAPE.start), min(distribution.shape.end, SHAPE.end)
    shape = colour.SpectralShape(start, end, distribution.shape.interval)
    observer, distribution = OBSERVER.copy().align(shape), distribution.copy().trim(shape)
    return colour.XYZ_to_xy(colour.sd_to_XYZ(distribution, observer, method="Integration"))


def luminous(values):
    """The spectrum at unit luminance, for mixing by share of the light that the eye sees."""
    return values / tristimulus(values)[1]


def led(peak, half_width):
    return spectrum(colour.sd_single_led(peak, shape=SHAPE, half_spectral_width=half_width).values)


def bell(peak, full_width):
    return spectrum(colour.sd_gaussian(peak, full_width, shape=SHAPE, method="FWHM").values)


def black_body(kelvin):
    return spectrum(colour.sd_blackbody(kelvin, shape=SHAPE).values)


def long_pass(edge):
    """A coloured glass that lets the longer wavelengths through, its edge some 20 nm wide."""
    return 1 / (1 + numpy.exp(-(WAVELENGTHS - edge) / 5))


def single_wavelength_rows():
    for wavelength in sorted({*map(float, range(400, 701, 5)), *numpy.arange(586, 597, 0.5)}):
        x, y = colour.XYZ_to_xy(OBSERVER[wavelength])
        yield f"single wavelength {wavelength:g} nm", x, y


def leds():
    for half_width in (10, 16, 24, 34):
        for peak in range(450, 661, 10):
            yield f"LED {peak} nm; half width {half_width} nm", led(peak, half_width)
    for half_width in (14, 20, 28):
        for peak in (495, 498, 502, 505, 508, 512, 585, 588, 591, 593, 595, 597, 602, 605, 608, 612, 615, 618, 622, 625):
            yield f"LED {peak} nm; half width {half_width} nm", led(peak, half_width)
    for full_width in (40, 80, 120):
        for peak in range(460, 641, 30):
            yield f"bell {peak} nm; full width {full_width} nm", bell(peak, full_width)


def black_bodies():
    for kelvin in [*range(1800, 4001, 50), *range(4250, 7001, 250), *range(7500, 10001, 500)]:
        yield f"black body {kelvin} K", black_body(kelvin)


def illuminant_rows():
    for name in CIE_ILLUMINANTS:
        yield f"CIE illuminant {name}", *tabled_xy(colour.SDS_ILLUMINANTS[name])


def filtered_lamps():
    filament = spectrum(colour.SDS_ILLUMINANTS["A"].copy().align(SHAPE).values)
    for edge in range(540, 661, 6):
        yield f"illuminant A behind a long-pass glass of {edge} nm", filament * long_pass(edge)
    for peak in range(480, 541, 6):
        for full_width in (40, 60, 80):
            yield f"illuminant A behind a {peak} nm glass {full_width} nm wide", filament * bell(peak, full_width)


def mixtures():
    blue, amber = luminous(led(450, 22)), luminous(bell(570, 115))
    for share in numpy.arange(0.002, 0.041, 0.002):
        yield f"450 nm LED over yellow phosphor; {share:.3f} of the light", share * blue + (1 - share) * amber
    pairs = {
        "red 625 and green 525": (led(625, 20), led(525, 34)),
        "red 625 and yellow 590": (led(625, 20), led(590, 16)),
        "green 505 and white 4000 K": (led(505, 30), black_body(4000)),
        "yellow 590 and white 3000 K": (led(590, 16), black_body(3000)),
        "red 635 and blue 465": (led(635, 18), led(465, 24)),
    }
    for name, (one, other) in pairs.items():
        for share in numpy.arange(0.05, 1, 0.1):
            yield f"LEDs {name}; {share:.2f} of the first", share * luminous(one) + (1 - share) * luminous(other)


def stimuli():
    """Name, x, y of every light."""
    yield from single_wavelength_rows()
    yield from illuminant_rows()
    for family in (leds, black_bodies, filtered_lamps, mixtures):
        for name, values in family():
            x, y = colour.XYZ_to_xy(tristimulus(values))
            yield name, x, y


def border_points(areas):
    """Corners, points along each side, and points a step to either side of it: name, x, y, colour, verdict."""
    for name, area in areas.items():
        ring = area.exterior.coords
        leftward = 1 if area.exterior.is_ccw else -1  # anticlockwise, the inside is to the left
        for number, (start, end) in enumerate(zip(ring, ring[1:]), 1):
            start, end = numpy.array(start), numpy.array(end)
            along = (end - start) / numpy.linalg.norm(end - start)
            inward = leftward * numpy.array([-along[1], along[0]])
            yield f"{name} corner {number}", *start, name, "border"
            for share in (0.1, 0.3, 0.5, 0.7, 0.9):
                place = start + share * (end - start)
                yield f"{name} side {number} at {share}", *place, name, "border"
                yield f"{name} side {number} at {share}; a step in", *(place + STEP_ASIDE * inward), name, "inside"
                yield f"{name} side {number} at {share}; a step out", *(place - STEP_ASIDE * inward), name, "outside"


def corner_neighbours(areas):
    """Four points round each corner, on whichever side of the border they fall: name, x, y."""
    for name, area in areas.items():
        for number, (x, y) in enumerate(area.exterior.coords[:-1], 1):
            for word, right, up in (("left", -1, 0), ("right", 1, 0), ("up", 0, 1), ("down", 0, -1)):
                yield f"{name} corner {number}; a step {word}", x + STEP_ASIDE * right, y + STEP_ASIDE * up


def read_areas():
    with open(HERE / "corners.csv", newline="") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
    areas = {name: Polygon([(float(r["x"]), float(r["y"])) for r in rows if r["colour"] == name]) for name in COLOURS}
    assert all(area.is_valid for area in areas.values()), "a border crosses itself"
    return areas


def verdict(area, x, y):
    """The word for where the point lies, and how far outside it is."""
    point = Point(x, y)
    to_border = LineString(area.exterior.coords).distance(point)
    assert not UPON < to_border < CLEAR, f"({x}, {y}) is too near a border to tell"
    if to_border <= TOLERANCE:
        return "border", 0.0
    return ("inside", 0.0) if area.contains(point) else ("outside", area.distance(point))


def check_published():
    """The route from spectrum to chromaticity against chromaticities that the CIE publishes (CIE 15, in the library)."""
    published = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]
    for name in CIE_ILLUMINANTS:
        off = abs(tabled_xy(colour.SDS_ILLUMINANTS[name]) - published[name]).max()
        assert off < PUBLISHED_DIGITS, f"{name} is {off} from its published chromaticity"


def main():
    areas = read_areas()
    check_published()
    points = [(name, x, y, None, None) for name, x, y in stimuli()]
    points += [(name, x, y, None, None) for name, x, y in corner_neighbours(areas)]
    points += list(border_points(areas))
    with open(HERE / "points.csv", "w", newline="") as file:
        file.write(f"# Made by make_points.py with colour-science {colour.__version__}, shapely {shapely.__version__} ")
        file.write(f"(GEOS {shapely.geos_version_string}), numpy {numpy.__version__}. See README.md.\n")
        out = csv.writer(file, lineterminator="\n")
        out.writerow(["name", "x", "y", *COLOURS, *(f"{name}_distance" for name in COLOURS)])
        names = set()
        for name, x, y, own, expected in points:
            assert name not in names and "," not in name, name
            names.add(name)
            x, y = round(float(x), DECIMALS), round(float(y), DECIMALS)
            found = {area: verdict(areas[area], x, y) for area in COLOURS}
            assert own is None or found[own][0] == expected, f"{name}: by construction {expected}, found {found[own]}"
            words = [found[area][0] for area in COLOURS]
            distances = [f"{found[area][1]:.{DECIMALS}f}" for area in COLOURS]
            out.writerow([name, f"{x:.{DECIMALS}f}", f"{y:.{DECIMALS}f}", *words, *distances])


if __name__ == "__main__":
    main()
