"""Lenses seated in their rims by a general-purpose optimiser, and one by trying a grid.

The optimiser (scipy: SLSQP, least_squares) is given the apex depth at every place and the rigid turn of the rim as so
many unknowns, with the least shoulders as bounds; nothing of the closed form by which crate `lens` leaves three unknowns
is used. Outlines, surfaces and rims are formulas; lengths in space are Gauss quadratures along them.

    python3 -m venv seat && seat/bin/pip install numpy scipy
    seat/bin/python reference/seat/make.py  # writes cases.csv beside itself, in five minutes on two cores
"""

import csv
import os
import sys
from dataclasses import dataclass
from multiprocessing import Pool

import numpy as np
import scipy
from scipy.interpolate import CubicSpline
from scipy.optimize import brentq, least_squares, minimize
from scipy.spatial.transform import Rotation

HERE = os.path.dirname(os.path.abspath(__file__))
SOURCE = f"scipy {scipy.__version__}; numpy {np.__version__}"
ARM = 20.0  # mm: a tilt is handed to the optimiser as the mm that it moves at this arm
MOST_TILT = ARM * np.radians(15.0)
EQUAL_SHOULDERS = 0.001
NODES, WEIGHTS = np.polynomial.legendre.leggauss(8)
RIM_PLACES = 7200


@dataclass
class Case:
    name: str
    places: int = 48
    # The cut outline and the rim's, |x/a|^p + |y/b|^p = 1.
    a: float = 26.0
    b: float = 18.0
    p: float = 2.0
    # The rim: a sphere of 530/curve with its pole over the boxed centre, and more.
    rim_curve_d: float = 4.0
    twist_mm: float = 0.0  # times x y / (a b)
    wave_mm: float = 0.0  # times cos 3 t
    # The seat by which the rim, turned away from this form, would be turned back.
    lean_x_deg: float = 0.0
    lean_y_deg: float = 0.0
    # The lens.
    index: float = 1.53
    front_d: float = 4.0
    sphere_d: float = -4.0
    centre_mm: float = 2.0
    vertex: tuple = (0.0, 0.0)
    block_axis: str = "front-normal"
    least_front: float = 0.3
    least_back: float = 0.3
    gap_given: float = 0.03
    grid: bool = False


def radius(case, t):
    """Of the outline in direction t, and its slope."""
    p, c, s = case.p, np.abs(np.cos(t)) / case.a, np.abs(np.sin(t)) / case.b
    f = c**p + s**p
    r = f ** (-1 / p)
    df = p * (
        -(c ** (p - 1)) * np.sin(t) * np.sign(np.cos(t)) / case.a
        + s ** (p - 1) * np.cos(t) * np.sign(np.sin(t)) / case.b
    )
    return r, -r * df / (p * f)


def sag(curvature, rr):
    return curvature * rr / (1 + np.sqrt(1 - curvature**2 * rr))


# --- the lens: two spheres by their centres, seen along the cutting axis


def surfaces(case):
    """Front and back depth as functions of x and y, from the front at the block point under the boxed centre."""
    n, t = case.index, case.centre_mm / 1000
    c1 = case.front_d / (n - 1) / 1000
    back_d = case.sphere_d - case.front_d / (1 - t / n * case.front_d)
    c2 = back_d / (1 - n) / 1000
    vx, vy = case.vertex
    if case.block_axis == "lens-axis" or (vx, vy) == (0.0, 0.0):
        start = sag(c1, vx * vx + vy * vy)

        def depth(c, at):
            return lambda x, y: at + sag(c, (x - vx) ** 2 + (y - vy) ** 2) - start

        return depth(c1, 0.0), depth(c2, case.centre_mm)
    # Along the normal of the front at the block point the front's centre lies straight behind it. The lens axis, on which
    # the back's centre lies, leans so that the vertex, a radius before the front's centre, appears where it is wanted.
    r1, r2 = 1 / c1, 1 / c2
    axis = np.array([-vx / r1, -vy / r1, np.sqrt(1 - (vx * vx + vy * vy) / r1**2)])
    centre = np.array([0, 0, r1]) + (case.centre_mm + r2 - r1) * axis

    def back(x, y):
        rr = (x - centre[0]) ** 2 + (y - centre[1]) ** 2
        return centre[2] - np.sign(r2) * np.sqrt(r2 * r2 - rr)

    return (lambda x, y: sag(c1, x * x + y * y)), back


# --- the rim as a curve in space by its share of length, from straight up and anticlockwise


class Rim:
    def __init__(self, case):
        turn = Rotation.from_euler("xy", [case.lean_x_deg, case.lean_y_deg], degrees=True).inv()

        def place(t):
            r, _ = radius(case, t)
            x, y = r * np.cos(t), r * np.sin(t)
            depth = (
                sag(case.rim_curve_d / 530, r * r)
                + case.twist_mm * x * y / (case.a * case.b)
                + case.wave_mm * np.cos(3 * t)
            )
            # Turned about its own vertex; the viewer's axis is minus the depth.
            return turn.apply(np.column_stack([np.ravel(x), np.ravel(y), -np.ravel(depth)]))

        t0 = brentq(lambda t: place(t)[0, 0], np.pi / 2 - 0.6, np.pi / 2 + 0.6, xtol=1e-15)
        t = t0 + np.linspace(0, 2 * np.pi, RIM_PLACES + 1)
        p = place(t)
        p[-1] = p[0]
        by_t = CubicSpline(t, p, bc_type="periodic")
        mid, half = (t[1:] + t[:-1]) / 2, (t[1:] - t[:-1]) / 2
        speed = np.linalg.norm(by_t(mid[:, None] + half[:, None] * NODES, 1), axis=2)
        step = half * (speed @ WEIGHTS)
        self.length = step.sum()
        share = np.concatenate([[0], np.cumsum(step)]) / self.length
        share[-1] = 1
        self.mean = -float(
            ((by_t(mid[:, None] + half[:, None] * NODES)[:, :, 2] * speed) @ WEIGHTS * half).sum() / self.length
        )
        p[:, 2] += self.mean
        self.at = CubicSpline(share, p, bc_type="periodic")


# --- the problem


class Seat:
    """Unknowns: the apex depth at each place, forward in mm, the tilts about x and y in mm at the arm."""

    def __init__(self, case):
        n = self.n = case.places
        self.rim = Rim(case)
        t = np.pi / 2 + np.linspace(0, 2 * np.pi, n + 1)
        r, _ = radius(case, t[:-1])
        self.x, self.y = r * np.cos(t[:-1]), r * np.sin(t[:-1])
        front, back = surfaces(case)
        self.front, back = front(self.x, self.y), back(self.x, self.y)
        lf, lb = case.least_front, case.least_back
        squeezed = back - self.front < lf + lb
        divided = self.front + (back - self.front) * (lf / (lf + lb) if lf + lb > 0 else 0.5)
        self.least = np.where(squeezed, divided, self.front + lf)
        self.most = np.where(squeezed, divided, back - lb)
        self.squeezed = int(squeezed.sum())
        self.given = case.gap_given
        # Between places the apex is a periodic cubic in the direction: its slope at the nodes is linear in the depths.
        width = 2 * np.pi / n
        parts = 8  # each step in so many pieces: the outline of a rounded shape bends in little room
        fine = (
            t[:-1, None, None] + width / parts * (np.arange(parts)[None, :, None] + (NODES[None, None, :] + 1) / 2)
        ).reshape(n, -1)
        self.w_nodes = np.tile(WEIGHTS * width / parts / 2, parts)
        r, dr = radius(case, fine)
        self.flat2 = r * r + dr * dr
        unit = np.vstack([np.eye(n), np.eye(n)[:1]])
        self.slope = CubicSpline(t, unit, bc_type="periodic")(fine, 1)  # step, node, depth
        self.fixed = None
        self.flat_step = np.sqrt(self.flat2) @ self.w_nodes
        self.straight = False

    def lengths(self, a, derivatives=True):
        """Share of each place and what it counts, with their slopes by every depth."""
        if self.fixed is not None:
            zero = np.zeros((self.n, self.n))
            return (*self.fixed, zero, zero)
        m = self.slope @ a
        speed = np.sqrt(self.flat2 + m * m)
        step = speed @ self.w_nodes
        if self.straight:
            # Another line between the places: straight in the unrolled wall. Its slopes are not worked out.
            assert not derivatives
            step = np.hypot(self.flat_step, np.roll(a, -1) - a)
        along = np.concatenate([[0], np.cumsum(step)])
        whole = along[-1]
        weight = (step + np.roll(step, 1)) / (2 * whole)
        if not derivatives:
            return along[:-1] / whole, weight, None, None
        d_step = np.einsum("kg,kgj->kj", m / speed * self.w_nodes, self.slope)
        d_along = np.vstack([np.zeros(self.n), np.cumsum(d_step, axis=0)])
        d_share = d_along[:-1] / whole - np.outer(along[:-1], d_along[-1]) / whole**2
        d_weight = (d_step + np.roll(d_step, 1, axis=0)) / (2 * whole) - np.outer(weight, d_along[-1]) / whole
        return along[:-1] / whole, weight, d_share, d_weight

    def gaps(self, v):
        """Gap at each place with its slopes, and what each counts with its slopes."""
        n, a, q = self.n, v[: self.n], v[self.n :]
        share, weight, d_share, d_weight = self.lengths(a)
        about_x = Rotation.from_euler("x", q[1] / ARM)
        about_y = Rotation.from_euler("y", q[2] / ARM)
        once = about_x.apply(self.rim.at(share))
        seated = about_y.apply(once)
        slope = about_y.apply(about_x.apply(self.rim.at(share, 1)))
        by_x = about_y.apply(np.cross([1, 0, 0], once)) / ARM
        by_y = np.cross([0, 1, 0], seated) / ARM
        gap = a + seated[:, 2] + q[0]
        jac = np.zeros((n, n + 3))
        jac[:, :n] = np.eye(n) + slope[:, 2:3] * d_share
        jac[:, n], jac[:, n + 1], jac[:, n + 2] = 1.0, by_x[:, 2], by_y[:, 2]
        return gap, jac, weight, np.hstack([d_weight, np.zeros((n, 3))])

    def square(self, v):
        gap, jac, weight, d_weight = self.gaps(v)
        return weight @ gap**2, 2 * (weight * gap) @ jac + gap**2 @ d_weight

    def shoulder(self, v):
        _, _, weight, d_weight = self.gaps(v)
        depth = v[: self.n] - self.front
        return weight @ depth, np.concatenate([weight, np.zeros(3)]) + depth @ d_weight

    def rms(self, v):
        return float(np.sqrt(self.square(v)[0]))

    def bounds(self):
        tilt = [MOST_TILT, MOST_TILT]
        return np.concatenate([self.least, [-60], [-x for x in tilt]]), np.concatenate([self.most, [60], tilt])

    def nearest(self, v):
        """The least rms gap: least_squares over all unknowns within their bounds, then SLSQP from there."""
        low, high = self.bounds()
        free = high - low > 1e-9

        def whole(u):
            full = np.clip(v, low, high)
            full[free] = u
            return full

        def residuals(u):
            gap, _, weight, _ = self.gaps(whole(u))
            return np.sqrt(weight) * gap

        def jacobian(u):
            gap, jac, weight, d_weight = self.gaps(whole(u))
            root = np.sqrt(weight)
            return (root[:, None] * jac + (gap / (2 * root))[:, None] * d_weight)[:, free]

        start = np.clip(v[free], low[free] + 1e-6 * (high - low)[free], high[free] - 1e-6 * (high - low)[free])
        done = least_squares(
            residuals, start, jacobian, bounds=(low[free], high[free]), xtol=1e-15, ftol=1e-15, gtol=1e-15, max_nfev=200
        )
        first = whole(done.x)
        second = self.slsqp(self.square, first, [])
        return min(first, second, key=self.rms)

    def slsqp(self, what, v, constraints):
        low, high = self.bounds()
        best = np.clip(v, low, high)
        for _ in range(3):
            done = minimize(
                what,
                best,
                jac=True,
                method="SLSQP",
                bounds=list(zip(low, high)),
                constraints=[
                    {"type": "ineq", "fun": lambda u, f=f, m=m: m - f(u)[0], "jac": lambda u, f=f: -f(u)[1]}
                    for f, m in constraints
                ],
                options={"maxiter": 250, "ftol": 1e-13},
            )
            moved = np.abs(done.x - best).max()
            best = np.clip(done.x, low, high)
            if moved < 1e-9:
                break
        return best

    def solve(self, start):
        """Least rms gap; the smallest mean front shoulder within what may be given; among equals the least gap."""
        nearest = self.nearest(start)
        least = self.rms(nearest)
        limit = (least + max(self.given, 1e-4)) ** 2
        scaled = lambda v: tuple(100 * x for x in self.square(v))
        foremost = self.slsqp(self.shoulder, nearest, [(scaled, 100 * limit)])
        smallest = self.shoulder(foremost)[0]
        over = max(0.0, self.rms(foremost) - limit**0.5)
        answer = self.slsqp(self.square, foremost, [(self.shoulder, smallest + EQUAL_SHOULDERS)])
        return dict(
            least=least, foremost=smallest, rms=self.rms(answer), front=self.shoulder(answer)[0], over=over, v=answer
        )

    def settled(self, start):
        """The same with shares that stay, those of the answer itself: repeated until it stays."""
        v = start
        share, weight, _, _ = self.lengths(v[: self.n], derivatives=False)
        for _ in range(15):
            self.fixed = (share, weight)
            found = self.solve(v)
            v = found["v"]
            self.fixed = None
            before = share
            share, weight, _, _ = self.lengths(v[: self.n], derivatives=False)
            found["moved"] = float(np.abs(share - before).max() * self.rim.length)
            if found["moved"] < 1e-6:
                break
        return found

    def starts(self, rng):
        middle = (self.least + self.most) / 2
        yield np.concatenate([middle, [-middle.mean(), 0, 0]])
        yield np.concatenate([self.least, [0, 0, 0]])
        for _ in range(2):
            a = self.least + rng.random(self.n) * np.minimum(self.most - self.least, 2.0)
            yield np.concatenate([a, [-a.mean() + rng.normal(0, 0.5)], rng.normal(0, ARM * 0.05, 2)])


# --- one small case without an optimiser


def by_grid(case):
    """A centred ellipse of 12 places, symmetric about both axes: four depths, forward in closed form, everything tried.

    The tilts are 0 by symmetry; that none of a grid of them lowers the gap of the answer is tried too. Each round tries
    every combination of a grid of the four depths, and the next a finer grid round the best; lengths follow each trial.
    """
    seat = Seat(case)
    assert seat.n == 12 and case.vertex == (0.0, 0.0)
    fold = np.array([0, 1, 2, 3, 2, 1, 0, 1, 2, 3, 2, 1])  # places at 90, 120, ... have the depths of these four
    slope = np.zeros((3, seat.slope.shape[1], 4))
    for place, four in enumerate(fold):
        slope[:, :, four] += seat.slope[:3, :, place]
    least, most, front = seat.least[:4], seat.most[:4], seat.front[:4]
    count = np.array([2.0, 4.0, 4.0, 2.0])

    def figures(a):
        """rms gap at the best forward, and mean front shoulder, of many apexes at once."""
        step = np.zeros((len(a), 3))
        for k in range(3):
            for g in range(slope.shape[1]):
                step[:, k] += seat.w_nodes[g] * np.sqrt(seat.flat2[k, g] + (a @ slope[k, g]) ** 2)
        quarter = step.sum(axis=1)
        share = np.column_stack([0 * quarter, step[:, 0], step[:, 0] + step[:, 1], quarter]) / (4 * quarter[:, None])
        around = np.column_stack([step[:, 0], (step[:, 0] + step[:, 1]) / 2, (step[:, 1] + step[:, 2]) / 2, step[:, 2]])
        weight = around * count / (4 * quarter[:, None])
        off = a + seat.rim.at(share)[:, :, 2]
        mean = (weight * off).sum(axis=1)
        rms = np.sqrt(np.maximum((weight * (off - mean[:, None]) ** 2).sum(axis=1), 0))
        return rms, (weight * (a - front)).sum(axis=1)

    def search(better, rounds=40, points=11):
        middle, half = (least + most) / 2, (most - least) / 2
        best = None
        for k in range(rounds):
            axes = [
                np.unique(np.clip(np.linspace(m - h, m + h, points + 10 * (k == 0)), lo, hi))
                for m, h, lo, hi in zip(middle, half, least, most)
            ]
            a = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 4)
            rms, shoulder = figures(a)
            i = np.argmin(better(rms, shoulder))
            if best is None or better(rms[i : i + 1], shoulder[i : i + 1])[0] <= best[0]:
                best = (better(rms[i : i + 1], shoulder[i : i + 1])[0], rms[i], shoulder[i])
                middle = a[i]
            half = half * 0.6
        return best, float(half.max())

    (_, rms_least, _), cell = search(lambda rms, shoulder: rms)
    limit = rms_least + case.gap_given
    (_, _, foremost), c = search(lambda rms, shoulder: np.where(rms <= limit, shoulder, np.inf))
    (_, rms, shoulder), d = search(lambda rms, shoulder: np.where(shoulder <= foremost + EQUAL_SHOULDERS, rms, np.inf))
    return dict(least=rms_least, foremost=foremost, rms=rms, front=shoulder, cell=max(cell, c, d))


# --- the table


def row(case):
    seat = Seat(case)
    rng = np.random.default_rng(4)
    whole, settled = [], []
    for start in seat.starts(rng):
        whole.append(seat.solve(start))
        settled.append(seat.settled(start))
    seat.straight = True
    straight = seat.settled(whole[0]["v"])
    seat.straight = False
    best = min(settled, key=lambda f: (f["foremost"], f["rms"]))
    free = min(whole, key=lambda f: (f["foremost"], f["rms"]))
    spread = lambda of: max(of(f) for f in settled) - min(of(f) for f in settled)
    last = seat.n
    doubt = {
        name: spread(lambda f: f[name]) + max(f["moved"] for f in settled)
        for name in ("least", "foremost", "rms", "front")
    }
    tilt = lambda k: np.degrees(best["v"][last + k] / ARM) + 0.0
    found = {
        "squeezed": seat.squeezed,
        "rim_length_mm": f"{seat.rim.length:.6f}",
        "least_rms_mm": f"{best['least']:.7f}",
        "foremost_mm": f"{best['foremost']:.7f}",
        "rms_mm": f"{best['rms']:.7f}",
        "front_mm": f"{best['front']:.7f}",
        "forward_mm": f"{best['v'][last]:.6f}",
        "tilt_x_deg": f"{tilt(1):.5f}",
        "tilt_y_deg": f"{tilt(2):.5f}",
        "least_doubt_mm": f"{doubt['least'] + 5e-8:.1e}",
        "rms_doubt_mm": f"{doubt['rms'] + 5e-8:.1e}",
        "front_doubt_mm": f"{doubt['front'] + 5e-8:.1e}",
        "forward_doubt_mm": f"{spread(lambda f: f['v'][last]) + 5e-7:.1e}",
        "tilt_doubt_deg": f"{max(np.degrees(spread(lambda f: f['v'][last + k]) / ARM) for k in (1, 2)) + 5e-6:.1e}",
        "spacing_mm": f"{max(abs(straight[name] - best[name]) for name in ('least', 'foremost', 'rms')):.1e}",
        "following_least_rms_mm": f"{min(f['least'] for f in whole):.7f}",
        "following_foremost_mm": f"{free['foremost']:.7f}",
        "following_rms_mm": f"{free['rms']:.7f}",
        "grid_least_rms_mm": "",
        "grid_foremost_mm": "",
        "grid_rms_mm": "",
        "grid_front_mm": "",
        "grid_cell_mm": "",
    }
    if case.grid:
        g = by_grid(case)
        found |= {
            "grid_least_rms_mm": f"{g['least']:.7f}",
            "grid_foremost_mm": f"{g['foremost']:.7f}",
            "grid_rms_mm": f"{g['rms']:.7f}",
            "grid_front_mm": f"{g['front']:.7f}",
            "grid_cell_mm": f"{g['cell']:.1e}",
        }
    given = {
        "case": case.name,
        "places": case.places,
        "semi_x_mm": case.a,
        "semi_y_mm": case.b,
        "exponent": case.p,
        "rim_curve_d": case.rim_curve_d,
        "twist_mm": case.twist_mm,
        "wave_mm": case.wave_mm,
        "lean_x_deg": case.lean_x_deg,
        "lean_y_deg": case.lean_y_deg,
        "index": case.index,
        "front_d": case.front_d,
        "sphere_d": case.sphere_d,
        "centre_mm": case.centre_mm,
        "vertex_x_mm": case.vertex[0],
        "vertex_y_mm": case.vertex[1],
        "block_axis": case.block_axis,
        "least_front_mm": case.least_front,
        "least_back_mm": case.least_back,
        "gap_given_mm": case.gap_given,
    }
    print(case.name, found, flush=True)
    return given | found | {"source": SOURCE}


PLATE = dict(rim_curve_d=0.0, front_d=0.0, sphere_d=0.0)
CASES = [
    Case("parallel"),
    Case("leaning-plate", **PLATE, centre_mm=4.0, lean_x_deg=2.0, lean_y_deg=-3.0),
    Case("leaning-sphere", lean_x_deg=3.0, lean_y_deg=4.0),
    Case("leaning-beyond-15", **PLATE, centre_mm=1.2, lean_y_deg=19.0, places=36),
    Case("flat-rim", rim_curve_d=0.0, front_d=6.0, sphere_d=-1.0, centre_mm=1.2, p=2.6),
    Case("flat-rim-120", rim_curve_d=0.0, front_d=6.0, sphere_d=-1.0, centre_mm=1.2, p=2.6, places=120),
    Case("4-rim-6-lens-thick", front_d=6.0, sphere_d=-6.0, p=2.6),
    Case("4-rim-6-lens-thin", front_d=6.0, sphere_d=0.0, centre_mm=1.0, p=2.6),
    Case("4-rim-6-lens-thin-72", front_d=6.0, sphere_d=0.0, centre_mm=1.0, p=2.6, places=72),
    Case("4-rim-6-lens-plus", front_d=6.0, sphere_d=2.0, centre_mm=2.6, p=2.6),
    Case("6-rim-4-lens", rim_curve_d=6.0, sphere_d=-1.0, centre_mm=1.5),
    Case("8-rim-8-lens", places=72, rim_curve_d=8.0, front_d=8.0, sphere_d=-3.0, a=32.0, b=19.0, index=1.6),
    Case("twisted", twist_mm=1.5, sphere_d=-1.0, centre_mm=1.4),
    Case("twisted-thick", twist_mm=0.8, sphere_d=-6.0, places=72),
    Case("waved", wave_mm=0.35, sphere_d=-0.5, centre_mm=1.2),
    Case("squeezed-ends", front_d=6.0, sphere_d=3.0, centre_mm=3.0, p=2.6, index=1.6),
    Case(
        "squeezed-all-round",
        front_d=5.0,
        sphere_d=2.0,
        centre_mm=1.6,
        a=22.0,
        least_front=0.6,
        least_back=0.4,
        index=1.6,
    ),
    Case("decentred", rim_curve_d=2.0, front_d=3.0, sphere_d=-6.0, centre_mm=1.5, vertex=(3.0, 2.0), p=2.6, index=1.6),
    Case(
        "decentred-lens-axis",
        rim_curve_d=2.0,
        front_d=5.0,
        sphere_d=-2.0,
        centre_mm=1.6,
        vertex=(-4.0, 1.0),
        block_axis="lens-axis",
    ),
    Case("rounded", rim_curve_d=5.0, front_d=3.0, sphere_d=-1.5, centre_mm=1.6, a=27.0, b=17.0, p=4.0, places=72),
    Case("much-given", rim_curve_d=2.0, front_d=6.0, sphere_d=-2.0, centre_mm=1.4, gap_given=0.1),
    Case("little-given", rim_curve_d=2.0, front_d=6.0, sphere_d=-2.0, centre_mm=1.4, gap_given=0.002),
    Case(
        "least-given", rim_curve_d=2.0, front_d=6.0, sphere_d=-2.0, centre_mm=1.4, gap_given=0.0005, vertex=(2.0, 1.0)
    ),
    Case("wide-shoulders", rim_curve_d=6.0, front_d=4.0, sphere_d=-3.0, centre_mm=1.8, least_front=0.8, least_back=0.5),
    Case(
        "all-at-once",
        twist_mm=1.0,
        wave_mm=0.2,
        lean_x_deg=2.0,
        lean_y_deg=-4.0,
        rim_curve_d=5.0,
        front_d=3.0,
        sphere_d=-2.5,
        centre_mm=1.8,
        vertex=(2.0, -1.5),
        p=2.6,
        index=1.6,
        least_front=0.4,
        places=72,
    ),
    Case(
        "all-at-once-24",
        twist_mm=1.0,
        wave_mm=0.2,
        lean_x_deg=2.0,
        lean_y_deg=-4.0,
        rim_curve_d=5.0,
        front_d=3.0,
        sphere_d=-2.5,
        centre_mm=1.8,
        vertex=(2.0, -1.5),
        index=1.6,
        least_front=0.4,
        places=24,
    ),
    Case("tiny", rim_curve_d=1.0, front_d=6.0, sphere_d=-1.0, centre_mm=1.4, b=20.0, places=12, grid=True),
    Case("tiny-thick", rim_curve_d=3.0, front_d=5.0, sphere_d=-5.0, b=20.0, places=12, grid=True),
]


def main(only):
    cases = [case for case in CASES if not only or case.name in only]
    with Pool(2) as pool:
        rows = pool.map(row, cases, chunksize=1)
    if only:
        return
    with open(os.path.join(HERE, "cases.csv"), "w", newline="", encoding="utf-8") as file:
        out = csv.DictWriter(file, rows[0], lineterminator="\n")
        out.writeheader()
        out.writerows(rows)


if __name__ == "__main__":
    main(set(sys.argv[1:]))
