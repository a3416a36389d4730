"""The standard survey against Embree's occlusion query, on the same samples of the same boats.

Needs Python 3 with numpy and embreex (pip install numpy embreex), and cargo. Run it in the repository:

    python3 tests/benches/against_embree.py

It has the `panorama` benchmark write boats, lamps, answers and times into a folder of its own, works out every ray anew from the
lamps alone, asks Embree, and prints one table: times with ratios, and how many samples differ, both all of them and
those farther than 0.05 degree from an edge. It ends with status 1 when one of the latter differs.
"""

import json
import os
import platform
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy
from embreex.mesh_construction import TriangleMesh
from embreex.rtcore_scene import EmbreeScene

BEARINGS, ELEVATIONS, POINTS = 1440, 31, 16
NEAR_AN_EDGE = numpy.radians(0.05)


def directions():
    """Unit vectors by bearing (clockwise from ahead) and elevation; x forward, y to port, z up."""
    bearing = numpy.radians(numpy.arange(BEARINGS) * 360.0 / BEARINGS)[:, None]
    elevation = numpy.radians(numpy.linspace(-7.5, 7.5, ELEVATIONS))[None, :]
    level = numpy.cos(elevation)
    return numpy.stack(
        [numpy.cos(bearing) * level, -numpy.sin(bearing) * level, numpy.sin(elevation) + 0.0 * bearing], axis=-1
    )


def starts(lamp):
    """Where the rays begin, by bearing and point: four upright rows of four, from the right, the face turned to the bearing."""
    bearing = numpy.radians(numpy.arange(BEARINGS) * 360.0 / BEARINGS)
    ahead = numpy.stack([numpy.cos(bearing), -numpy.sin(bearing), 0.0 * bearing], axis=-1)
    axis = numpy.array(lamp["axis"])
    side = numpy.cross(axis, ahead)
    side /= numpy.linalg.norm(side, axis=-1, keepdims=True)
    place = (numpy.arange(4) + 0.5) / 4.0 - 0.5
    across, up = (grid.ravel() for grid in numpy.meshgrid(place, place, indexing="ij"))
    offset = side[:, None, :] * (across * lamp["width"])[None, :, None] + numpy.cross(ahead, side)[:, None, :] * (up * lamp["height"])[None, :, None]
    return numpy.array(lamp["centre"]) + offset


def rays(lamp):
    """Origins and directions of all samples of a lamp: bearings, then points, then elevations."""
    shape = (BEARINGS, POINTS, ELEVATIONS, 3)
    origin = numpy.broadcast_to(starts(lamp)[:, :, None, :], shape).reshape(-1, 3)
    toward = numpy.broadcast_to(directions()[:, None, :, :], shape).reshape(-1, 3)
    return origin.astype(numpy.float32), toward.astype(numpy.float32)


def met(scene, origin, toward):
    return scene.run(origin, toward, query="OCCLUDED") >= 0


def away_from_edges(scene, origin, toward, answers):
    """Which of some samples have the same answer all round them at 0.05 degree."""
    helper = numpy.where(numpy.abs(toward[:, 2:]) < 0.9, [[0.0, 0.0, 1.0]], [[1.0, 0.0, 0.0]])
    across = numpy.cross(toward, helper)
    across /= numpy.linalg.norm(across, axis=-1, keepdims=True)
    up = numpy.cross(across, toward)
    alike = numpy.ones(len(toward), bool)
    for n in range(16):
        angle = 2.0 * numpy.pi * n / 16
        aside = toward + (across * numpy.cos(angle) + up * numpy.sin(angle)) * NEAR_AN_EDGE
        aside = (aside / numpy.linalg.norm(aside, axis=-1, keepdims=True)).astype(numpy.float32)
        alike &= met(scene, origin, aside) == answers
    return alike


def embree(boat, folder):
    """Seconds of building and of asking (the middle of three); samples stopped, that differ, and that do away from edges."""
    points = numpy.fromfile(folder / f"{boat['name']}.points", numpy.float32).reshape(-1, 3)
    corners = numpy.fromfile(folder / f"{boat['name']}.corners", numpy.uint32).astype(numpy.int32).reshape(-1, 3)
    ours = numpy.fromfile(folder / f"{boat['name']}.stopped", numpy.uint8).reshape(len(boat["lamps"]), -1) > 0
    begin = time.perf_counter()
    scene = EmbreeScene()
    mesh = TriangleMesh(scene, points, corners)
    # The first query commits the scene, which builds its tree.
    met(scene, numpy.zeros((1, 3), numpy.float32), numpy.array([[0, 0, 1]], numpy.float32))
    build = time.perf_counter() - begin
    asked, stopped, differing, wrong = [], 0, 0, 0
    for lamp, ours_here in zip(boat["lamps"], ours):
        origin, toward = rays(lamp)
        times = []
        for _ in range(3):
            begin = time.perf_counter()
            theirs = met(scene, origin, toward)
            times.append(time.perf_counter() - begin)
        asked.append(sorted(times)[1])
        stopped += int(theirs.sum())
        odd = numpy.flatnonzero(theirs != ours_here)
        differing += len(odd)
        if len(odd):
            wrong += int(away_from_edges(scene, origin[odd], toward[odd], theirs[odd]).sum())
    del mesh
    return build, sum(asked), stopped, differing, wrong


def main():
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        command = ["cargo", "bench", "--quiet", "--no-default-features", "--bench", "panorama"]
        subprocess.run(command, check=True, env={**os.environ, "LAMPWALK_EXPORT": str(folder)})
        boats = json.loads((folder / "boats.json").read_text())
        samples = len(boats[0]["lamps"]) * BEARINGS * POINTS * ELEVATIONS
        print(f"{samples / 1e6:.2f} million samples; {platform.machine()}; {os.cpu_count()} processors; one thread each")
        print("milliseconds to make ready + to look\n")
        heads = ["boat", "triangles", "lampwalk", "Embree", "parry3d", "Embree / lampwalk", "looking alone"]
        heads += ["parry3d / lampwalk", "stopped", "differ", "away from edges"]
        print("| " + " | ".join(heads) + " |\n" + "|---" * len(heads) + "|")
        bad = 0
        for boat in boats:
            build, look, stopped, differing, wrong = embree(boat, folder)
            bad += wrong
            own = (boat["build"][0], boat["look"][0])
            parry = (boat["parry_build"], boat["parry_look"])
            pair = lambda times: f"{1e3 * times[0]:.1f} + {1e3 * times[1]:.1f}"
            cells = [boat["name"], boat["triangles"], pair(own), pair((build, look)), pair(parry)]
            cells += [f"{(build + look) / sum(own):.1f}", f"{look / own[1]:.1f}", f"{sum(parry) / sum(own):.0f}"]
            cells += [f"{stopped / samples:.0%}", differing, wrong]
            print("| " + " | ".join(str(cell) for cell in cells) + " |")
            if stopped == 0:
                raise SystemExit("no sample was stopped: nothing was compared")
        return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
