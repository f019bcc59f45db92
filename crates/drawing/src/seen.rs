//! From the plane of a lens to the sheet.

use outline::{Outline, Point};

use crate::scene::{Spot, spot};

/// Where a plane lies on the sheet, at true size or enlarged.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Seen {
    /// Where the plane's origin lies.
    pub(crate) origin: Spot,
    /// How much larger than life.
    pub(crate) scale: f64,
    /// Whether the lens lies on its face, so that the viewer's right is left.
    pub(crate) mirrored: bool,
}

impl Seen {
    /// At true size, as facing the wearer.
    pub(crate) const fn true_size(origin: Spot) -> Self {
        Self { origin, scale: 1.0, mirrored: false }
    }

    /// A place of the plane on the sheet.
    pub(crate) fn at(&self, x: f64, y: f64) -> Spot {
        let x = if self.mirrored { -x } else { x };
        self.origin.by(x * self.scale, -y * self.scale)
    }

    /// A point of the plane on the sheet.
    pub(crate) fn point(&self, p: Point) -> Spot {
        self.at(p.x, p.y)
    }

    /// An outline on the sheet.
    pub(crate) fn outline(&self, outline: &Outline) -> Vec<Spot> {
        course(outline).into_iter().map(|p| self.point(p)).collect()
    }

    /// A direction of the plane, degrees, as the sheet has it, y up.
    pub(crate) fn direction(&self, deg: f64) -> f64 {
        if self.mirrored { 180.0 - deg } else { deg }
    }
}

/// Points along an outline, close enough that a line of the drawing is wider than what their chords leave out, corners
/// among them.
pub(crate) fn course(outline: &Outline) -> Vec<Point> {
    parameters(outline).into_iter().map(|t| outline.point(t)).collect()
}

/// The parameters of those points: every degree, and the corners.
pub(crate) fn parameters(outline: &Outline) -> Vec<f64> {
    let mut at: Vec<f64> = (0..360).map(|i| f64::from(i).to_radians()).collect();
    at.extend(outline.corners());
    at.sort_by(f64::total_cmp);
    at.dedup_by(|b, a| *b - *a < 1e-9);
    at
}

/// The middle of a sheet's stretch.
pub(crate) const fn halfway(a: Spot, b: Spot) -> Spot {
    spot(0.5 * (a.x + b.x), 0.5 * (a.y + b.y))
}
