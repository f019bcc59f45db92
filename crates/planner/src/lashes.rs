//! Whether the lashes have room behind the lens.

use job::rules::Rules;
use job::{Eye, Finding, Order, kinds};
use lens::Cutting;
use outline::{Outline, Point};
use units::{Angle, Mm};

use crate::plan::Place;
use crate::said::{at, mm1};

/// How far lashes stand about the pupil, mm: own choice; an open eye is some 30 mm wide.
const ABOUT_PUPIL_MM: f64 = 12.0;
/// Where the lens ends nearer, its edge is found to this, mm.
const STEP_MM: f64 = 1.0;
/// Directions about the pupil that are looked at.
const DIRECTIONS: u32 = 36;

/// The room behind the lens where it is least about the pupil.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LashRoom {
    /// From the back of the lens to the plane of the cornea.
    pub room: Mm,
    /// Where, about the pupil, degrees.
    pub deg: f64,
}

/// Measured straight back from the lens: worn vertex distance, less how much deeper the back is than before the pupil; the
/// pantoscopic angle lifts what lies above the pupil off the face, the face form brings what lies towards the temple to it.
/// Along each direction the back comes nearest at its far end: 12 mm off, or where the lens ends. None without a worn vertex
/// distance.
pub(crate) fn room(
    order: &Order,
    eye: Eye,
    held: &Cutting,
    outline: &Outline,
    reference: Option<Place>,
) -> Option<LashRoom> {
    let vertex = order.wearer.worn_vertex?;
    let (x, y) = reference?.xy(eye);
    let before_pupil = held.back_depth(Point::new(x, y))?;
    let lifts = Angle::from_deg(order.frame.pantoscopic_deg.unwrap_or(0.0)).sin();
    let closes = -eye.nasal() * Angle::from_deg(order.frame.face_form_deg.unwrap_or(0.0)).sin();
    let is_inside = |point: Point| {
        let edge = outline.point(outline.towards(point.direction()));
        point.x * point.x + point.y * point.y <= edge.x * edge.x + edge.y * edge.y
    };
    let mut nearest: Option<LashRoom> = None;
    for i in 0..DIRECTIONS {
        let deg = f64::from(i) * 360.0 / f64::from(DIRECTIONS);
        let (sin, cos) = libm::sincos(deg.to_radians());
        let at = |out: f64| Point::new(x + out * cos, y + out * sin);
        let mut out = ABOUT_PUPIL_MM;
        while out > 0.0 && !is_inside(at(out)) {
            out -= STEP_MM;
        }
        let Some(back) = held.back_depth(at(out)).filter(|_| out > 0.0) else { continue };
        let room = Mm::new(vertex.mm() - (back - before_pupil) + out * sin * lifts - out * cos * closes);
        if nearest.is_none_or(|least| room < least.room) {
            nearest = Some(LashRoom { room, deg });
        }
    }
    nearest
}

/// Says where the lashes would touch.
pub(crate) fn findings(rules: &Rules, eye: Eye, least: Option<LashRoom>, found: &mut Vec<Finding>) {
    let Some(LashRoom { room, deg }) = least else { return };
    if room < rules.eye.lashes {
        found.push(
            Finding::new(&kinds::LASHES_TOUCH, "lashes.room_mm", mm1(room.mm()))
                .of(eye)
                .limit(mm1(rules.eye.lashes.mm()))
                .unit("mm")
                .weighs((rules.eye.lashes - room).mm() / 10.0)
                .says(
                    format!(
                        "the back of the lens comes within {} mm of the eye, towards {} from the pupil: lashes may brush it",
                        mm1(room.mm()),
                        at(deg)
                    ),
                    "set the pads for more distance, or take a steeper front; the power as worn then changes too",
                ),
        );
    }
}
