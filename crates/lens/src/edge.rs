//! The square edge: thickness along the cutting axis at the cut outline, all round.

use outline::Point;
use units::{Angle, Mm};

use crate::cut_outline::{CutOutline, SAMPLES};
use crate::cutting_axis::Cutting;
use crate::fault::NoLens;
use crate::search::{Wanted, round};

/// A place of the edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EdgePoint {
    /// Direction from the boxed centre.
    pub direction: Angle,
    /// The place itself, mm from the boxed centre in the plane square to the cutting axis.
    pub place: Point,
    /// Square edge there; negative where the surfaces have crossed before.
    pub thickness: Mm,
}

/// The extremes of the square edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EdgeExtremes {
    /// The thinnest place; of equal ones the first from direction 0 on.
    pub thinnest: EdgePoint,
    /// The thickest place, likewise.
    pub thickest: EdgePoint,
}

/// The wall at every sample of an outline: figured once for a blank, used for edge and coverage alike.
#[derive(Debug, Clone)]
pub struct Walls {
    pub(crate) front: [f64; SAMPLES],
    pub(crate) back: [f64; SAMPLES],
}

impl Walls {
    /// Depths of both surfaces at 400 even directions.
    ///
    /// # Errors
    /// [`NoLens::SurfaceEnds`] where a surface does not reach the outline.
    pub fn of(cutting: &Cutting, cut: &CutOutline) -> Result<Self, NoLens> {
        let mut walls = Self { front: [0.0; SAMPLES], back: [0.0; SAMPLES] };
        cutting.front.depths(&cut.x, &cut.y, &mut walls.front);
        cutting.back.depths(&cut.x, &cut.y, &mut walls.back);
        // NaN spreads through the sum, so that one test finds a surface that ends.
        let sum: f64 = walls.front.iter().zip(&walls.back).map(|(f, b)| b - f).sum();
        if sum.is_finite() {
            return Ok(walls);
        }
        let i = (0..SAMPLES).find(|&i| !(walls.back[i] - walls.front[i]).is_finite()).unwrap_or(0);
        Err(cutting.ends(cut.x[i], cut.y[i]))
    }

    /// The thinnest of the samples: within a few micrometres of the thinnest edge, for choosing among blanks.
    #[must_use]
    pub fn thinnest(&self) -> Mm {
        Mm::new(self.front.iter().zip(&self.back).map(|(f, b)| b - f).fold(f64::INFINITY, f64::min))
    }
}

/// Thinnest and thickest square edge: the best of the samples, refined on the outline itself to 1e-10 mm.
#[must_use]
pub fn edge_extremes(cutting: &Cutting, cut: &CutOutline, walls: &Walls) -> EdgeExtremes {
    let mut thickness = walls.back;
    for (back, front) in thickness.iter_mut().zip(&walls.front) {
        *back -= front;
    }
    let at = |t: f64| {
        let (p, d) = cut.outline().point_and_derivative(t);
        let (thickness, [by_x, by_y]) = cutting.thickness_and_slopes(p.x, p.y);
        (thickness, by_x * d.x + by_y * d.y)
    };
    let extreme = |wanted| {
        let found = round(wanted, &thickness, at);
        EdgePoint {
            direction: Angle::from_rad(found.t),
            place: cut.outline().point(found.t),
            thickness: Mm::new(found.value),
        }
    };
    EdgeExtremes { thinnest: extreme(Wanted::Least), thickest: extreme(Wanted::Greatest) }
}
