#!/usr/bin/env python3
"""Our benches and the same work in numpy, scipy and shapely, timed in one run, with the ratio.

    pip install numpy scipy shapely
    python3 benches/peer/compare.py          # runs cargo bench (short), then the peers, prints a table
    python3 benches/peer/compare.py lens seat   # of crate lens those with "seat" in their name

A peer does the same mathematics on the same kind of input with a general-purpose library; where the library has no such
thing (a plan against a shelf) there is no peer and no ratio. Times are medians; both sides run on one core, one after the
other. Figures belong to the machine that printed them.
"""
import json
import os
import platform
import statistics
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import scipy
import shapely
from scipy.interpolate import CubicSpline, splev, splprep
from scipy.optimize import brentq, least_squares, minimize

ROOT = Path(__file__).resolve().parents[2]
TARGET = Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))
BRIEF = ["--warm-up-time", "0.5", "--measurement-time", "2"]
BENCHES = [("lens", "lens"), ("rimwright", "plan"), ("exchange", "files")]


def ours(crates, word):
    """Runs the criterion benches and returns {name: median seconds}."""
    for crate, bench in BENCHES:
        if crate not in crates:
            continue
        done = subprocess.run(["cargo", "bench", "-q", "-p", crate, "--bench", bench, "--", *BRIEF, *word],
                              cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
        if done.returncode != 0:
            sys.exit(f"cargo bench -p {crate} failed:\n{done.stderr[-2000:]}")
    found = {}
    for estimate in TARGET.glob("criterion/**/new/estimates.json"):
        name = json.loads((estimate.parent / "benchmark.json").read_text())["full_id"]
        found[name] = json.loads(estimate.read_text())["median"]["point_estimate"] * 1e-9
    return found


def timed(work, seconds=1.0):
    """Median time of a call, of as many as fit into the given time."""
    work()
    times, end = [], time.perf_counter() + seconds
    while time.perf_counter() < end or len(times) < 5:
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


# The lens of crates/lens/benches: -2.00 -1.50 x 30, index 1.586, front 6 D, centre 1.8 mm; outline 52 x 36, exponent 2.6.
N, CENTRE = 1.586, 1.8
R1 = 1000 * (N - 1) / 6.0
BACK = [p - 6.0 / (1 - CENTRE / 1000 / N * 6.0) for p in (-2.0, -3.5)]
R_REV, R_GEN = (1000 * (1 - N) / p for p in BACK)
T = np.arange(400) * (2 * np.pi / 400)
RADIUS = (np.abs(np.cos(T) / 26) ** 2.6 + np.abs(np.sin(T) / 18) ** 2.6) ** (-1 / 2.6)
X, Y = RADIUS * np.cos(T), RADIUS * np.sin(T)
C30, S30 = np.cos(np.radians(30)), np.sin(np.radians(30))


def back_sag(x, y):
    u, v = x * C30 + y * S30, y * C30 - x * S30
    s = v * v / (R_GEN + np.sqrt(R_GEN * R_GEN - v * v))
    d = R_REV - s
    return s + u * u / (d + np.sqrt(d * d - u * u))


def edge_straight():
    x, y = X - 3.0, Y - 2.0
    front = (x * x + y * y) / (R1 + np.sqrt(R1 * R1 - x * x - y * y))
    return CENTRE + back_sag(x, y) - front


TILT = np.array([-3.0 / R1, -2.0 / R1])
A = np.array([-TILT[0], -TILT[1], np.sqrt(1 - TILT @ TILT)])
K = 1 / (1 + A[2])
BX = np.array([1 - A[0] * A[0] * K, -A[0] * A[1] * K, -A[0]])
BY = np.array([-A[0] * A[1] * K, 1 - A[1] * A[1] * K, -A[1]])
B = np.array([-3.0, -2.0, 13.0 / (R1 + np.sqrt(R1 * R1 - 13.0))])


def edge_tilted():
    q = B[:, None] + BX[:, None] * X + BY[:, None] * Y
    rr = X * X + Y * Y
    front = rr / (R1 + np.sqrt(R1 * R1 - rr))
    s = np.full_like(X, CENTRE)
    h = 1e-6
    for _ in range(6):
        p = q + s * A[:, None]
        f = CENTRE + back_sag(p[0], p[1]) - p[2]
        slope = (back_sag(p[0] + h * A[0], p[1] + h * A[1]) - back_sag(p[0], p[1])) / h - A[2]
        s = s - f / slope
    return s - front, q, front, s


def coverage_tilted():
    _, q, front, back = WALLS
    reach = [np.hypot(*(q + d * A[:, None])[:2]).max() for d in (front, back)]
    return 32.5 - 1.0 - max(reach)


WALLS = edge_tilted()
RNG = np.random.default_rng(1)
NOISY = np.round((RADIUS + RNG.normal(0, 0.012, 400)) * 100) / 100


def outline():
    x, y = NOISY * np.cos(T), NOISY * np.sin(T)
    tck, _ = splprep([np.append(x, x[0]), np.append(y, y[0])], s=2 * 400 * 0.012**2, per=1)
    fine = np.column_stack(splev(np.linspace(0, 1, 1600, endpoint=False), tck))
    shape = shapely.Polygon(fine)
    return shape.bounds, shape.length, shape.area, np.hypot(*fine.T).max()


POLYGON = shapely.Polygon(np.column_stack([X, Y]))
ROWS = 20_000
SHELF = np.column_stack([RNG.integers(-32, 25, ROWS) * 250, RNG.integers(-8, 1, ROWS) * 250, RNG.integers(0, 4, ROWS)])


def scan():
    return np.flatnonzero((SHELF[:, 2] == 0) & (SHELF[:, 0] == -4250) & (SHELF[:, 1] == -1000))


# The seat of crates/lens/benches: the same lens, least shoulders 0.3 mm, a rim on a sphere of 4 D; places from up on.
FROM_UP = np.roll(np.arange(400), -100)
PX, PY = X[FROM_UP], Y[FROM_UP]
FLAT = np.hypot(np.diff(PX, append=PX[0]), np.diff(PY, append=PY[0]))
RIM_DEPTH = (PX * PX + PY * PY) / (530 / 4 + np.sqrt((530 / 4) ** 2 - PX * PX - PY * PY))
LEAST, GIVEN, EQUAL = 0.3, 0.03, 0.001


def along(depth):
    """Length up to each place, what each counts, and the whole."""
    step = np.hypot(FLAT, np.diff(depth, append=depth[0]))
    return np.concatenate([[0], np.cumsum(step)]), (step + np.roll(step, 1)) / (2 * step.sum())


def seat():
    """least_squares for the least rms gap; BFGS inside brentq for the gap that may be given and for equal shoulders;
    shares of length until the apex stays. Returns both gaps and the mean front shoulder."""
    front, back = WALLS[2][FROM_UP], WALLS[3][FROM_UP]
    low, high = front + LEAST, back - LEAST
    low, high = np.where(high < low, (front + back) / 2, low), np.where(high < low, (front + back) / 2, high)
    length, weight = along(RIM_DEPTH)
    rim = np.column_stack([PX, PY, RIM_DEPTH - weight @ RIM_DEPTH])
    rim = CubicSpline(length / length[-1], np.vstack([rim, rim[:1]]), bc_type="periodic")
    apex, nearest = (low + high) / 2, np.zeros(3)
    for _ in range(20):
        length, weight = along(apex)
        x, y, d = rim(length[:-1] / length[-1]).T
        root = np.sqrt(weight)

        def seated(q):
            (sx, cx), (sy, cy) = (np.sin(q[1]), np.cos(q[1])), (np.sin(q[2]), np.cos(q[2]))
            depth = x * sy - y * sx * cy + d * cx * cy
            return depth - q[0], np.array([-np.ones_like(x), -(y * cx + d * sx) * cy, x * cy + (y * sx - d * cx) * sy])

        def residuals(q):
            s = seated(q)[0]
            return root * (s - np.clip(s, low, high))

        nearest = least_squares(residuals, nearest, x_scale=[1, 0.05, 0.05]).x
        least = np.linalg.norm(residuals(nearest))

        def energy(q, c):
            s, slope = seated(q * [1, 0.05, 0.05])
            a = np.clip(s - c, low, high)
            pull = np.where(a == s - c, c, s - a)
            return weight @ ((s - a) ** 2 + 2 * c * a), 2 * slope @ (weight * pull) * [1, 0.05, 0.05]

        def at(c):
            q = minimize(energy, nearest / [1, 0.05, 0.05], (c,), jac=True, method="BFGS", options={"gtol": 1e-8}).x
            s = seated(q * [1, 0.05, 0.05])[0]
            a = np.clip(s - c, low, high)
            return np.sqrt(weight @ (s - a) ** 2), weight @ (a - front), a

        spent = brentq(lambda c: at(c)[0] - least - GIVEN, 1e-4, 1.0, xtol=1e-9)
        wanted = at(spent)[1] + EQUAL
        rms, shoulder, found = at(brentq(lambda c: at(c)[1] - wanted, 1e-4, spent, xtol=1e-9))
        moved, apex = np.abs(found - apex).max(), found
        if moved < 1e-6:
            break
    return least, rms, shoulder


PEERS = [
    ("square edge of 400 points, along the lens axis", "numpy", edge_straight),
    ("square edge of 400 points, tilted", "numpy, 6 Newton steps", edge_tilted),
    ("coverage, tilted", "numpy, samples only", coverage_tilted),
    ("outline/smoothed from 400 samples, box, lengths, area", "scipy splprep + shapely", outline),
    ("outline/parallel curve 0.5 mm", "shapely buffer", lambda: POLYGON.buffer(0.5, quad_segs=64)),
    ("seat/one eye at 400 points", "scipy least_squares, BFGS in brentq", seat),
    ("shelf/rows of one power among 20000", "numpy mask", scan),
]


def shown(seconds):
    return f"{seconds * 1e6:.2f} us" if seconds < 1e-3 else f"{seconds * 1e3:.2f} ms"


def main():
    crates, word = sys.argv[1:2] or [crate for crate, _ in BENCHES], sys.argv[2:3]
    measured = {name: time for name, time in ours(crates, word).items() if not word or word[0] in name}
    print(f"{platform.processor() or platform.machine()}, {os.cpu_count()} cores; numpy {np.__version__}, "
          f"scipy {scipy.__version__}, shapely {shapely.__version__}\n")
    print(f"| work | ours | peer | peer's time | ratio |\n|---|---|---|---|---|")
    done = set()
    for name, with_what, work in PEERS:
        if name not in measured and len(sys.argv) > 1:
            continue
        if name not in measured:
            sys.exit(f"there is no bench called {name}; known: {sorted(measured)}")
        done.add(name)
        peer = timed(work)
        print(f"| {name} | {shown(measured[name])} | {with_what} | {shown(peer)} | {peer / measured[name]:.1f} |")
    for name in sorted(set(measured) - done):
        print(f"| {name} | {shown(measured[name])} | - | - | - |")


if __name__ == "__main__":
    main()
