//! The seat: how the rim lies as seen from the lens, and the apex that meets it best.
//!
//! The rim is turned rigidly; its length stays. At equal shares of length from 90 degrees, anticlockwise, the apex stands
//! behind the rim by the **gap** (apex depth less the depth of the rim line as seated; + = apex behind). In order: both
//! shoulders at least the least; the rms gap at most a given amount above the least that any seat gives; then the smallest
//! mean front shoulder; among equals, to a micrometre, the least rms gap.
//!
//! For a rim depth s(q) under a seat q the problem min mean(a) + λ mean((a − s)²) over apex and seat is solved by
//! a = s − c held between the bounds, with c = 1/(2λ); what is left is a convex function of three numbers, taken by Newton
//! steps over the places that the bounds hold. λ is found from the rms gap that may be given. Shares follow the apex, so
//! that all is repeated until the apex stays.

use outline::{Places, SpaceLine};
use units::{Angle, Mm};

use crate::edge_room::EdgeRoom;
use crate::fault::NoLens;

/// A rigid turn of the rim beyond this is no seat: design.
pub const MOST_TILT_DEG: f64 = 15.0;

/// Mean front shoulders that differ by less are equal, mm: design.
const EQUAL_SHOULDERS: f64 = 0.001;

/// A gap given away that is less than this, mm, counts as none: below it the seat is not determined by it.
const LEAST_GIVEN: f64 = 1e-4;

/// The least constant by which an apex stands before the rim, mm: below it no place counts any more.
const LEAST_C: f64 = 1e-5;
/// The constant by which an apex stands before the rim, mm, that no edge reaches; and by how much a bracket of it grows.
const MOST_GIVEN: f64 = 1e3;
const WIDER: f64 = 4.0;

/// The apex stays when no depth would move by more in the next round, mm.
const STAYS: f64 = 1e-6;
/// And on the thinned outline from which it sets out.
const NEARLY_STAYS: f64 = 1e-3;
/// One place in so many is taken first, where at least so many are left.
const COARSE: usize = 4;
const LEAST_COARSE: usize = 30;
const MOST_ROUNDS: usize = 60;

/// Rounds that are free. Where hardly a place is held, shares that move by thousandths of a millimetre make quite another
/// tilt the best, which moves them back: a seat that turns back after these is held to that of the round before, as by
/// springs, at the end of which it lies where it would without them. One that drifts one way is on its way to where the
/// next place holds it: it has more rounds.
const FREE_ROUNDS: usize = 6;
const DRIFT_ROUNDS: usize = 30;
/// How strongly, where all places together count 1; doubled every round. Own choice: over 20 000 lenses and rims all rest.
const FIRST_HOLD: f64 = 1e-6;
const MOST_HOLD: f64 = 1e-3;
/// The apex of a seat that is held stays, mm: what then still draws it on is a slope of 1e-7 mm.
const HELD_STAYS: f64 = 5e-5;

/// A Newton step shorter than this, mm at the rim, is the last: what is left is its square.
const LAST_STEP: f64 = 1e-7;
const MOST_STEPS: usize = 1000;
/// A step must lower the value by this share of what the slope promises; else it is too long, and where places are held in
/// turns it would swing for ever.
const ENOUGH: f64 = 0.1;
/// A slope less than this, mm, is none: sums over the places tell no less.
const LEVEL: f64 = 1e-9;
/// The least pull on a step, as a share of what a place counts.
const LEAST_PULL: f64 = 1e-10;
/// What it begins with when a step goes astray, and by how much it changes: own choice.
const FIRST_PULL: f64 = 1e-4;
const CHANGE_OF_PULL: f64 = 16.0;
/// An arm that makes radians comparable to mm: half a lens.
const ARM: f64 = 20.0;

/// Where the rim lies as seen from the lens.
///
/// The turn is about the point at the rim line's mean depth under the boxed centre: first about the lens's x (the viewer's
/// right), then about its y (up), both by the right-hand rule with z towards the viewer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seat {
    /// How far in front of the front surface at the block point the turning point lies: minus its depth.
    pub forward: Mm,
    /// Turn about x.
    pub tilt_x: Angle,
    /// Turn about y.
    pub tilt_y: Angle,
}

/// An apex and the rim seated on it.
#[derive(Debug, Clone, PartialEq)]
pub struct Seated {
    /// Where the rim lies.
    pub seat: Seat,
    /// The apex line, a place for each place of the cut outline.
    pub apex: SpaceLine,
    /// Gap at each place, mm.
    pub gap: Vec<f64>,
    /// Root mean square of the gap along the apex.
    pub gap_rms: Mm,
    /// The least rms gap that any seat gives.
    pub gap_least_rms: Mm,
    /// The gap that is greatest in amount, signed.
    pub gap_greatest: Mm,
    /// Where that is, about the boxed centre.
    pub gap_greatest_at: Angle,
    /// Greatest distance, in the plane of the outline, between apex and seated rim at equal shares.
    pub side_greatest: Mm,
    /// Mean front shoulder along the apex.
    pub mean_front_shoulder: Mm,
    /// From where a search for an edge much like this one sets out.
    best: Best,
}

/// The best apex for a rim within the room of an edge, and the seat. `near` is the answer for an edge much like this one,
/// from which the search then sets out.
///
/// # Errors
/// [`NoLens::NotSettled`] where the search does not come to rest.
pub fn seat(
    rim: &SpaceLine,
    places: &Places,
    room: &EdgeRoom,
    gap_given: Mm,
    near: Option<&Seated>,
) -> Result<Seated, NoLens> {
    let n = places.len();
    let (first, best) = match near.map(|near| (near.apex.depths(), near.best)) {
        Some((apex, best)) if apex.len() == n => ((0..n).map(|i| room.held(i, apex[i])).collect(), best),
        _ => {
            // One place in four first: where that comes to rest is near.
            let every = if n.is_multiple_of(COARSE) && n >= LEAST_COARSE * COARSE { COARSE } else { 1 };
            let (places, room) = (places.every(every), room.every(every));
            let middles = (0..n / every).map(|i| 0.5 * (room.least[i] + room.most[i])).collect();
            let (line, _, best) = rounds(rim, &places, &room, gap_given, (middles, None), NEARLY_STAYS)?;
            (between_places(line.depths(), every), best)
        }
    };
    let (line, matched, best) = rounds(rim, places, room, gap_given, (first, Some(best)), STAYS)?;
    Ok(seated(places, room, &matched, line, best))
}

/// Depths between the places of a thinned outline, straight.
fn between_places(depths: &[f64], every: usize) -> Vec<f64> {
    let n = depths.len();
    let share = |j: usize| j as f64 / every as f64;
    (0..n * every)
        .map(|i| {
            let (a, b) = (depths[i / every], depths[(i / every + 1) % n]);
            a + (b - a) * share(i % every)
        })
        .collect()
}

/// Rounds of shares and seat until the apex stays.
fn rounds(
    rim: &SpaceLine,
    places: &Places,
    room: &EdgeRoom,
    gap_given: Mm,
    (apex, start): (Vec<f64>, Option<Best>),
    stays: f64,
) -> Result<(SpaceLine, Matched, Best), NoLens> {
    let bounds = Bounds { least: &room.least, most: &room.most };
    let mut line = line(places, apex)?;
    let mut matched = Matched::of(rim, &line);
    let mut last = match start {
        Some(start) => start,
        None => Best::first(matched.free(line.depths(), [0.0; 3])?),
    };
    let mut moved = f64::INFINITY;
    let (mut hold, mut went): (f64, [f64; 3]) = (0.0, [0.0; 3]);
    for round in 0..MOST_ROUNDS {
        matched.hold = hold;
        let best = best(&matched, &bounds, &room.front, gap_given.mm(), &last)?;
        let next = matched.apex(&bounds, best.c, best.q);
        let before = moved;
        moved = next.iter().zip(line.depths()).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
        line = self::line(places, next)?;
        matched = Matched::of(rim, &line);
        // Each round moves the apex by the same share of what the one before did: what is left is that share of this one.
        let stays = if hold > 0.0 { stays.max(HELD_STAYS) } else { stays };
        if moved <= stays || (before.is_finite() && moved * (moved / before).min(1.0) <= stays) {
            return Ok((line, matched, best));
        }
        let step: [f64; 3] = core::array::from_fn(|i| (best.q[i] - last.q[i]) * if i == 0 { 1.0 } else { ARM });
        let turns_back = step.iter().zip(went).map(|(a, b)| a * b).sum::<f64>() < 0.0;
        went = step;
        if round + 1 >= FREE_ROUNDS && (turns_back || hold > 0.0 || round >= DRIFT_ROUNDS) {
            hold = (2.0 * hold).clamp(FIRST_HOLD, MOST_HOLD);
        }
        last = best;
    }
    Err(NoLens::NotSettled { what: "the seat of the lens in its rim", residual: moved })
}

fn line(places: &Places, apex: Vec<f64>) -> Result<SpaceLine, NoLens> {
    SpaceLine::new(places, apex).ok_or(NoLens::NotSettled { what: "the apex", residual: f64::NAN })
}

/// Bounds of the apex; equal ones fix it.
struct Bounds<'a> {
    least: &'a [f64],
    most: &'a [f64],
}

/// The places of the rim at the shares of an apex, and what each counts.
struct Matched {
    weight: Vec<f64>,
    x: Vec<f64>,
    y: Vec<f64>,
    /// Depth from the turning point.
    depth: Vec<f64>,
    /// How strongly a seat is held to that of the round before.
    hold: f64,
}

/// What a seat makes of a place of the rim: depth = −forward + a x + b y + c depth, with the turn's coefficients.
#[derive(Clone, Copy)]
struct Turn {
    sin_x: f64,
    cos_x: f64,
    sin_y: f64,
    cos_y: f64,
}

impl Turn {
    fn of(q: [f64; 3]) -> Self {
        let ((sin_x, cos_x), (sin_y, cos_y)) = (libm::sincos(q[1]), libm::sincos(q[2]));
        Self { sin_x, cos_x, sin_y, cos_y }
    }

    /// Depth as seated of a place with forward 0, and its slopes by the two turns.
    fn depth(self, x: f64, y: f64, depth: f64) -> (f64, f64, f64) {
        // z = −depth; about x: y' = y cos − z sin, z' = y sin + z cos; about y: z'' = −x sin + z' cos.
        let (up, z) = (y * self.cos_x + depth * self.sin_x, y * self.sin_x - depth * self.cos_x);
        (x * self.sin_y - z * self.cos_y, -up * self.cos_y, x * self.cos_y + z * self.sin_y)
    }

    /// Where the place comes to lie in the plane.
    fn place(self, x: f64, y: f64, depth: f64) -> (f64, f64) {
        let z = y * self.sin_x - depth * self.cos_x;
        (x * self.cos_y + z * self.sin_y, y * self.cos_x + depth * self.sin_x)
    }
}

/// A solution for one c.
#[derive(Clone, Copy)]
struct Found {
    c: f64,
    q: [f64; 3],
    rms: f64,
    shoulder: f64,
}

/// What one round found, from which the next sets out.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Best {
    /// The least rms gap, and its seat.
    least_rms: f64,
    nearest: [f64; 3],
    /// Where the gap that may be given is spent; none before the first round.
    spent: Option<f64>,
    /// The answer.
    c: f64,
    q: [f64; 3],
}

impl Best {
    const fn first(q: [f64; 3]) -> Self {
        Self { least_rms: 0.0, nearest: q, spent: None, c: 0.0, q }
    }
}

impl Matched {
    fn of(rim: &SpaceLine, apex: &SpaceLine) -> Self {
        let [x, y, mut depth] = rim.at_shares_of(apex);
        let mean = rim.mean_depth();
        for d in &mut depth {
            *d -= mean;
        }
        Self { weight: apex.weights(), x, y, depth, hold: 0.0 }
    }

    /// The seat with the least rms gap from a fixed apex.
    fn free(&self, apex: &[f64], start: [f64; 3]) -> Result<[f64; 3], NoLens> {
        self.minimum(&Bounds { least: apex, most: apex }, 0.0, start, start)
    }

    /// The seat that minimises mean of min over a in bounds of (a − s)² + 2 c a, held to the one that it comes from.
    fn minimum(&self, bounds: &Bounds<'_>, c: f64, start: [f64; 3], from: [f64; 3]) -> Result<[f64; 3], NoLens> {
        let most_tilt = MOST_TILT_DEG.to_radians();
        let mut q = start;
        let (mut value, mut gradient, mut hessian) = self.slopes(bounds, c, q, from);
        let size = |s: [f64; 3]| s[0].abs().max(ARM * s[1].abs()).max(ARM * s[2].abs());
        // Where few places are held by their bounds a step goes far astray: then it is pulled towards the slope.
        let mut pull = LEAST_PULL;
        let mut last = f64::INFINITY;
        for _ in 0..MOST_STEPS {
            // A tilt at its bound that would go further is held there.
            let held: [bool; 3] =
                core::array::from_fn(|i| i > 0 && q[i].abs() >= most_tilt * (1.0 - 1e-12) && gradient[i] * q[i] < 0.0);
            let step = newton(hessian, gradient, held, pull);
            let mut next: [f64; 3] = core::array::from_fn(|i| q[i] + step[i]);
            for tilt in &mut next[1..] {
                *tilt = tilt.clamp(-most_tilt, most_tilt);
            }
            last = size(core::array::from_fn(|i| next[i] - q[i]));
            let (v, g, h) = self.slopes(bounds, c, next, from);
            let promised: f64 = (0..3).map(|i| gradient[i] * (next[i] - q[i])).sum();
            if v <= value + ENOUGH * promised.min(0.0) {
                (q, value, gradient, hessian) = (next, v, g, h);
                pull = (pull / CHANGE_OF_PULL).max(LEAST_PULL);
            } else {
                pull = (pull * CHANGE_OF_PULL).max(FIRST_PULL);
            }
            if last < LAST_STEP {
                return Ok(q);
            }
        }
        if gradient[0].abs().max(gradient[1].abs() / ARM).max(gradient[2].abs() / ARM) <= LEVEL {
            return Ok(q);
        }
        Err(NoLens::NotSettled { what: "the seat of the lens in its rim", residual: last })
    }

    /// Value, gradient and second derivatives (upper triangle, row by row) of what [`Self::minimum`] minimises.
    fn slopes(&self, bounds: &Bounds<'_>, c: f64, q: [f64; 3], from: [f64; 3]) -> (f64, [f64; 3], [f64; 6]) {
        let turn = Turn::of(q);
        let (mut value, mut gradient, mut hessian) = (0.0, [0.0; 3], [0.0; 6]);
        // Depth and its slopes are linear in the place: −forward + a·place, b·place, e·place.
        let Turn { sin_x, cos_x, sin_y, cos_y } = turn;
        let (ay, ad) = (-sin_x * cos_y, cos_x * cos_y);
        let (ey, ed) = (sin_x * sin_y, -cos_x * sin_y);
        let places = self.x.iter().zip(&self.y).zip(&self.depth).zip(&self.weight);
        for ((((x, y), d), &w), (&least, &most)) in places.zip(bounds.least.iter().zip(bounds.most)) {
            let depth = x * sin_y + y * ay + d * ad;
            let by_x = -(y * ad + d * -ay);
            let by_y = x * cos_y + y * ey + d * ed;
            let s = depth - q[0];
            let free = s - c;
            let apex = free.max(least).min(most);
            let off = s - apex;
            value += w * (off * off + 2.0 * c * apex);
            let fixed = apex != free;
            let slope = 2.0 * w * if fixed { off } else { c };
            gradient[0] -= slope;
            gradient[1] += slope * by_x;
            gradient[2] += slope * by_y;
            let w = if fixed { 2.0 * w } else { 0.0 };
            let (wx, wy) = (w * by_x, w * by_y);
            hessian[0] += w;
            hessian[1] -= wx;
            hessian[2] -= wy;
            hessian[3] += wx * by_x;
            hessian[4] += wx * by_y;
            hessian[5] += wy * by_y;
        }
        for (i, second) in [(0, 0), (1, 3), (2, 5)] {
            let (hold, off) = (self.hold * if i == 0 { 1.0 } else { ARM * ARM }, q[i] - from[i]);
            value += hold * off * off;
            gradient[i] += 2.0 * hold * off;
            hessian[second] += 2.0 * hold;
        }
        (value, gradient, hessian)
    }

    /// rms gap of an apex under a seat, and the gaps.
    fn gap(&self, apex: &[f64], q: [f64; 3]) -> (f64, Vec<f64>) {
        let turn = Turn::of(q);
        let gap: Vec<f64> =
            (0..apex.len()).map(|i| apex[i] + q[0] - turn.depth(self.x[i], self.y[i], self.depth[i]).0).collect();
        let square: f64 = gap.iter().zip(&self.weight).map(|(g, w)| w * g * g).sum();
        (square.max(0.0).sqrt(), gap)
    }

    /// The apex that goes with a seat.
    fn apex(&self, bounds: &Bounds<'_>, c: f64, q: [f64; 3]) -> Vec<f64> {
        let turn = Turn::of(q);
        (0..self.weight.len())
            .map(|i| {
                let s = turn.depth(self.x[i], self.y[i], self.depth[i]).0 - q[0];
                (s - c).max(bounds.least[i]).min(bounds.most[i])
            })
            .collect()
    }

    /// rms gap and mean front shoulder of what goes with a seat.
    fn measured(&self, bounds: &Bounds<'_>, front: &[f64], c: f64, q: [f64; 3]) -> (f64, f64) {
        let turn = Turn::of(q);
        let (mut square, mut shoulder) = (0.0, 0.0);
        for (i, front) in front.iter().enumerate() {
            let s = turn.depth(self.x[i], self.y[i], self.depth[i]).0 - q[0];
            let apex = (s - c).max(bounds.least[i]).min(bounds.most[i]);
            square += self.weight[i] * (apex - s) * (apex - s);
            shoulder += self.weight[i] * (apex - front);
        }
        (square.sqrt(), shoulder)
    }
}

/// Solves for a Newton step, pulled by so much; a tilt that is held does not move.
fn newton(h: [f64; 6], g: [f64; 3], held: [bool; 3], pull: f64) -> [f64; 3] {
    let mut m = [
        [h[0] + pull, h[1], h[2], -g[0]],
        [h[1], h[3] + pull * ARM * ARM, h[4], -g[1]],
        [h[2], h[4], h[5] + pull * ARM * ARM, -g[2]],
    ];
    for (i, _) in held.iter().enumerate().filter(|(_, held)| **held) {
        for line in &mut m {
            line[i] = 0.0;
        }
        m[i] = [0.0; 4];
        m[i][i] = 1.0;
    }
    for i in 0..3 {
        let pivot = m[i];
        for line in &mut m[i + 1..] {
            let factor = line[i] / pivot[i];
            for (cell, above) in line.iter_mut().zip(pivot) {
                *cell -= factor * above;
            }
        }
    }
    let mut x = [0.0; 3];
    for i in (0..3).rev() {
        let known: f64 = (i + 1..3).map(|j| m[i][j] * x[j]).sum();
        x[i] = (m[i][3] - known) / m[i][i];
    }
    x
}

/// The best seat for fixed shares.
fn best(matched: &Matched, bounds: &Bounds<'_>, front: &[f64], gap_given: f64, last: &Best) -> Result<Best, NoLens> {
    let at = |c: f64, start: [f64; 3]| -> Result<Found, NoLens> {
        let q = matched.minimum(bounds, c, start, if c == 0.0 { last.nearest } else { last.q })?;
        let (rms, shoulder) = matched.measured(bounds, front, c, q);
        Ok(Found { c, q, rms, shoulder })
    };
    let nearest = at(0.0, last.nearest)?;
    let given = nearest.rms + gap_given.max(LEAST_GIVEN);
    let floor = (gap_given / 20.0).clamp(LEAST_C, LEAST_GIVEN);
    // The gap grows with c: until what may be given is spent, or the apex lies on its front bound all round.
    let spent = match last.spent {
        Some(c) => close_by(&at, at(c, last.q)?, floor, |f| f.rms - given)?,
        None => {
            let mut low = at(floor, nearest.q)?;
            let mut c = gap_given.max(0.001);
            loop {
                let found = at(c, low.q)?;
                if found.rms > given {
                    break between(&at, low, found, |f| f.rms - given)?;
                }
                low = found;
                if c > MOST_GIVEN || matched.apex(bounds, c, found.q) == bounds.least {
                    break low;
                }
                c *= WIDER;
            }
        }
    };
    // Equals, to a micrometre: of them the least gap.
    let wanted = spent.shoulder + EQUAL_SHOULDERS;
    let over = |f: &Found| wanted - f.shoulder;
    let chosen = if last.spent.is_some() {
        close_by(&at, at(last.c.min(spent.c), spent.q)?, floor, over)?
    } else {
        let first = at(floor.min(spent.c), spent.q)?;
        if over(&first) < 0.0 { between(&at, first, spent, over)? } else { first }
    };
    Ok(Best { least_rms: nearest.rms, nearest: nearest.q, spent: Some(spent.c), c: chosen.c, q: chosen.q })
}

/// A zero found to this is found, mm of gap or shoulder.
const ZERO: f64 = 1e-7;

/// The c near a known one at which a growing quantity is zero: a bracket first, a thousandth to its side and wider.
fn close_by(
    at: &impl Fn(f64, [f64; 3]) -> Result<Found, NoLens>,
    near: Found,
    least: f64,
    of: impl Fn(&Found) -> f64,
) -> Result<Found, NoLens> {
    let value = of(&near);
    let mut end = near;
    let mut wider = 1e-3;
    for _ in 0..8 {
        if of(&end).abs() <= ZERO {
            break;
        }
        let c = if value > 0.0 { (end.c * (1.0 - wider)).max(least) } else { end.c * (1.0 + wider) };
        if c == end.c {
            break;
        }
        let next = at(c, end.q)?;
        if (of(&next) > 0.0) != (value > 0.0) {
            return if value > 0.0 { between(at, next, end, of) } else { between(at, end, next, of) };
        }
        end = next;
        wider = (wider * 8.0).min(0.9);
    }
    // Found; or it no longer changes: the apex lies on its front bound all round, or the rim within the room.
    Ok(end)
}

/// The c between two at which a growing quantity is zero: regula falsi, the end that stays halved in weight.
fn between(
    at: &impl Fn(f64, [f64; 3]) -> Result<Found, NoLens>,
    mut low: Found,
    mut high: Found,
    of: impl Fn(&Found) -> f64,
) -> Result<Found, NoLens> {
    let (mut below, mut above) = (of(&low), of(&high));
    let mut side = 0;
    for _ in 0..60 {
        if above - below <= 0.0 || high.c - low.c < 1e-12 {
            break;
        }
        let share = (-below / (above - below)).clamp(0.01, 0.99);
        let found = at(low.c + share * (high.c - low.c), low.q)?;
        let value = of(&found);
        if value.abs() < ZERO {
            return Ok(found);
        }
        if value <= 0.0 {
            (low, below) = (found, value);
            if side == -1 {
                above *= 0.5;
            }
            side = -1;
        } else {
            (high, above) = (found, value);
            if side == 1 {
                below *= 0.5;
            }
            side = 1;
        }
    }
    Ok(low)
}

fn seated(places: &Places, room: &EdgeRoom, matched: &Matched, apex: SpaceLine, best: Best) -> Seated {
    let q = best.q;
    let (rms, gap) = matched.gap(apex.depths(), q);
    let greatest = (0..gap.len()).fold(0, |best, i| if gap[i].abs() > gap[best].abs() { i } else { best });
    let turn = Turn::of(q);
    let aside = |i: usize| {
        let (x, y) = turn.place(matched.x[i], matched.y[i], matched.depth[i]);
        let (dx, dy) = (x - places.x[i], y - places.y[i]);
        (dx * dx + dy * dy).sqrt()
    };
    let side = (0..gap.len()).map(aside).fold(0.0, f64::max);
    let shoulder: f64 = (0..gap.len()).map(|i| matched.weight[i] * (apex.depths()[i] - room.front[i])).sum();
    Seated {
        seat: Seat { forward: Mm::new(q[0]), tilt_x: Angle::from_rad(q[1]), tilt_y: Angle::from_rad(q[2]) },
        gap_rms: Mm::new(rms),
        gap_least_rms: Mm::new(best.least_rms),
        gap_greatest: Mm::new(gap[greatest]),
        gap_greatest_at: Angle::from_rad(places.t[greatest]),
        side_greatest: Mm::new(side),
        mean_front_shoulder: Mm::new(shoulder),
        gap,
        apex,
        best,
    }
}
