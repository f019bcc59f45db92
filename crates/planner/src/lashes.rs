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
/// Directions about the pupil that are looked at.
const DIRECTIONS: u32 = 72;

/// The nearest that the back of the lens comes to the cornea's plane about the pupil: its amount, and where, about the pupil,
/// degrees.
///
/// Measured straight back from the lens: worn vertex distance, less how much deeper the back is than before the pupil; the
/// pantoscopic angle lifts what lies above the pupil off the face, the face form brings what lies towards the temple to it.
fn nearest(order: &Order, eye: Eye, held: &Cutting, outline: &Outline, reference: Place) -> Option<(Mm, f64)> {
    let vertex = order.wearer.worn_vertex?;
    let (x, y) = reference.xy(eye);
    let before_pupil = held.back_depth(Point::new(x, y))?;
    let lifts = Angle::from_deg(order.frame.pantoscopic_deg.unwrap_or(0.0)).sin();
    let closes = -eye.nasal() * Angle::from_deg(order.frame.face_form_deg.unwrap_or(0.0)).sin();
    let mut nearest: Option<(f64, f64)> = None;
    for i in 0..DIRECTIONS {
        let deg = f64::from(i) * 360.0 / f64::from(DIRECTIONS);
        let (sin, cos) = libm::sincos(deg.to_radians());
        for out in [ABOUT_PUPIL_MM, ABOUT_PUPIL_MM / 2.0] {
            let point = Point::new(x + out * cos, y + out * sin);
            let edge = outline.point(outline.towards(point.direction()));
            if point.x * point.x + point.y * point.y > edge.x * edge.x + edge.y * edge.y {
                continue;
            }
            let Some(back) = held.back_depth(point) else { continue };
            let room = vertex.mm() - (back - before_pupil) + out * sin * lifts - out * cos * closes;
            if nearest.is_none_or(|(least, _)| room < least) {
                nearest = Some((room, deg));
            }
        }
    }
    nearest.map(|(room, deg)| (Mm::new(room), deg))
}

/// Says where the lashes would touch.
pub(crate) fn findings(
    order: &Order,
    rules: &Rules,
    eye: Eye,
    held: &Cutting,
    outline: &Outline,
    reference: Option<Place>,
    found: &mut Vec<Finding>,
) {
    let Some((room, deg)) = reference.and_then(|place| nearest(order, eye, held, outline, place)) else { return };
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
