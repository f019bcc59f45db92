//! The cut outline laid out in a line: from the nasal end of the horizontal centreline over the top, so that nose, top,
//! temple and bottom of both eyes stand under one another.

use core::f64::consts::PI;

use job::Eye;
use outline::{Lengths, Outline, Point};
use units::Angle;

use crate::seen::parameters;

/// An outline by the length along it.
pub(crate) struct Unrolled<'a> {
    eye: Eye,
    outline: &'a Outline,
    lengths: Lengths<'a>,
    /// Length up to direction 180, mm.
    half: f64,
    /// The whole length, mm.
    pub(crate) whole: f64,
}

impl<'a> Unrolled<'a> {
    pub(crate) fn of(eye: Eye, outline: &'a Outline) -> Self {
        let lengths = outline.lengths();
        let (half, whole) = (lengths.up_to(PI).mm(), lengths.circumference().mm());
        Self { eye, outline, lengths, half, whole }
    }

    /// Length at a parameter of the outline, mm: anticlockwise for the right eye, clockwise for the left.
    fn at(&self, t: f64) -> f64 {
        let up_to = self.lengths.up_to(t).mm();
        match self.eye {
            Eye::Right => up_to,
            Eye::Left => (self.half - up_to).rem_euclid(self.whole),
        }
    }

    /// Length at the place in a direction, degrees.
    pub(crate) fn along(&self, deg: f64) -> f64 {
        self.at(self.outline.towards(Angle::from_deg(deg.rem_euclid(360.0))))
    }

    /// Direction that stands where the right eye has this one.
    pub(crate) fn fellow(&self, deg: f64) -> f64 {
        match self.eye {
            Eye::Right => deg,
            Eye::Left => (180.0 - deg).rem_euclid(360.0),
        }
    }

    /// A figure all along, where there is one; it ends as it begins.
    pub(crate) fn course<T: Copy>(&self, figure: impl Fn(Point) -> Option<T>) -> Vec<(f64, T)> {
        let at = |t: f64| Some((self.at(t), figure(self.outline.point(t))?));
        let mut course: Vec<(f64, T)> = parameters(self.outline).into_iter().filter_map(at).collect();
        course.sort_by(|a, b| a.0.total_cmp(&b.0));
        if let Some(&(start, figure)) = course.first() {
            course.push((start + self.whole, figure));
        }
        course
    }
}
