//! Where a thickness stands still inside a lens, when it may do so in several places.

use outline::Point;
use units::{Angle, Mm};

use crate::cut_outline::CutOutline;
use crate::cutting_axis::Cutting;

/// Directions and rings of the net over a lens whose surfaces are no circles.
const NET: (usize, usize) = (16, 8);
/// Of the net's places that are better than their neighbours, so many start a search.
const MOST_STARTS: usize = 3;
/// A place of the net that is worse than the rim by more than this, mm, starts none: within a mesh of the net the thickness
/// falls by less than that, half of it in a lens of 10 D.
const MARGIN: f64 = 0.5;
/// A step that gains less than this, mm, is the last.
const LAST_GAIN: f64 = 1e-12;
/// A step is no longer than this, mm, so that it stays near the start's own valley.
const LONGEST_STEP: f64 = 3.0;
/// A valley flatter than this, 1/mm, is taken to be so steep: its floor rises by 1e-9 mm over the lens.
const FLATTEST: f64 = 1e-12;
/// Newton's steps after which a start is given up; from inside a lens four or five reach the last digit.
pub(crate) const MOST_STEPS: usize = 30;
/// A step shorter than this, mm, is the last.
pub(crate) const LAST_STEP: f64 = 1e-9;
/// Step of the slopes' own differences, mm: their error, its square times a fourth derivative, is far below 1e-9.
const DIFFERENCE: f64 = 1e-3;

/// The places of a net over the shape at which sign times the thickness is no higher than at their neighbours, lowest
/// first, where they may beat the rim.
pub(crate) fn best_of_net(cutting: &Cutting, cut: &CutOutline, sign: f64, rim: Mm) -> Vec<Point> {
    let (directions, rings) = NET;
    let value = |p: Point| sign * cutting.thickness_and_slopes(p.x, p.y).0;
    let mut net: Vec<(Point, f64)> = Vec::with_capacity(directions * rings);
    for i in 0..directions {
        let direction = Angle::from_deg(i as f64 * (360.0 / directions as f64));
        let rim = cut.outline().point(cut.outline().towards(direction));
        net.extend((1..=rings).map(|ring| {
            let share = (ring as f64 - 0.5) / rings as f64;
            let place = Point::new(share * rim.x, share * rim.y);
            (place, value(place))
        }));
    }
    let at = |i: usize, ring: usize| net[(i % directions) * rings + ring].1;
    let lowest = |i: usize, ring: usize| {
        let here = at(i, ring);
        let outwards = ring + 1 == rings || here <= at(i, ring + 1);
        let inwards = ring == 0 || here <= at(i, ring - 1);
        outwards && inwards && here <= at(i + 1, ring) && here <= at(i + directions - 1, ring)
    };
    let mut best: Vec<(Point, f64)> = (0..net.len())
        .filter(|&n| net[n].1 < sign * rim.mm() + MARGIN && lowest(n / rings, n % rings))
        .map(|n| net[n])
        .collect();
    best.sort_by(|(_, one), (_, other)| one.total_cmp(other));
    best.truncate(MOST_STARTS);
    best.into_iter().map(|(place, _)| place).collect()
}

/// The lowest place of sign times the thickness in the valley of `start`, and its value: Newton's steps with the second
/// derivatives taken without their signs, so that every step leads down, and halved until it does.
pub(crate) fn lowest_near(cutting: &Cutting, start: Point, sign: f64) -> Option<(Point, f64)> {
    let at = |p: Point| {
        let (thickness, [by_x, by_y]) = cutting.thickness_and_slopes(p.x, p.y);
        (sign * thickness, [sign * by_x, sign * by_y])
    };
    let mut place = start;
    let (mut value, mut slopes) = at(place);
    for _ in 0..MOST_STEPS {
        let second = second_derivatives(|x, y| at(Point::new(x, y)).1, place);
        let [dx, dy] = step_down(second, slopes);
        let length = (dx * dx + dy * dy).sqrt();
        if !length.is_finite() {
            return None;
        }
        let mut share = (LONGEST_STEP / length).min(1.0);
        let next = loop {
            let next = Point::new(place.x + share * dx, place.y + share * dy);
            let found = at(next);
            if found.0 < value {
                break Some((next, found));
            }
            if share * length < LAST_STEP {
                break None;
            }
            share *= 0.5;
        };
        let Some((next, found)) = next else { break };
        let (moved, gained) = (next.distance_to(place), value - found.0);
        (place, (value, slopes)) = (next, found);
        if moved < LAST_STEP || gained < LAST_GAIN {
            break;
        }
    }
    value.is_finite().then_some((place, value))
}

/// Second derivatives xx, xy, yy from differences of the slopes.
pub(crate) fn second_derivatives(slopes: impl Fn(f64, f64) -> [f64; 2], at: Point) -> [f64; 3] {
    let (Point { x, y, .. }, h) = (at, DIFFERENCE);
    let ([xr, yr], [xl, yl]) = (slopes(x + h, y), slopes(x - h, y));
    let ([xu, yu], [xd, yd]) = (slopes(x, y + h), slopes(x, y - h));
    [(xr - xl) / (2.0 * h), ((yr - yl) + (xu - xd)) / (4.0 * h), (yu - yd) / (2.0 * h)]
}

/// Minus the slopes over the second derivatives, these with their principal values made positive.
fn step_down([xx, xy, yy]: [f64; 3], [p, q]: [f64; 2]) -> [f64; 2] {
    let (mean, half) = (0.5 * (xx + yy), 0.5 * (xx - yy));
    let apart = (half * half + xy * xy).sqrt();
    // Of principal value mean + apart the direction is (apart + half, xy), or (xy, apart - half): the longer of the two.
    let (ux, uy) = if half > 0.0 { (apart + half, xy) } else { (xy, apart - half) };
    let length = (ux * ux + uy * uy).sqrt();
    let (ux, uy) = if length > 0.0 { (ux / length, uy / length) } else { (1.0, 0.0) };
    let along = -(p * ux + q * uy) / (mean + apart).abs().max(FLATTEST);
    let across = -(q * ux - p * uy) / (mean - apart).abs().max(FLATTEST);
    [along * ux - across * uy, along * uy + across * ux]
}
