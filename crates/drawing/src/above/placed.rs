//! A lens where the frame sets it, seen from above.

use job::{Order, Rules};
use outline::Point;
use planner::{EyePlan, LensPlan};
use units::maths::{cos_deg, sin_deg};

use crate::figure;
use crate::scene::{Spot, spot};
use crate::section::{CutEdge, EdgeProfile, EdgeSide};

use super::figures::Row;

/// Points along a surface.
const POINTS: u32 = 120;

/// How the frame sets its lenses.
pub(super) struct Of {
    /// Distance between lenses.
    pub(super) bridge: f64,
    /// Face form of each side, degrees.
    pub(super) face_form: f64,
}

/// Where the pair lies on the sheet.
pub(super) struct Set {
    /// The middle of the bridge.
    pub(super) middle: f64,
    /// The plane of the front: depth 0.
    pub(super) level: f64,
    pub(super) scale: f64,
    /// The lowest line of the lenses.
    pub(super) front: f64,
    /// How much larger type is.
    pub(super) k: f64,
}

impl Set {
    /// A place of the front, across and deep, on the sheet.
    pub(super) fn at(&self, (across, depth): (f64, f64)) -> Spot {
        spot(self.middle + self.scale * across, self.level - self.scale * depth)
    }
}

/// One lens in the front.
pub(super) struct Above<'a> {
    pub(super) plan: &'a EyePlan,
    pub(super) lens: &'a LensPlan,
    /// Where its boxed centre stands from the middle of the bridge, to the viewer's right.
    pub(super) centre: f64,
    /// Its turn about the vertical: face form, + on either side where the temple is back.
    pub(super) turn: f64,
    /// Depth along the cutting axis that stands level with the front.
    pub(super) zero: f64,
    /// The edge at the nose and at the temple.
    pub(super) ends: [End<'a>; 2],
    /// The level section, in the lens's own x and depth, round.
    pub(super) area: Vec<(f64, f64)>,
    /// The lower half of the rim as seated, likewise, from the viewer's left to the right; empty without one.
    pub(super) rim: Vec<(f64, f64)>,
}

/// One end of the section.
pub(super) struct End<'a> {
    pub(super) name: &'static str,
    pub(super) profile: EdgeProfile<'a>,
}

impl<'a> Above<'a> {
    pub(super) fn new(of: &Of, plan: &'a EyePlan, order: &Order, rules: &Rules) -> Option<Self> {
        let lens = plan.lens.as_ref()?;
        let cut = CutEdge::of(lens, order, rules);
        let nasal = plan.eye.nasal();
        let (nose, temple) = if nasal > 0.0 { (0, 180) } else { (180, 0) };
        let end = |name, deg| Some(End { name, profile: EdgeProfile::level(lens, cut, deg)? });
        let ends = [end("nose", nose)?, end("temple", temple)?];
        let [at_nose, at_temple] = &ends;
        let zero = at_nose.profile.line().unwrap_or(0.5 * (at_nose.profile.square.0 + at_nose.profile.square.1));
        let mut area = surface(&at_temple.profile, &at_nose.profile, true)?;
        area.extend(round(&at_nose.profile, false)?);
        let mut back = surface(&at_temple.profile, &at_nose.profile, false)?;
        back.reverse();
        area.extend(back);
        area.extend(round(&at_temple.profile, true)?);
        let rim = match &lens.edge_line {
            Some(line) => {
                let places = &line.sized.places;
                let at = |deg: u32| {
                    let row = line.row(deg)?;
                    let i = (deg as usize + places.len() - 90) % places.len();
                    Some((*places.x.get(i)?, (row.depth - row.gap?).mm()))
                };
                (180..=360).filter_map(|deg| at(deg % 360)).collect()
            }
            None => Vec::new(),
        };
        let turn = of.face_form;
        let centre = -nasal * 0.5 * (of.bridge + plan.shape.boxed.width.mm() * cos_deg(turn));
        Some(Self { plan, lens, centre, turn, zero, ends, area, rim })
    }

    /// A place of the lens in the front: across from the middle of the bridge, and deep.
    pub(super) fn set(&self, (x, depth): (f64, f64)) -> (f64, f64) {
        let (c, s, deep) = (cos_deg(self.turn), sin_deg(self.turn) * self.plan.eye.nasal(), depth - self.zero);
        (self.centre + x * c + deep * s, deep * c - x * s)
    }

    /// How far it reaches from the middle of the bridge, and its least and greatest depth in the front.
    pub(super) fn frame_extent(&self) -> (f64, (f64, f64)) {
        let places = self.area.iter().chain(&self.rim).map(|&at| self.set(at));
        places.fold((0.0, (f64::INFINITY, f64::NEG_INFINITY)), |(reach, (a, b)), (across, depth)| {
            (f64::max(reach, across.abs()), (f64::min(a, depth), f64::max(b, depth)))
        })
    }

    /// Front and back of the lens at one x at the level of the boxed centre.
    pub(super) fn wall(&self, x: f64) -> Option<[(f64, f64); 2]> {
        let wall = self.lens.cutting.wall(Point::new(x, 0.0))?;
        Some([(x, wall.front_depth.mm()), (x, wall.back_depth.mm())])
    }

    pub(super) fn description(&self, rows: &[Row], bridge: Option<f64>, face_form: Option<f64>) -> String {
        let mm = |value: Option<f64>| value.map_or_else(|| "not given".to_owned(), figure::length);
        let figures: Vec<String> =
            rows.iter().filter_map(|row| Some(format!("{} {}", row.name, row.of(self.plan.eye)?))).collect();
        format!(
            "{}: distance between lenses {}, face form {}; {}.",
            figure::capital(&figure::eye(self.plan.eye)),
            mm(bridge),
            mm(face_form),
            figures.join(", ")
        )
    }
}

/// A surface from the corner of the edge at the temple to that at the nose.
fn surface(temple: &EdgeProfile<'_>, nose: &EdgeProfile<'_>, front: bool) -> Option<Vec<(f64, f64)>> {
    let corner = |profile: &EdgeProfile<'_>| {
        let [f, b] = profile.sides()?;
        Some(profile.x(if front { f.corner.0 } else { b.corner.0 }))
    };
    let (from, to) = (corner(temple)?, corner(nose)?);
    (0..=POINTS)
        .map(|i| {
            let x = from + (to - from) * f64::from(i) / f64::from(POINTS);
            let inwards = (nose.x(0.0) - x).abs();
            Some((x, if front { nose.front(inwards)? } else { nose.back(inwards)? }))
        })
        .collect()
}

/// The edge between its corners, from the front to the back, or the other way.
fn round(profile: &EdgeProfile<'_>, from_back: bool) -> Option<Vec<(f64, f64)>> {
    let [front, EdgeSide { then: mut behind, .. }] = profile.sides()?;
    behind.reverse();
    let mut edge = front.then;
    edge.append(&mut behind);
    if from_back {
        edge.reverse();
    }
    Some(edge.into_iter().map(|(inwards, depth)| (profile.x(inwards), depth)).collect())
}
