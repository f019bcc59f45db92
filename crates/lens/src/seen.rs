//! A surface as it looks along the cutting axis: where the lines square to a plane meet it.

use units::{Working, step};

use crate::conic::Conic;
use crate::correction::Correction;
use crate::surface::{On, Surface};
use crate::vector::{Vec3, dot, plus};

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

/// Steps of Newton's iteration after which a line is taken to miss the surface. From a quadric that touches the surface
/// two or three reach the last digit.
const MOST_STEPS: usize = 20;

/// A step shorter than this, mm, is the last: the next would be its square times half a curvature, 1e-14 mm.
const LAST_STEP: f64 = 1e-6;

/// Starts along a line, either way, and how far apart, mm: over a lens a line drifts by a tenth of that.
const STARTS: i32 = 10;
const APART: f64 = 4.0;

/// Lines that are followed together.
const BATCH: usize = 64;

impl Seen {
    #[inline]
    pub(crate) fn base(&self, x: f64, y: f64) -> Vec3 {
        plus(plus(self.o, x, self.x), y, self.y)
    }

    /// Depth under (x, y), mm.
    #[inline]
    pub(crate) fn depth(&self, x: f64, y: f64) -> f64 {
        self.depth_from(self.base(x, y))
    }

    /// Depth of the line through the plane's origin, mm.
    pub(crate) fn depth_at_origin(&self) -> f64 {
        self.depth_from(self.o)
    }

    /// Depth of the line through a point of the plane, by the surface's own axes.
    #[inline]
    fn depth_from(&self, q: Vec3) -> f64 {
        if !self.correction.is_none() {
            return self.corrected_depth(q);
        }
        match self.surface {
            Surface::Sphere(sphere) => sphere.line(q, self.a),
            Surface::Conic(conic) => conic.line(q, self.a),
            Surface::Torus(torus) if self.straight => torus.sag_uv(q[0], q[1]) - q[2],
            Surface::Torus(torus) => {
                self.followed(q, torus.start(q, self.a), |u, v| torus.on(u, v)).unwrap_or(f64::NAN)
            }
            Surface::Biconic(biconic) if self.straight => biconic.sag_uv(q[0], q[1]) - q[2],
            Surface::Biconic(biconic) => {
                self.followed(q, biconic.start(q, self.a), |u, v| biconic.on(u, v)).unwrap_or(f64::NAN)
            }
        }
    }

    /// From where the line meets the surface without its correction, or one much like it.
    fn corrected_depth(&self, q: Vec3) -> f64 {
        if self.straight {
            return self.on(q[0], q[1]).sag - q[2];
        }
        let start = match self.surface {
            Surface::Sphere(sphere) => sphere.line(q, self.a),
            Surface::Conic(conic) => conic.line(q, self.a),
            Surface::Torus(torus) => torus.start(q, self.a),
            Surface::Biconic(biconic) => biconic.start(q, self.a),
        };
        self.followed(q, self.with_correction(q, start), |u, v| self.on(u, v)).unwrap_or(f64::NAN)
    }

    /// A depth to which the correction there is added: nearer than without it.
    #[inline]
    fn with_correction(&self, q: Vec3, depth: f64) -> f64 {
        let [u, v, _] = plus(q, depth, self.a);
        depth + self.correction.sag(u, v)
    }

    /// A place of the surface by its own axes, correction in.
    #[inline]
    fn on(&self, u: f64, v: f64) -> On {
        let on = self.surface.on(u, v);
        if self.correction.is_none() { on } else { self.correction.on(u, v, on) }
    }

    /// One of Newton's steps along the line: what is left to the surface, over how fast the line nears it.
    #[inline]
    fn step(&self, q: Vec3, s: f64, on: impl Fn(f64, f64) -> On) -> f64 {
        let [u, v, z] = plus(q, s, self.a);
        let On { sag, square } = on(u, v);
        (sag - z) * square[2] / dot(square, self.a)
    }

    /// Where a line meets a surface that has no closed form for it: Newton's iteration. A step that leads beyond the
    /// surface's end is halved.
    fn followed(&self, q: Vec3, start: f64, on: impl Fn(f64, f64) -> On) -> Option<f64> {
        let (mut s, mut last) = (start, f64::NAN);
        for _ in 0..MOST_STEPS {
            let step = self.step(q, s, &on);
            if step.is_nan() {
                s = if last.is_nan() { self.start_along(q, &on)? } else { 0.5 * (s + last) };
                continue;
            }
            last = s;
            s += step;
            if step.abs() <= LAST_STEP {
                return Some(s);
            }
        }
        None
    }

    /// The start where that with a simpler surface is none: the point of the line nearest to the plane through the vertex
    /// over or under which there is the surface.
    #[cold]
    fn start_along(&self, q: Vec3, on: impl Fn(f64, f64) -> On) -> Option<f64> {
        let plane = -q[2] / self.a[2];
        let starts = (0..=STARTS).flat_map(|i| [plane + f64::from(i) * APART, plane - f64::from(i) * APART]);
        starts.into_iter().find(|&s| {
            let [u, v, _] = plus(q, s, self.a);
            !on(u, v).sag.is_nan()
        })
    }

    /// Depths under many points, mm; NaN where the surface ends.
    pub(crate) fn depths(&self, xs: &[f64], ys: &[f64], out: &mut [f64]) {
        let a = self.a;
        if !self.correction.is_none() {
            return self.corrected_depths(xs, ys, out);
        }
        match self.surface {
            Surface::Sphere(sphere) => self.sphere_depths(sphere.c, xs, ys, out),
            Surface::Conic(conic) => self.conic_depths(conic, xs, ys, out),
            Surface::Torus(torus) if self.straight => self.straight_depths(xs, ys, out, |u, v| torus.sag_uv(u, v)),
            Surface::Biconic(biconic) if self.straight => {
                self.straight_depths(xs, ys, out, |u, v| biconic.sag_uv(u, v));
            }
            Surface::Torus(torus) => {
                self.followed_depths(xs, ys, out, |q| torus.start(q, a), |u, v| torus.on(u, v));
            }
            Surface::Biconic(biconic) => {
                self.followed_depths(xs, ys, out, |q| biconic.start(q, a), |u, v| biconic.on(u, v));
            }
        }
    }

    fn corrected_depths(&self, xs: &[f64], ys: &[f64], out: &mut [f64]) {
        let (a, more) = (self.a, self.correction);
        if self.straight {
            return match self.surface {
                Surface::Sphere(of) => self.straight_depths(xs, ys, out, |u, v| of.on(u, v).sag + more.sag(u, v)),
                Surface::Conic(of) => self.straight_depths(xs, ys, out, |u, v| of.sag(u, v) + more.sag(u, v)),
                Surface::Torus(of) => self.straight_depths(xs, ys, out, |u, v| of.sag_uv(u, v) + more.sag(u, v)),
                Surface::Biconic(of) => self.straight_depths(xs, ys, out, |u, v| of.sag_uv(u, v) + more.sag(u, v)),
            };
        }
        let near = |q: Vec3, depth: f64| self.with_correction(q, depth);
        match self.surface {
            Surface::Sphere(of) => {
                self.followed_depths(xs, ys, out, |q| near(q, of.line(q, a)), |u, v| more.on(u, v, of.on(u, v)));
            }
            Surface::Conic(of) => {
                self.followed_depths(xs, ys, out, |q| near(q, of.line(q, a)), |u, v| more.on(u, v, of.on(u, v)));
            }
            Surface::Torus(of) => {
                self.followed_depths(xs, ys, out, |q| near(q, of.start(q, a)), |u, v| more.on(u, v, of.on(u, v)));
            }
            Surface::Biconic(of) => {
                self.followed_depths(xs, ys, out, |q| near(q, of.start(q, a)), |u, v| more.on(u, v, of.on(u, v)));
            }
        }
    }

    /// Of lines along the surface's own axis.
    #[inline]
    fn straight_depths(&self, xs: &[f64], ys: &[f64], out: &mut [f64], sag: impl Fn(f64, f64) -> f64) {
        for ((out, &x), &y) in out.iter_mut().zip(xs).zip(ys) {
            let q = self.base(x, y);
            *out = sag(q[0], q[1]) - q[2];
        }
    }

    /// A sphere's line with what is the same for all lines taken out of the loop: X, Y and A are square to each other.
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

    /// A conic's, likewise.
    fn conic_depths(&self, conic: Conic, xs: &[f64], ys: &[f64], out: &mut [f64]) {
        let (ox, oy, oa) = (dot(self.o, self.x), dot(self.o, self.y), dot(self.o, self.a));
        let (oz, xz, yz, az) = (self.o[2], self.x[2], self.y[2], self.a[2]);
        for ((out, &x), &y) in out.iter_mut().zip(xs).zip(ys) {
            let (px, py) = (x + ox, y + oy);
            *out = conic.line_by(px * px + py * py + oa * oa, oa, oz + x * xz + y * yz, az);
        }
    }

    /// Two of Newton's steps for all, without a branch, so that the loops run in vectors; then more for a batch in which a
    /// second step was not the last.
    #[inline]
    fn followed_depths(
        &self,
        xs: &[f64],
        ys: &[f64],
        out: &mut [f64],
        start: impl Fn(Vec3) -> f64,
        on: impl Fn(f64, f64) -> On,
    ) {
        for ((out, xs), ys) in out.chunks_mut(BATCH).zip(xs.chunks(BATCH)).zip(ys.chunks(BATCH)) {
            let mut steps = [0.0; BATCH];
            for (((out, step), &x), &y) in out.iter_mut().zip(&mut steps).zip(xs).zip(ys) {
                let q = self.base(x, y);
                let start = start(q);
                let once = start + self.step(q, start, &on);
                *step = self.step(q, once, &on);
                *out = once + *step;
            }
            if steps.iter().all(|step| step.abs() <= LAST_STEP) {
                continue;
            }
            for ((out, &x), &y) in out.iter_mut().zip(xs).zip(ys) {
                *out = self.depth(x, y);
            }
        }
    }

    /// Slopes of the depth by x and y, at a place with this depth.
    pub(crate) fn slopes(&self, x: f64, y: f64, depth: f64) -> [f64; 2] {
        let [u, v, _] = plus(self.base(x, y), depth, self.a);
        let square = self.on(u, v).square;
        let k = -1.0 / dot(square, self.a);
        [k * dot(square, self.x), k * dot(square, self.y)]
    }

    /// Depth under (x, y) as steps of the open figure, mm.
    ///
    /// In closed form, except on a slanting line to a torus, a biconic or a corrected surface: there the depth found by
    /// Newton's iteration is put in, and one more step of it, evaluated from the printed numbers, makes the figure.
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
        let [su, sv, sz] = self.on(u, v).square;
        let (slope_u, slope_v) = (-su / sz, -sv / sz);
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

#[cfg(test)]
mod tests {
    use optics::Curvature;
    use proptest::prelude::*;
    use units::Angle;

    use super::*;
    use crate::biconic::Biconic;
    use crate::correction::HalfExponent;
    use crate::placed::Placed;
    use crate::torus::{Torus, TorusForm};
    use crate::vector::{Basis, unit};

    fn surfaces(along: f64, across: f64, constants: [f64; 2]) -> [Surface; 4] {
        let (one, other, axis) = (Curvature::per_mm(along), Curvature::per_mm(across), Angle::from_deg(25.0));
        [
            Surface::Torus(Torus::new(one, other, axis, TorusForm::Tyre)),
            Surface::Torus(Torus::new(one, other, axis, TorusForm::Barrel)),
            Surface::Conic(Conic::new(one, constants[0])),
            Surface::Biconic(Biconic::new(one, other, axis, constants)),
        ]
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2048))]

        /// A line through a point of a surface finds that point, out to where the surface is as steep as 2 to 1, whatever
        /// its two curvatures: singly and in a batch.
        #[test]
        fn a_line_through_a_point_finds_it(
            along in -0.02f64..0.04, across in -0.02f64..0.04, constants in prop::array::uniform2(-3.0f64..2.0),
            deeper in prop_oneof![Just(0.0), -0.5f64..0.5], place in (-32.0f64..32.0, -32.0f64..32.0),
            lean in 0.0f64..0.15, towards in 0.0f64..360.0,
        ) {
            let towards = Angle::from_deg(towards);
            let a = unit([lean * towards.cos(), lean * towards.sin(), 1.0]);
            let plane = Basis::least_turn_to(a);
            for surface in surfaces(along, across, constants) {
                let correction = Correction::at(HalfExponent::Two, deeper, 25.0);
                let placed = Placed { surface, correction, vertex: [0.0; 3], basis: Basis::LENS };
                let seen = placed.seen([0.0; 3], plane);
                let (u, v) = surface.turned(place.0, place.1);
                let on = seen.on(u, v);
                let [su, sv, sz] = on.square;
                if on.sag.is_nan() || (su * su + sv * sv).sqrt() > 2.0 * sz {
                    continue;
                }
                let point = [place.0, place.1, on.sag];
                let (x, y, depth) = (dot(point, plane.x), dot(point, plane.y), dot(point, plane.depth));
                let mut many = [0.0; 3];
                seen.depths(&[0.0, x, x], &[0.0, y, y], &mut many);
                prop_assert!((seen.depth(x, y) - depth).abs() < 1e-10, "{surface:?} {} {depth}", seen.depth(x, y));
                prop_assert!((many[1] - depth).abs() < 1e-10 && (many[2] - depth).abs() < 1e-10, "{surface:?} {many:?}");
            }
        }
    }
}
