//! The thickness correction of an aspheric blank: what a measured thickness tells of a surface whose form is unknown.

use units::{Working, step};

use crate::surface::On;
use crate::volume::Rim;

const ADDED: &str = "thickness correction of an aspheric blank: nothing at the vertex, exact where it was measured";

/// A sagitta added to the back surface: a rᵐ, with r the distance from the back's own axis.
///
/// It is nothing at the vertex and brings the thickness at the measured radius to what was measured there. Between the
/// two it interpolates, beyond it extrapolates; it is no claim about the surface. m is 4 where nothing else is known;
/// 2 and 6 bound what an ordinary aspheric does beyond the radius at which it was measured. The front, and with it block
/// point and cutting axis, stay those of the stated curve. Without ground prism the back's axis is the lens axis, and the
/// thickness along it grows by exactly a rᵐ; a back that is tilted for prism takes its correction with it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Correction {
    /// Coefficients of r², r⁴ and r⁶, mm^(1 − m), all but one of them nothing: so that loops run without a branch.
    terms: [f64; 3],
}

/// Half of a correction's exponent.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum HalfExponent {
    /// r²: as a wrong curve would.
    One,
    /// r⁴: the first term in which an aspheric departs from a sphere.
    Two,
    /// r⁶: the next.
    Three,
}

impl Correction {
    pub(crate) const NONE: Self = Self { terms: [0.0; 3] };

    /// The correction that deepens the back by `by` at the distance `radius` from its axis, mm.
    pub(crate) fn at(half: HalfExponent, by: f64, radius: f64) -> Self {
        let square = radius * radius;
        match half {
            HalfExponent::One => Self { terms: [by / square, 0.0, 0.0] },
            HalfExponent::Two => Self { terms: [0.0, by / (square * square), 0.0] },
            HalfExponent::Three => Self { terms: [0.0, 0.0, by / (square * square * square)] },
        }
    }

    #[inline]
    pub(crate) fn is_none(self) -> bool {
        self.terms == [0.0; 3]
    }

    #[inline]
    pub(crate) fn sag(self, x: f64, y: f64) -> f64 {
        let ([two, four, six], square) = (self.terms, x * x + y * y);
        square * (two + square * (four + square * six))
    }

    /// Its slope away from the axis, over the distance from it.
    #[inline]
    fn slope_per_distance(self, square: f64) -> f64 {
        let [two, four, six] = self.terms;
        2.0 * two + square * (4.0 * four + square * 6.0 * six)
    }

    /// A place of the corrected surface, from that of the surface it is added to.
    #[inline]
    pub(crate) fn on(self, x: f64, y: f64, of: On) -> On {
        let ([su, sv, sz], slope) = (of.square, self.slope_per_distance(x * x + y * y));
        On { sag: of.sag + self.sag(x, y), square: [su - sz * slope * x, sv - sz * slope * y, sz] }
    }

    /// What a point of the rim gives, with that of the surface it is added to.
    #[inline]
    pub(crate) fn rim(self, u: f64, v: f64, of: Rim) -> Rim {
        let ([two, four, six], square) = (self.terms, u * u + v * v);
        let ([su, sv, sz], slope) = (of.square, self.slope_per_distance(square));
        // The integral of a rᵐ times r is a r^(m + 2)/(m + 2): swept once round.
        let swept = square * (two / 4.0 + square * (four / 6.0 + square * six / 8.0));
        let [p, q] = of.beneath;
        Rim { square: [su - sz * slope * u, sv - sz * slope * v, sz], beneath: [p - swept * v, q + swept * u] }
    }

    /// The corrected sagitta, as a step.
    pub(crate) fn worked(self, w: &mut Working, sag: f64, x: f64, y: f64) -> f64 {
        // Told by what it adds 25 mm from the vertex: the coefficients themselves have few digits left when printed.
        let added_25 = self.sag(25.0, 0.0);
        match self.terms {
            [_, a, _] if a != 0.0 => {
                step!(w, corrected = sag + added_25 * ((x * x + y * y) / 625.0) * ((x * x + y * y) / 625.0);
                sag["mm"], added_25["mm"], x["mm"], y["mm"]; "mm", ADDED)
            }
            [_, _, a] if a != 0.0 => {
                step!(w, corrected = sag + added_25 * ((x * x + y * y) / 625.0) * ((x * x + y * y) / 625.0) * ((x * x + y * y) / 625.0);
                sag["mm"], added_25["mm"], x["mm"], y["mm"]; "mm", ADDED)
            }
            [..] => step!(w, corrected = sag + added_25 * ((x * x + y * y) / 625.0);
                sag["mm"], added_25["mm"], x["mm"], y["mm"]; "mm", ADDED),
        }
    }
}
