//! The marks of the drawings: points of a lens, directions, eyes, scale. Drawn as paths, since no typeface has them.

use job::Eye;
use units::maths::{cos_deg, sin_deg};

use crate::lines::{self, MARK, PUT, THIN};
use crate::scene::{Anchor, Ink, Spot, Stroke, Text, Weight, spot};
use crate::sheet::{Sheet, TEXT};
use crate::typeface::CAP;

/// A pupil at scale, mm across.
pub(crate) const PUPIL: f64 = 4.0;

/// Optical centre: ring with a long cross.
pub(crate) fn optical_centre(sheet: &mut Sheet, at: Spot) {
    let (ring, arm) = (0.85, 3.0);
    sheet.circle(at, ring, None, Some(PUT));
    for (dx, dy) in [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)] {
        sheet.line(&[at.by(dx * 0.35, dy * 0.35), at.by(dx * arm, dy * arm)], PUT);
    }
}

/// The pupil, with its middle, on a lens drawn `scale` times as large as life.
pub(crate) fn pupil(sheet: &mut Sheet, at: Spot, scale: f64) {
    sheet.circle(at, 0.5 * PUPIL * scale, None, Some(lines::as_wide(MARK, 0.25)));
    sheet.circle(at, 0.3, Some(Ink::Ink), None);
}

/// Boxed centre: a little box with its diagonals.
pub(crate) fn boxed_centre(sheet: &mut Sheet, at: Spot) {
    let r = 0.8;
    let [a, b, c, d] = [at.by(-r, -r), at.by(r, -r), at.by(r, r), at.by(-r, r)];
    sheet.area(&[a, b, c, d], None, Some(THIN));
    sheet.line(&[a, c], THIN);
    sheet.line(&[b, d], THIN);
}

/// A hole of a drilled lens, at its own size, with its middle.
pub(crate) fn hole(sheet: &mut Sheet, at: Spot, diameter: f64) {
    sheet.circle(at, 0.5 * diameter, Some(Ink::Paper), Some(lines::as_wide(MARK, 0.25)));
    sheet.circle(at, 0.15, Some(Ink::Ink), None);
}

/// Middle of the blank, where it differs from the optical centre: triangle with a dot.
pub(crate) fn blank_middle(sheet: &mut Sheet, at: Spot) {
    let r = 1.5;
    let corner = |deg: f64| at.by(r * cos_deg(deg), -r * sin_deg(deg));
    sheet.area(&[corner(90.0), corner(210.0), corner(330.0)], None, Some(MARK));
    sheet.circle(at, 0.3, Some(Ink::Ink), None);
}

/// A slender wedge from `at`, its fat end to the base, a bar behind it; the direction is the sheet's, y up.
pub(crate) fn prism(sheet: &mut Sheet, at: Spot, (x, y): (f64, f64)) {
    let (length, half) = (7.0, 1.1);
    let end = at.by(x * length, -y * length);
    let side = |from: Spot, k: f64| from.by(-y * k, -x * k);
    sheet.area(&[at, side(end, half), side(end, -half)], Some(Ink::Mark), None);
    let bar = end.by(x * 0.7, -y * 0.7);
    sheet.line(&[side(bar, half * 1.25), side(bar, -half * 1.25)], PUT);
}

/// Towards the nose: a solid wedge; `right` says whether it points to the sheet's right.
pub(crate) fn nose(sheet: &mut Sheet, at: Spot, right: bool) {
    let k = if right { 1.0 } else { -1.0 };
    sheet.area(&[at, at.by(-k * 2.0, -1.1), at.by(-k * 2.0, 1.1)], Some(Ink::Ink), None);
}

/// Towards the temple: an open wedge.
pub(crate) fn temple(sheet: &mut Sheet, at: Spot, right: bool) {
    let k = if right { 1.0 } else { -1.0 };
    sheet.area(&[at, at.by(-k * 2.0, -1.0), at.by(-k * 2.0, 1.0)], None, Some(lines::as_wide(MARK, 0.25)));
}

/// Up: a half-filled arrow with its point at `at`.
pub(crate) fn up(sheet: &mut Sheet, at: Spot) {
    let (high, half, notch) = (5.0, 1.0, 4.0);
    let (left, right, middle) = (at.by(-half, high), at.by(half, high), at.by(0.0, notch));
    sheet.area(&[at, left, middle], Some(Ink::Ink), Some(lines::as_wide(MARK, 0.15)));
    sheet.area(&[at, right, middle], None, Some(lines::as_wide(MARK, 0.2)));
}

/// Stop: a filled octagon with a bar.
pub(crate) fn octagon(sheet: &mut Sheet, at: Spot, r: f64) {
    let corners: Vec<Spot> = (0..8)
        .map(|i| {
            let deg = 22.5 + 45.0 * f64::from(i);
            at.by(r * cos_deg(deg), -r * sin_deg(deg))
        })
        .collect();
    sheet.area(&corners, Some(Ink::Stop), None);
    let (w, h) = (0.55 * r, 0.16 * r);
    sheet.area(&[at.by(-w, -h), at.by(w, -h), at.by(w, h), at.by(-w, h)], Some(Ink::Paper), None);
}

/// R in a solid square, L in an open one; its upper left corner at `at`.
pub(crate) fn eye(sheet: &mut Sheet, at: Spot, eye: Eye, side: f64) {
    let corners = [at, at.by(side, 0.0), at.by(side, side), at.by(0.0, side)];
    let (fill, ink) = match eye {
        Eye::Right => (Some(Ink::Ink), Ink::Paper),
        Eye::Left => (None, Ink::Ink),
    };
    let inset = 0.2;
    let inner = [
        at.by(inset, inset),
        at.by(side - inset, inset),
        at.by(side - inset, side - inset),
        at.by(inset, side - inset),
    ];
    if fill.is_some() {
        sheet.area(&corners, fill, None);
    } else {
        sheet.area(&inner, None, Some(lines::as_wide(MARK, 0.4)));
    }
    // The letter belongs to its square and does not grow with the type.
    let (size, grown) = (0.72 * side, sheet.type_scale);
    sheet.write(Text {
        at: at.by(0.5 * side, 0.5 * side + 0.5 * CAP * size),
        anchor: Anchor::Middle,
        size: size / grown,
        ink,
        halo: Some(if fill.is_some() { Ink::Ink } else { Ink::Paper }),
        upwards: false,
        parts: vec![(Weight::SemiBold, eye.letter().to_owned())],
    });
}

/// The mark of an eye with its name, in the upper corner of the sheet on its own side.
pub(crate) fn eye_in_its_corner(sheet: &mut Sheet, of: Eye) {
    let side = 7.0;
    let (corner, name, anchor) = match of {
        Eye::Right => (4.0, 12.6, Anchor::Start),
        Eye::Left => (sheet.width - 4.0 - side, sheet.width - 12.6, Anchor::End),
    };
    eye(sheet, spot(corner, 4.0), of, side);
    sheet.words(spot(name, 8.7), anchor, TEXT, Ink::Ink, Weight::Regular, crate::figure::eye(of));
}

/// A slim filled arrow head at `at`, pointing along the unit vector (x, y) of the sheet, y down.
pub(crate) fn arrow(sheet: &mut Sheet, at: Spot, (x, y): (f64, f64), ink: Ink) {
    let (long, half) = (1.5, 0.27);
    let back = at.by(-x * long, -y * long);
    sheet.area(&[at, back.by(-y * half, x * half), back.by(y * half, -x * half)], Some(ink), None);
}

/// A dimension line between two places with arrows at its ends; where there is no room between, they stand outside.
pub(crate) fn dimension(sheet: &mut Sheet, a: Spot, b: Spot, stroke: Stroke) {
    let length = a.to(b);
    if length < 1e-6 {
        return;
    }
    let (x, y) = ((b.x - a.x) / length, (b.y - a.y) / length);
    if length < 4.0 {
        let tail = 3.4;
        sheet.line(&[a.by(-x * tail, -y * tail), b.by(x * tail, y * tail)], stroke);
        arrow(sheet, a, (x, y), stroke.ink);
        arrow(sheet, b, (-x, -y), stroke.ink);
    } else {
        sheet.line(&[a, b], stroke);
        arrow(sheet, a, (-x, -y), stroke.ink);
        arrow(sheet, b, (x, y), stroke.ink);
    }
}
