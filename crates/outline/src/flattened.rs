//! A rim that leans in its trace, turned flat: the outline of a rim is taken square to the rim's own plane.

use units::{Angle, Mm};

use crate::depth::HeightSamples;
use crate::point::{Point, turn};
use crate::samples::Samples;
use crate::space_line::SpaceLine;
use crate::{Depth, Outline};

/// Places at which the rim's own plane is taken.
const PLACES: usize = 360;

/// A trace turned flat.
#[derive(Debug, Clone)]
pub struct Flattened {
    /// Its radii, about the boxed centre of the trace as it was.
    pub samples: Samples,
    /// Its heights, growing towards the eye.
    pub heights: HeightSamples,
    /// By how much the rim leaned.
    pub lean: Angle,
}

impl Samples {
    /// The trace turned by the least turn that lays the plane nearest to its rim line square to the viewer; none where that
    /// plane leans by no more than `most`, or where the rim is so steep that its points would change their order.
    ///
    /// `outline`, `depth` and `pole` (the trace's pole, seen from the boxed centre) are what this trace was smoothed to.
    #[must_use]
    pub fn flattened(&self, outline: &Outline, depth: &Depth, pole: Point, most: Angle) -> Option<Flattened> {
        let [nx, ny, nz] = SpaceLine::of_rim(outline, &outline.places(PLACES), depth)?.best_plane()?;
        let sine = (nx * nx + ny * ny).sqrt();
        let lean = Angle::from_rad(libm::atan2(sine, nz));
        if lean <= most {
            return None;
        }
        // The axis of the turn lies in the viewer's plane, square to the lean: across it a length a out and z up becomes
        // a nz − z sine and a sine + z nz.
        let (out_x, out_y) = (nx / sine, ny / sine);
        let mut angles: Vec<Angle> = Vec::with_capacity(self.radii.len());
        let (mut radii, mut heights) = (Vec::with_capacity(self.radii.len()), Vec::with_capacity(self.radii.len()));
        for (&angle, &radius) in self.angles.iter().zip(&self.radii) {
            let (x, y) = (pole.x + radius * libm::cos(angle), pole.y + radius * libm::sin(angle));
            let z = -depth.on(outline, Point::new(x, y).direction().rad());
            let (out, along) = (x * out_x + y * out_y, y * out_x - x * out_y);
            let (flat, up) = (out * nz - z * sine, out * sine + z * nz);
            let (x, y) = (flat * out_x - along * out_y, flat * out_y + along * out_x);
            let direction = turn(libm::atan2(y, x));
            // Ascending from the first on, over the end of the turn.
            let behind = angles.first().is_some_and(|first| direction < first.rad());
            angles.push(Angle::from_rad(if behind { direction + core::f64::consts::TAU } else { direction }));
            radii.push(Mm::new((x * x + y * y).sqrt()));
            heights.push(Mm::new(-up));
        }
        let samples = Self::uneven(&angles, &radii).ok()?;
        let heights = HeightSamples::uneven(&angles, &heights).ok()?;
        Some(Flattened { samples, heights, lean })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A rim on a sphere, turned about the x axis by 10 degrees and traced so: what comes back is the rim.
    #[test]
    fn a_rim_that_was_turned_is_turned_back() {
        let rim = Outline::superellipse(Mm::new(25.0), Mm::new(18.0), 2.4).unwrap();
        let sphere = Depth::sphere(Mm::new(106.0)).unwrap();
        let (sin, cos) = (libm::sin(10.0_f64.to_radians()), libm::cos(10.0_f64.to_radians()));
        let (mut angles, mut radii, mut heights) = (Vec::new(), Vec::new(), Vec::new());
        for i in 0..400 {
            let t = f64::from(i) * core::f64::consts::TAU / 400.0;
            let (p, z) = (rim.point(t), -sphere.on(&rim, t));
            let (y, z) = (p.y * cos - z * sin, p.y * sin + z * cos);
            angles.push(Angle::from_rad(turn(libm::atan2(y, p.x))));
            radii.push(Mm::new((p.x * p.x + y * y).sqrt()));
            heights.push(Mm::new(-z));
        }
        let first = (0..400).min_by(|&a, &b| angles[a].rad().total_cmp(&angles[b].rad())).unwrap();
        angles.rotate_left(first);
        radii.rotate_left(first);
        heights.rotate_left(first);
        let (samples, raw) =
            (Samples::uneven(&angles, &radii).unwrap(), HeightSamples::uneven(&angles, &heights).unwrap());
        let smoothed = Outline::smoothed(&samples, None).unwrap();
        let fit = raw.depth(&smoothed.outline, smoothed.trace_pole).unwrap();
        let leaning = smoothed.outline.boxed().height.mm();
        assert!((leaning - 36.0).abs() > 0.3, "{leaning}");
        let pole = smoothed.trace_pole;
        let flat = samples.flattened(&smoothed.outline, &fit.depth, pole, Angle::from_deg(3.0)).unwrap();
        assert!((flat.lean.deg() - 10.0).abs() < 0.05, "{}", flat.lean.deg());
        let again = Outline::smoothed(&flat.samples, None).unwrap().outline;
        // Smoothing and twelve waves of depth leave three hundredths where an end is as pointed as this one's.
        assert!((again.boxed().height.mm() - 36.0).abs() < 0.02, "{:?}", again.boxed());
        assert!((again.boxed().width.mm() - 50.0).abs() < 0.04, "{:?}", again.boxed());
        assert!((again.circumference() - rim.circumference()).abs().mm() < 0.02, "{:?}", again.circumference());
        // What leans by less stays.
        assert!(samples.flattened(&smoothed.outline, &fit.depth, pole, Angle::from_deg(11.0)).is_none());
    }
}
