//! The thickness correction of an aspheric blank: what a measured thickness tells of a surface whose form is unknown.

use units::{Working, step};

use crate::volume::Rim;

const ADDED: &str = "thickness correction of an aspheric blank: nothing at the vertex, exact where it was measured";

/// A sagitta added to the back surface: a rᵐ, with r the distance from the vertex.
///
/// It is nothing at the vertex and brings the thickness at the measured radius to what was measured there. Between the
/// two it interpolates; it is no claim about the surface. m is 4 where nothing else is known; 2 and 6 bound what an
/// ordinary aspheric does beyond the radius at which it was measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Correction {
    /// Coefficient, mm^(1 − m).
    pub(crate) coefficient: f64,
    /// Half of m.
    pub(crate) half: HalfExponent,
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
    pub(crate) const NONE: Self = Self { coefficient: 0.0, half: HalfExponent::Two };

    #[inline]
    pub(crate) fn is_none(self) -> bool {
        self.coefficient == 0.0
    }

    /// m.
    #[inline]
    pub(crate) const fn exponent(self) -> f64 {
        match self.half {
            HalfExponent::One => 2.0,
            HalfExponent::Two => 4.0,
            HalfExponent::Three => 6.0,
        }
    }

    /// a r^(m − 2).
    #[inline]
    fn per_square(self, square: f64) -> f64 {
        match self.half {
            HalfExponent::One => self.coefficient,
            HalfExponent::Two => self.coefficient * square,
            HalfExponent::Three => self.coefficient * square * square,
        }
    }

    #[inline]
    pub(crate) fn sag(self, x: f64, y: f64) -> f64 {
        let square = x * x + y * y;
        self.per_square(square) * square
    }

    #[inline]
    pub(crate) fn gradient(self, x: f64, y: f64) -> [f64; 2] {
        let slope = self.exponent() * self.per_square(x * x + y * y);
        [slope * x, slope * y]
    }

    /// What a point of the rim gives, with that of the surface it is added to.
    #[inline]
    pub(crate) fn rim(self, u: f64, v: f64, of: Rim) -> Rim {
        let [by_u, by_v] = self.gradient(u, v);
        let [su, sv, sz] = of.square;
        // The integral of a rᵐ times r is a r^(m + 2)/(m + 2): swept once round.
        let swept = self.sag(u, v) / (self.exponent() + 2.0);
        let [p, q] = of.beneath;
        Rim { square: [su - sz * by_u, sv - sz * by_v, sz], beneath: [p - swept * v, q + swept * u] }
    }

    /// The corrected sagitta, as a step.
    pub(crate) fn worked(self, w: &mut Working, sag: f64, x: f64, y: f64) -> f64 {
        let a = self.coefficient;
        match self.half {
            HalfExponent::One => step!(w, corrected = sag + a * (x * x + y * y);
                sag["mm"], a["mm^-1"], x["mm"], y["mm"]; "mm", ADDED),
            HalfExponent::Two => step!(w, corrected = sag + a * (x * x + y * y) * (x * x + y * y);
                sag["mm"], a["mm^-3"], x["mm"], y["mm"]; "mm", ADDED),
            HalfExponent::Three => {
                step!(w, corrected = sag + a * (x * x + y * y) * (x * x + y * y) * (x * x + y * y);
                sag["mm"], a["mm^-5"], x["mm"], y["mm"]; "mm", ADDED)
            }
        }
    }
}
