//! A lens: two surfaces, a centre thickness, an index.

use optics::{Face, Prism, SpheroCylinder, vertex};
use units::maths::{atan_deg, cos_deg, sin_deg};
use units::{Angle, Dioptre, Mm, Working, step};

use crate::biconic::Biconic;
use crate::conic::Conic;
use crate::correction::{Correction, HalfExponent};
use crate::fault::NoLens;
use crate::placed::Placed;
use crate::sphere::Sphere;
use crate::surface::Surface;
use crate::torus::{Torus, TorusForm};
use crate::vector::{Basis, Vec3, plus};

/// What a lens is surfaced to, all but its centre thickness: [`Surfacing::lens`] solves the missing surface for that.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surfacing {
    /// Back vertex power; its axis lies in the lens's own plane.
    pub power: SpheroCylinder,
    /// Refractive index.
    pub index: f64,
    /// The surface that is given; the other is solved.
    pub given: Given,
    /// Which true torus carries the cylinder.
    pub form: TorusForm,
    /// Prism ground by a rigid tilt of the back about its vertex; the axial ray is deviated by exactly this.
    pub ground: Prism,
    /// Conic constants of front and back, 0 for circles. They change neither the curvatures at the vertices nor the
    /// power; a toric surface takes its constant in both principal meridians and becomes a biconic, which has no two forms.
    pub conic: [f64; 2],
}

/// The surface that is given, by its true power in the lens's own index.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Given {
    /// A spherical front; the back carries any cylinder.
    Front(Dioptre),
    /// The flatter meridian of a toric front; the back is spherical.
    FlatterFront(Dioptre),
    /// A spherical back; the front carries any cylinder.
    Back(Dioptre),
}

/// A lens. Its axes: origin at the front vertex, x to the viewer's right, y up, depth along the normal of the front
/// there (the lens axis), growing towards the eye.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lens {
    pub(crate) front: Placed,
    pub(crate) back: Placed,
    centre: Mm,
    index: f64,
    front_power: SpheroCylinder,
    back_power: SpheroCylinder,
}

/// A surface of less power than this, D, is a plane: over 40 mm it is one to 10^-12 mm.
const PLANE: f64 = 1e-9;

impl Surfacing {
    /// The lens of this centre thickness: its other surface is solved so that the thick lens has the labelled back
    /// vertex power in both principal meridians. Powers and radii are steps of the open figure.
    ///
    /// # Errors
    /// [`NoLens`] where centre, index, power or a conic constant cannot be.
    pub fn lens(&self, w: &mut Working, centre: Mm) -> Result<Lens, NoLens> {
        let index = self.index;
        if !(index.is_finite() && index > 1.0) {
            return Err(NoLens::Index { index });
        }
        if !(centre.mm().is_finite() && centre > Mm::ZERO) {
            return Err(NoLens::Centre { centre });
        }
        if let Some(&constant) = self.conic.iter().find(|constant| !constant.is_finite()) {
            return Err(NoLens::Conic { constant });
        }
        let reduced = centre.mm() / 1000.0 / index;
        let given_back = |w: &mut Working, back: Dioptre| {
            let power = self.power.plus_form();
            let weakest = power.sphere.min(power.across()) - back;
            if 1.0 + reduced * weakest.dioptres() <= 0.0 {
                return Err(NoLens::Power { face: Face::Front, centre });
            }
            Ok((vertex::toric_front(w, power, back, centre, index), SpheroCylinder::spherical(back)))
        };
        let (front, back) = match self.given {
            Given::Front(front) | Given::FlatterFront(front) if 1.0 - reduced * front.dioptres() <= 0.0 => {
                return Err(NoLens::Power { face: Face::Back, centre });
            }
            Given::Front(front) => {
                (SpheroCylinder::spherical(front), vertex::toric_back(w, self.power, front, centre, index))
            }
            Given::FlatterFront(front) => {
                let back = vertex::back_surface_power(w, self.power.plus_form().sphere, front, centre, index);
                given_back(w, back)?
            }
            Given::Back(back) => given_back(w, back)?,
        };
        let vertex = [0.0, 0.0, centre.mm()];
        let basis = tilted(w, self.ground, index);
        Ok(Lens {
            front: Placed {
                surface: surface(w, Face::Front, front, self),
                correction: Correction::NONE,
                vertex: [0.0; 3],
                basis: Basis::LENS,
            },
            back: Placed { surface: surface(w, Face::Back, back, self), correction: Correction::NONE, vertex, basis },
            centre,
            index,
            front_power: front,
            back_power: back,
        })
    }
}

/// The surface of a power: a sphere, or a torus where the powers along and across the axis differ; a conic or a biconic
/// where it has a conic constant.
#[inline]
fn surface(w: &mut Working, face: Face, power: SpheroCylinder, of: &Surfacing) -> Surface {
    let curvature = |w: &mut Working, power: Dioptre| {
        let power = if power.abs().dioptres() < PLANE { Dioptre::ZERO } else { power };
        optics::curves::surface_curvature(w, face, power, of.index)
    };
    let [front, back] = of.conic;
    let constant = if face == Face::Front { front } else { back };
    let along = curvature(w, power.sphere);
    if power.cylinder.abs().dioptres() < PLANE {
        if constant == 0.0 {
            return Surface::Sphere(Sphere::new(along));
        }
        return Surface::Conic(Conic::new(along, constant));
    }
    let across = curvature(w, power.across());
    if constant != 0.0 {
        return Surface::Biconic(Biconic::new(along, across, power.axis, [constant; 2]));
    }
    Surface::Torus(Torus::new(along, across, power.axis, of.form))
}

/// The directions of a back surface that is turned about its vertex so that thickness grows towards the base.
///
/// tan a = sin d/(n − cos d), tan d = prism/100: then the axial ray, square to the front at its vertex, is deviated by d.
fn tilted(w: &mut Working, prism: Prism, index: f64) -> Basis {
    let Some(base) = prism.base() else { return Basis::LENS };
    let amount = prism.amount().cm_per_m();
    let deviation = step!(w, deviation = atan_deg(amount / 100.0); amount["cm/m"]; "degrees", PRISM);
    let tilt = step!(w, tilt = atan_deg(sin_deg(deviation) / (index - cos_deg(deviation)));
        deviation["degrees"], index[""]; "degrees", PRISM);
    let (sin, cos) = (sin_deg(tilt), cos_deg(tilt));
    Basis::least_turn_to([-sin * base.cos(), -sin * base.sin(), cos])
}

const PRISM: &str = "tilt of the back for a prism, the axial ray square to the front: exact refraction";

impl Lens {
    /// Centre thickness: at the vertex, along the lens axis.
    #[must_use]
    pub const fn centre(&self) -> Mm {
        self.centre
    }

    /// Refractive index.
    #[must_use]
    pub const fn index(&self) -> f64 {
        self.index
    }

    /// True power of the front surface in the lens's own index.
    #[must_use]
    pub const fn front_power(&self) -> SpheroCylinder {
        self.front_power
    }

    /// True power of the back surface in the lens's own index, before any tilt for prism.
    #[must_use]
    pub const fn back_power(&self) -> SpheroCylinder {
        self.back_power
    }

    /// Back vertex power in both principal meridians, as the surfaces have it.
    #[must_use]
    pub fn back_vertex_power(&self) -> SpheroCylinder {
        vertex::back_vertex_power_toric(self.front_power, self.back_power, self.centre, self.index)
    }

    /// The front surface.
    #[must_use]
    pub const fn front(&self) -> &Surface {
        &self.front.surface
    }

    /// The back surface.
    #[must_use]
    pub const fn back(&self) -> &Surface {
        &self.back.surface
    }

    /// Angle by which the back is turned about its vertex for ground prism.
    #[must_use]
    pub fn back_tilt(&self) -> Angle {
        let [x, y, z] = self.back.basis.depth;
        Angle::from_rad(libm::atan2(units::maths::hypot(x, y), z))
    }

    /// The lens with its back corrected so that it is as thick as measured at a place: the distance `radius` from the
    /// vertex along `direction`, or in the mean all round where no direction is known.
    ///
    /// The correction is nothing at the vertex and grows with the power of the distance that `half` halves: see
    /// [`HalfExponent`]. It interpolates a surface whose form is not known, and is no claim about it. It is added along
    /// the back's own axis, so that without ground prism the thickness along the lens axis, the distance r from the
    /// vertex, is exactly the uncorrected one and a rᵐ; it takes the place of a correction that the lens has.
    ///
    /// # Errors
    /// [`NoLens::CheckPlace`] where a surface ends before the place or it is the vertex itself; [`NoLens::NotSettled`]
    /// where no correction gives that thickness.
    pub fn corrected(
        &self,
        thickness: Mm,
        radius: Mm,
        direction: Option<Angle>,
        half: HalfExponent,
    ) -> Result<Self, NoLens> {
        let r = radius.mm();
        let off = NoLens::CheckPlace { radius };
        if r.is_nan() || r <= 0.0 {
            return Err(off);
        }
        let mut lens = *self;
        lens.back.correction = Correction::NONE;
        let places: Vec<(f64, f64)> = match direction {
            Some(known) => vec![(r * known.cos(), r * known.sin())],
            None => (0..ROUND)
                .map(|i| Angle::from_deg(360.0 / ROUND as f64 * i as f64))
                .map(|a| (r * a.cos(), r * a.sin()))
                .collect(),
        };
        let fronts: Option<Vec<f64>> = places.iter().map(|&(x, y)| lens.front_depth(x, y)).collect();
        let fronts = fronts.ok_or(off)?;
        let mean = |lens: &Self| {
            let backs: Option<f64> =
                places.iter().zip(&fronts).map(|(&(x, y), f)| Some(lens.back_depth(x, y)? - f)).sum();
            backs.map(|sum| sum / places.len() as f64).ok_or(off)
        };
        let (mut deeper, mut short) = (0.0, thickness.mm() - mean(&lens)?);
        // The thickness grows with the correction one for one, nearly so where the back is tilted: the secant rule.
        let mut grows = 1.0;
        for _ in 0..MOST_CORRECTIONS {
            if short.abs() < CORRECTED {
                return Ok(lens);
            }
            let more = short / grows;
            deeper += more;
            lens.back.correction = Correction::at(half, deeper, r);
            let left = thickness.mm() - mean(&lens)?;
            grows = if more.abs() > SECANT { (short - left) / more } else { grows };
            short = left;
        }
        Err(NoLens::NotSettled { what: "the thickness correction", residual: short })
    }

    /// What the thickness correction adds to the back's sagitta at a distance from the back's axis; nothing where there is
    /// none.
    #[must_use]
    pub fn correction(&self, distance: Mm) -> Mm {
        Mm::new(self.back.correction.sag(distance.mm(), 0.0))
    }

    /// Whether both surfaces are spheres, planes or tori, as they stand.
    pub(crate) fn of_circles(&self) -> bool {
        self.front.surface.of_circles() && self.back.surface.of_circles() && self.back.correction.is_none()
    }

    /// Depth of the front surface under (x, y) from the vertex, along the lens axis, mm; none where it ends before.
    #[must_use]
    pub fn front_depth(&self, x: f64, y: f64) -> Option<f64> {
        there(self.front.along([x, y, 0.0], LENS_AXIS))
    }

    /// Depth of the back surface under (x, y) from the vertex, along the lens axis, mm; none where it ends before.
    #[must_use]
    pub fn back_depth(&self, x: f64, y: f64) -> Option<f64> {
        there(self.back.along([x, y, 0.0], LENS_AXIS))
    }

    /// Thickness under (x, y) from the vertex, along the lens axis, mm; none where a surface ends before.
    #[must_use]
    pub fn thickness_along_axis(&self, x: f64, y: f64) -> Option<f64> {
        Some(self.back_depth(x, y)? - self.front_depth(x, y)?)
    }

    /// Thickness from the front's point over (x, y), along the front's own normal there, mm: what a caliper reads that is
    /// held square to the front. None where a surface ends before.
    #[must_use]
    pub fn thickness_along_front_normal(&self, x: f64, y: f64) -> Option<f64> {
        let point = [x, y, self.front_depth(x, y)?];
        there(self.back.along(point, self.front.normal_at(point)))
    }

    /// Where the line through the two centres of curvature pierces the front, mm from the vertex: the optical centre.
    ///
    /// It is the vertex where no prism is ground. None where there is none: concentric or parallel plane surfaces; and
    /// none of a tilted torus, which has no one centre of curvature. Conics count with their curvature at the vertex.
    #[must_use]
    pub fn optical_centre(&self) -> Option<(f64, f64)> {
        if self.back.basis == Basis::LENS {
            return Some((0.0, 0.0));
        }
        let (c1, c2) = (self.front.surface.one_curvature()?, self.back.surface.one_curvature()?);
        // With c1, c2 the curvatures and the centres at V + w/c, the direction between them times c1 c2 holds for planes.
        let [wx, wy, wz] = self.back.basis.depth;
        let line = [c1 * wx, c1 * wy, c1 * wz + c1 * c2 * self.centre.mm() - c2];
        let length = (line[0] * line[0] + line[1] * line[1] + line[2] * line[2]).sqrt();
        if length < PLANE * PLANE.max(c1.abs().max(c2.abs())) || line[2].abs() < f64::MIN_POSITIVE {
            return None;
        }
        // From whichever centre lies nearer; two planes have none.
        let start: Vec3 = if c1.abs() > c2.abs() {
            [0.0, 0.0, 1.0 / c1]
        } else if c2 != 0.0 {
            plus([0.0, 0.0, self.centre.mm()], 1.0 / c2, self.back.basis.depth)
        } else {
            return None;
        };
        // Slope of the line per mm of depth; the front is met near its vertex, on the branch of the formula there.
        let direction = [line[0] / line[2], line[1] / line[2], 1.0];
        let at_vertex = plus(start, -start[2], direction);
        let norm = units::maths::sqrt(1.0 + direction[0] * direction[0] + direction[1] * direction[1]);
        let unit = [direction[0] / norm, direction[1] / norm, 1.0 / norm];
        let s = there(self.front.along(at_vertex, unit))?;
        Some((at_vertex[0] + s * unit[0], at_vertex[1] + s * unit[1]))
    }
}

/// A corrected thickness is met to this, mm.
const CORRECTED: f64 = 2e-13;
/// A correction that changes by less than this, mm, tells nothing more of how the thickness grows with it.
const SECANT: f64 = 1e-6;
/// Turns of the secant rule; three or four do.
const MOST_CORRECTIONS: usize = 20;

/// Directions whose mean stands for the mean all round: 72 or 90 of them differ by less than 1e-12 mm (the tests' lenses).
const ROUND: usize = 72;

const LENS_AXIS: Vec3 = [0.0, 0.0, 1.0];

/// A depth that exists.
pub(crate) fn there(depth: f64) -> Option<f64> {
    if depth.is_finite() { Some(depth) } else { None }
}
