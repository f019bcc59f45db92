//! A surface at its place in the lens, and where straight lines meet it.

use units::{Working, step};

use crate::correction::Correction;
use crate::surface::Surface;
use crate::torus::Torus;
use crate::vector::{Basis, Vec3, dot, minus, plus};

/// A surface with the place of its vertex and its directions, in the lens's axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Placed {
    pub(crate) surface: Surface,
    /// What is added to its sagitta.
    pub(crate) correction: Correction,
    pub(crate) vertex: Vec3,
    pub(crate) basis: Basis,
}

/// Steps of Newton's iteration after which a line is taken to miss the surface. From the start by
/// [`quadric_start`] two or three reach the last digit.
const MOST_STEPS: usize = 20;

/// A step shorter than this, mm, is the last: the next would be its square times half a curvature, 1e-14 mm.
const LAST_STEP: f64 = 1e-6;

/// Lines that are followed to a torus together.
const BATCH: usize = 64;

impl Placed {
    fn own(&self, direction: Vec3) -> Vec3 {
        [dot(direction, self.basis.x), dot(direction, self.basis.y), dot(direction, self.basis.depth)]
    }

    /// The surface as it looks to lines through a plane: see [`Seen`].
    pub(crate) fn seen(&self, origin: Vec3, plane: Basis) -> Seen {
        let own = |v: Vec3| {
            let [x, y, z] = self.own(v);
            let (u, v) = self.surface.turned(x, y);
            [u, v, z]
        };
        let a = own(plane.depth);
        let straight = a[0] == 0.0 && a[1] == 0.0;
        let (o, x, y) = (own(minus(origin, self.vertex)), own(plane.x), own(plane.y));
        Seen { surface: self.surface, correction: self.correction, o, x, y, a, straight }
    }

    /// How far along `direction` from `point` the surface lies, mm; NaN where the line misses it.
    pub(crate) fn along(&self, point: Vec3, direction: Vec3) -> f64 {
        // Only the origin and the direction of a view with a single line matter.
        self.seen(point, Basis { depth: direction, ..Basis::LENS }).depth_at_origin()
    }

    /// The surface's normal, a unit vector in the lens's axes towards the eye, at a point on it.
    pub(crate) fn normal_at(&self, point: Vec3) -> Vec3 {
        let [x, y, _] = self.own(minus(point, self.vertex));
        let (u, v) = self.surface.turned(x, y);
        let ([p, q], [added_p, added_q]) = (self.surface.slopes_uv(u, v), self.correction.gradient(u, v));
        let [nu, nv, nz] = crate::vector::normal([p + added_p, q + added_q]);
        // Back from the principal meridians: turning by an angle and mirroring undo one another.
        let (ux, uy) = self.surface.turned(1.0, 0.0);
        let (nx, ny) = (nu * ux + nv * uy, nv * ux - nu * uy);
        let Basis { x, y, depth } = self.basis;
        plus(plus(plus([0.0; 3], nx, x), ny, y), nz, depth)
    }
}

/// A surface seen from a plane: every line square to the plane meets it at some depth.
///
/// A point of the plane (x, y), taken d deeper, is o + x X + y Y + d A in the surface's own axes (for a torus or
/// a biconic: along u and v). The surface ends where the depth is NaN; callers turn that into a fault.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Seen {
    pub(crate) surface: Surface,
    pub(crate) correction: Correction,
    pub(crate) o: Vec3,
    pub(crate) x: Vec3,
    pub(crate) y: Vec3,
    pub(crate) a: Vec3,
    /// The lines run along the surface's own axis.
    pub(crate) straight: bool,
}

impl Seen {
    #[inline]
    pub(crate) fn base(&self, x: f64, y: f64) -> Vec3 {
        plus(plus(self.o, x, self.x), y, self.y)
    }

    /// Depth under (x, y), mm.
    #[inline]
    pub(crate) fn depth(&self, x: f64, y: f64) -> f64 {
        let q = self.base(x, y);
        if !self.correction.is_none() {
            return self.followed(q);
        }
        match self.surface {
            Surface::Sphere(sphere) => sphere_line(sphere.c, q, self.a),
            Surface::Conic(conic) => conic.line(q, self.a),
            Surface::Torus(torus) if self.straight => torus.sag_uv(q[0], q[1]) - q[2],
            Surface::Torus(torus) => torus_line(torus, q, self.a),
            Surface::Biconic(_) => self.followed(q),
        }
    }

    /// Slopes of the sagitta at a place of the own axes, correction in.
    #[inline]
    fn slopes_at(&self, u: f64, v: f64) -> [f64; 2] {
        let ([by_u, by_v], [more_u, more_v]) = (self.surface.slopes_uv(u, v), self.correction.gradient(u, v));
        [by_u + more_u, by_v + more_v]
    }

    /// The sagitta there, correction in.
    #[inline]
    fn sag_at(&self, u: f64, v: f64) -> f64 {
        self.surface.sag_uv(u, v) + self.correction.sag(u, v)
    }

    /// Where a line meets a surface that has no closed form for it: Newton's iteration from where it meets the surface
    /// without its correction, or one much like it; at once where the line runs along the axis.
    fn followed(&self, q: Vec3) -> f64 {
        let a = self.a;
        if self.straight {
            return self.sag_at(q[0], q[1]) - q[2];
        }
        let mut s = match self.surface {
            Surface::Sphere(sphere) => sphere_line(sphere.c, q, a),
            Surface::Conic(conic) => conic.line(q, a),
            Surface::Torus(torus) => torus_line(torus, q, a),
            Surface::Biconic(biconic) => biconic.start(q, a),
        };
        if s.is_nan() {
            s = -q[2] / a[2];
        }
        for _ in 0..MOST_STEPS {
            let (u, v) = (q[0] + s * a[0], q[1] + s * a[1]);
            let [by_u, by_v] = self.slopes_at(u, v);
            let step = (self.sag_at(u, v) - q[2] - s * a[2]) / (a[2] - by_u * a[0] - by_v * a[1]);
            s += step;
            if step.abs() <= LAST_STEP {
                return s;
            }
            if step.is_nan() {
                break;
            }
        }
        f64::NAN
    }

    fn depth_at_origin(&self) -> f64 {
        self.depth(0.0, 0.0)
    }

    /// Depths under many points, mm; NaN where the surface ends.
    pub(crate) fn depths(&self, xs: &[f64], ys: &[f64], out: &mut [f64]) {
        match self.surface {
            _ if !self.correction.is_none() => self.each_depth(xs, ys, out),
            Surface::Sphere(sphere) => self.sphere_depths(sphere.c, xs, ys, out),
            Surface::Conic(_) | Surface::Biconic(_) => self.each_depth(xs, ys, out),
            Surface::Torus(torus) if self.straight => {
                for ((out, &x), &y) in out.iter_mut().zip(xs).zip(ys) {
                    let q = self.base(x, y);
                    *out = torus.sag_uv(q[0], q[1]) - q[2];
                }
            }
            Surface::Torus(torus) => self.torus_depths(torus, xs, ys, out),
        }
    }

    fn each_depth(&self, xs: &[f64], ys: &[f64], out: &mut [f64]) {
        for ((out, &x), &y) in out.iter_mut().zip(xs).zip(ys) {
            *out = self.depth(x, y);
        }
    }

    /// [`sphere_line`] with what is the same for all lines taken out of the loop: X, Y and A are square to each other.
    fn sphere_depths(&self, c: f64, xs: &[f64], ys: &[f64], out: &mut [f64]) {
        let (ox, oy, oa) = (dot(self.o, self.x), dot(self.o, self.y), dot(self.o, self.a));
        let h = self.a[2] - c * oa;
        let (oz, xz, yz) = (self.o[2], self.x[2], self.y[2]);
        for ((out, &x), &y) in out.iter_mut().zip(xs).zip(ys) {
            let (px, py) = (x + ox, y + oy);
            let g = c * (px * px + py * py + oa * oa) - 2.0 * (oz + x * xz + y * yz);
            *out = g / (h + (h * h - c * g).sqrt());
        }
    }

    /// Two of Newton's steps for all, without a branch, so that the loops run in vectors; then more for a batch in which a
    /// second step was not the last.
    fn torus_depths(&self, torus: Torus, xs: &[f64], ys: &[f64], out: &mut [f64]) {
        let a = self.a;
        for ((out, xs), ys) in out.chunks_mut(BATCH).zip(xs.chunks(BATCH)).zip(ys.chunks(BATCH)) {
            let mut steps = [0.0; BATCH];
            for (((out, step), &x), &y) in out.iter_mut().zip(&mut steps).zip(xs).zip(ys) {
                let q = self.base(x, y);
                let start = quadric_start(torus, q, a);
                let once = start + newton_step(torus, q, a, start);
                *step = newton_step(torus, q, a, once);
                *out = once + *step;
            }
            if steps.iter().all(|step| step.abs() <= LAST_STEP) {
                continue;
            }
            for ((out, &x), &y) in out.iter_mut().zip(xs).zip(ys) {
                *out = torus_line(torus, self.base(x, y), a);
            }
        }
    }

    /// Slopes of the depth by x and y, at a place with this depth.
    pub(crate) fn slopes(&self, x: f64, y: f64, depth: f64) -> [f64; 2] {
        let q = plus(self.base(x, y), depth, self.a);
        // The surface is z - sag(x, y) = 0; its gradient in the own axes.
        let [by_u, by_v] = self.slopes_at(q[0], q[1]);
        let g = [-by_u, -by_v, 1.0];
        let k = -1.0 / dot(g, self.a);
        [k * dot(g, self.x), k * dot(g, self.y)]
    }

    /// Depth under (x, y) as steps of the open figure, mm.
    ///
    /// In closed form, except on a slanting line to a torus, a biconic or a corrected surface: there the depth found by Newton's iteration is put in, and
    /// one more step of it, evaluated from the printed numbers, makes the figure.
    pub(crate) fn worked_depth(&self, w: &mut Working, x: f64, y: f64) -> f64 {
        let found = self.depth(x, y);
        let q = self.worked_base(w, x, y);
        let corrected = !self.correction.is_none();
        match self.surface {
            Surface::Sphere(sphere) if !self.straight && !corrected => return sphere.worked_line(w, q, self.a),
            Surface::Conic(conic) if !self.straight && !corrected => return conic.worked_line(w, q, self.a),
            _ => {}
        }
        let sag = |w: &mut Working, u: f64, v: f64| {
            let sag = self.surface.worked_sag_uv(w, u, v);
            if corrected { self.correction.worked(w, sag, u, v) } else { sag }
        };
        if self.straight {
            let base = q[2];
            let sag = sag(w, q[0], q[1]);
            return step!(w, depth = sag - base; sag["mm"], base["mm"]; "mm", "along the cutting axis");
        }
        w.say(|| {
            format!("Newton's iteration along the cutting axis met the surface {found:.9} mm deep; the surface there:")
        });
        let ([u, v, z], [au, av, az]) = (q, self.a);
        let u = step!(w, u_there = u + found * au; u["mm"], found["mm"], au[""]; "mm", ON_THE_LINE);
        let v = step!(w, v_there = v + found * av; v["mm"], found["mm"], av[""]; "mm", ON_THE_LINE);
        let z = step!(w, z_there = z + found * az; z["mm"], found["mm"], az[""]; "mm", ON_THE_LINE);
        let sag = sag(w, u, v);
        let [slope_u, slope_v] = self.slopes_at(u, v);
        step!(w, depth = found + (sag - z) / (az - slope_u * au - slope_v * av);
            found["mm"], sag["mm"], z["mm"], az[""], slope_u[""], au[""], slope_v[""], av[""];
            "mm", "one more step of Newton's iteration: its length is the residual of the search")
    }

    fn worked_base(&self, w: &mut Working, x: f64, y: f64) -> Vec3 {
        const SOURCE: &str = "from the plane of the outline into the surface's own axes";
        let ([ou, ov, oz], [xu, xv, xz], [yu, yv, yz]) = (self.o, self.x, self.y);
        [
            step!(w, u = ou + x * xu + y * yu; ou["mm"], x["mm"], xu[""], y["mm"], yu[""]; "mm", SOURCE),
            step!(w, v = ov + x * xv + y * yv; ov["mm"], x["mm"], xv[""], y["mm"], yv[""]; "mm", SOURCE),
            step!(w, z = oz + x * xz + y * yz; oz["mm"], x["mm"], xz[""], y["mm"], yz[""]; "mm", SOURCE),
        ]
    }
}

const ON_THE_LINE: &str = "the point on the line, in the surface's own axes";

/// Where the line q + s a meets the sphere of curvature c whose vertex is the origin: the root that is the vertex's
/// side, in the form that holds for a plane. c s^2 − 2 h s + g = 0 with h = a_z − c q·a and g = c q·q − 2 q_z.
#[inline]
fn sphere_line(c: f64, q: Vec3, a: Vec3) -> f64 {
    let h = a[2] - c * dot(q, a);
    let g = c * dot(q, q) - 2.0 * q[2];
    g / (h + (h * h - c * g).sqrt())
}

/// Where the line meets the quadric that touches the torus in its vertex with the same curvatures: within a few
/// hundredths of a millimetre over a lens, so that Newton's iteration starts in its quadratic part.
#[inline]
fn quadric_start(torus: Torus, q: Vec3, a: Vec3) -> f64 {
    let (cu, cv) = (torus.revolution, torus.generating);
    let cz = 0.5 * (cu + cv);
    let h = a[2] - (cu * q[0] * a[0] + cv * q[1] * a[1] + cz * q[2] * a[2]);
    let g = cu * q[0] * q[0] + cv * q[1] * q[1] + cz * q[2] * q[2] - 2.0 * q[2];
    let k = cu * a[0] * a[0] + cv * a[1] * a[1] + cz * a[2] * a[2];
    g / (h + (h * h - k * g).sqrt())
}

/// One step along the line, its slope multiplied through by the two roots.
#[inline]
fn newton_step(torus: Torus, q: Vec3, a: Vec3, s: f64) -> f64 {
    let (c, k) = (torus.generating, torus.revolution);
    let (u, v) = (q[0] + s * a[0], q[1] + s * a[1]);
    let profile = (1.0 - c * c * v * v).sqrt();
    let depth = c * v * v / (1.0 + profile);
    let k = k / (1.0 - k * depth);
    let circle = (1.0 - k * k * u * u).sqrt();
    let off = depth + k * u * u / (1.0 + circle) - q[2] - s * a[2];
    off * (profile * circle) / (profile * (a[2] * circle - k * u * a[0]) - c * v * a[1])
}

fn torus_line(torus: Torus, q: Vec3, a: Vec3) -> f64 {
    let mut s = quadric_start(torus, q, a);
    if s.is_nan() {
        // The quadric ends before the torus does where one meridian is flat: start from the plane.
        s = -q[2] / a[2];
    }
    for _ in 0..MOST_STEPS {
        let step = newton_step(torus, q, a, s);
        s += step;
        if step.abs() <= LAST_STEP {
            return s;
        }
        if step.is_nan() {
            break;
        }
    }
    f64::NAN
}
