//! The rectangle with circular corners, or with sharp ones.

use core::f64::consts::{FRAC_PI_2, PI, TAU};

use crate::curve::Polar;
use crate::error::NotAnOutline;
use crate::point::turn;

/// Half width, half height and corner radius in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct RoundedRectangle {
    pub(crate) half_width: f64,
    pub(crate) half_height: f64,
    pub(crate) corner: f64,
}

impl RoundedRectangle {
    pub(crate) fn new(width: f64, height: f64, corner: f64) -> Result<Self, NotAnOutline> {
        for (what, given) in [("the width", width), ("the height", height)] {
            if !(given.is_finite() && given > 0.0) {
                return Err(NotAnOutline::NotALength { what, given });
            }
        }
        if !(corner >= 0.0 && corner <= 0.5 * width.min(height)) {
            return Err(NotAnOutline::Corner { corner, width, height });
        }
        Ok(Self { half_width: 0.5 * width, half_height: 0.5 * height, corner })
    }

    /// Directions in the first quarter between which the corner's arc stands.
    fn arc(self) -> (f64, f64) {
        (
            libm::atan2(self.half_height - self.corner, self.half_width),
            libm::atan2(self.half_height, self.half_width - self.corner),
        )
    }

    pub(crate) fn polar(self, t: f64) -> Polar {
        self.polar_within(t, t)
    }

    /// Radius at `t` of the side or arc to which `inside` belongs.
    pub(crate) fn polar_within(self, t: f64, inside: f64) -> Polar {
        // Folded into the first quarter; a mirrored direction mirrors the first derivative.
        let inside = turn(inside);
        let half_turns = if inside >= PI { 1.0 } else { 0.0 };
        let folded = inside - half_turns * PI;
        let mirrored = folded > FRAC_PI_2;
        let fold = |t: f64| {
            let t = t - half_turns * PI;
            // A part's upper end may be written 2 pi or 0.
            let t = if t < folded - PI { t + TAU } else { t };
            if mirrored { PI - t } else { t }
        };
        let (t, inside) = (fold(t), if mirrored { PI - folded } else { folded });
        let (from, to) = self.arc();
        let polar = if inside < from {
            straight(self.half_width, t)
        } else if inside >= to {
            let p = straight(self.half_height, FRAC_PI_2 - t);
            Polar { first: -p.first, ..p }
        } else {
            let (x, y) = (self.half_width - self.corner, self.half_height - self.corner);
            let (sin, cos) = libm::sincos(t);
            let (along, aside) = (x * cos + y * sin, y * cos - x * sin);
            let root = (self.corner * self.corner - aside * aside).max(0.0).sqrt();
            // d(along) = aside, d(aside) = -along, d(root) = aside along / root.
            let droot = aside * along / root;
            Polar {
                radius: along + root,
                first: aside + droot,
                second: -along + (aside * aside - along * along) / root - droot * droot / root,
            }
        };
        if mirrored { Polar { first: -polar.first, ..polar } } else { polar }
    }

    /// Where sides and arcs meet; for sharp corners, the corners.
    pub(crate) fn seeds(self) -> Vec<f64> {
        let (from, to) = self.arc();
        let mut seeds = vec![0.0];
        for half_turn in [0.0, PI] {
            for t in [from, to, FRAC_PI_2, PI - to, PI - from, PI] {
                seeds.push(t + half_turn);
            }
        }
        seeds.retain(|&t| t < TAU);
        seeds.dedup_by(|b, a| *b - *a < 1e-12);
        seeds
    }

    /// Directions of the sharp corners, where there are any.
    pub(crate) fn corners(self) -> Vec<f64> {
        if self.corner > 0.0 {
            return Vec::new();
        }
        let t = libm::atan2(self.half_height, self.half_width);
        vec![t, PI - t, PI + t, TAU - t]
    }
}

/// Polar radius of the straight line at `distance`, square to t = 0.
fn straight(distance: f64, t: f64) -> Polar {
    let (sin, cos) = libm::sincos(t);
    let radius = distance / cos;
    let tan = sin / cos;
    Polar { radius, first: radius * tan, second: radius * (1.0 + 2.0 * tan * tan) }
}
