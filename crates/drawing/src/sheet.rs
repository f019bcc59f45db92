//! A sheet while it is being drawn: what lies on it already, and where a label still has room.
//!
//! Lines are drawn first, then texts with a fixed place, then labels, the weightiest first: each label tries its places,
//! never takes one where another text stands, and of the rest the one that crosses least.

use units::Mm;
use units::maths::hypot;

use crate::scene::{Anchor, Circle, Frame, Ink, Item, Path, Run, Scene, Spot, Stroke, Text, Weight, spot};
use crate::typeface::CAP;

/// Labels, units, the ring: cap height 1.8 mm.
pub(crate) const LABEL: f64 = 2.6;
/// Text and soundings: cap height 2.2 mm.
pub(crate) const TEXT: f64 = 3.2;
/// Figures of a drawing: cap height 2.5 mm.
pub(crate) const FIGURE: f64 = 3.6;
/// The figures beside a drawing: cap height 4.2 mm.
pub(crate) const GREAT: f64 = 6.0;

/// Sheets up to this wide show the smallest type at 16 pixels on a page of 1216.
const WIDEST: f64 = 197.0;
/// Distance kept between two texts, mm.
const APART: f64 = 0.9;
/// Distance from one line of a label to the next, as a share of its size.
pub(crate) const LEADING: f64 = 1.22;
/// What it costs a label to stand at none of its places.
const ELSEWHERE: f64 = 50.0;
/// Distance kept to the sheet's edge, mm.
const EDGE: f64 = 1.5;

/// The sheet.
#[derive(Clone)]
pub(crate) struct Sheet {
    pub(crate) width: f64,
    pub(crate) height: f64,
    /// How much larger the type is than usual, so that it stays legible where a wide sheet is shown on a narrow page.
    pub(crate) type_scale: f64,
    items: Vec<Item>,
    texts: Vec<Text>,
    taken: Vec<Frame>,
    obstacles: Vec<Obstacle>,
    grounds: Vec<(Vec<Spot>, Ink)>,
}

/// A line that labels keep off, in stretches, so that most of a long one is passed over at a glance.
#[derive(Clone)]
struct Obstacle {
    stretches: Vec<(Frame, Vec<Spot>)>,
    frame: Frame,
    /// What it costs a text to lie on it.
    cost: f64,
    /// What it costs a leader to cross it.
    leader_cost: f64,
}

impl Obstacle {
    /// Whether a piece of it is one of these.
    fn has(&self, frame: &Frame, is: impl Fn(Spot, Spot) -> bool) -> bool {
        let near = |f: &Frame| f.grown(0.01).overlaps(frame);
        near(&self.frame) && self.stretches.iter().any(|(f, spots)| near(f) && spots.windows(2).any(|w| is(w[0], w[1])))
    }
}

/// Pieces in a stretch of an obstacle.
const STRETCH: usize = 12;

/// The rectangle round some places.
fn round_about(spots: &[Spot]) -> Frame {
    let none = Frame { left: f64::MAX, top: f64::MAX, right: f64::MIN, bottom: f64::MIN };
    spots.iter().fold(none, |f, s| Frame {
        left: f.left.min(s.x),
        top: f.top.min(s.y),
        right: f.right.max(s.x),
        bottom: f.bottom.max(s.y),
    })
}

/// Words that still look for a place.
#[derive(Clone)]
pub(crate) struct Label {
    /// The lines, each part in its weight.
    pub(crate) lines: Vec<Vec<(Weight, String)>>,
    pub(crate) size: f64,
    pub(crate) ink: Ink,
    /// A sign that stands before the words.
    pub(crate) sign: Option<Sign>,
    /// What it is the name of, and how far from there the leader ends, mm; a leader is drawn when it stands away.
    pub(crate) leads_to: Option<(Spot, f64)>,
    /// The leader's line.
    pub(crate) leader: Stroke,
}

/// A sign before the words of a label.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Sign {
    /// Fat bar: the edge seen end on.
    Thickest,
    /// Thin bar.
    Thinnest,
    /// Filled octagon with a bar.
    Stop,
}

/// A place that a label may take, with what it costs to be there.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Place {
    pub(crate) at: Spot,
    pub(crate) anchor: Anchor,
    pub(crate) cost: f64,
}

impl Label {
    pub(crate) fn new(size: f64, ink: Ink, weight: Weight, words: impl Into<String>) -> Self {
        Self::of(size, ink, vec![vec![(weight, words.into())]])
    }

    pub(crate) const fn of(size: f64, ink: Ink, lines: Vec<Vec<(Weight, String)>>) -> Self {
        Self { lines, size, ink, sign: None, leads_to: None, leader: crate::lines::THIN }
    }

    pub(crate) const fn sign(mut self, sign: Sign) -> Self {
        self.sign = Some(sign);
        self
    }

    pub(crate) const fn leads_to(mut self, at: Spot, short_of: f64) -> Self {
        self.leads_to = Some((at, short_of));
        self
    }

    pub(crate) const fn leader(mut self, stroke: Stroke) -> Self {
        self.leader = stroke;
        self
    }

    fn scaled(&self, by: f64) -> Self {
        Self { size: self.size * by, ..self.clone() }
    }

    fn sign_width(&self) -> f64 {
        match self.sign {
            None => 0.0,
            Some(Sign::Thinnest) => 0.45 * self.size,
            Some(Sign::Thickest) => 0.7 * self.size,
            Some(Sign::Stop) => 1.35 * self.size,
        }
    }

    /// Texts, beginning at x = 0 with the first base line at y = 0.
    fn texts(&self) -> Vec<Text> {
        let from = self.sign_width();
        self.lines
            .iter()
            .enumerate()
            .map(|(i, parts)| Text {
                at: spot(from, i as f64 * LEADING * self.size),
                anchor: Anchor::Start,
                size: self.size,
                ink: self.ink,
                halo: None,
                upwards: false,
                parts: parts.clone(),
            })
            .collect()
    }

    /// The rectangle it covers when its first base line begins at the origin.
    fn frame(&self) -> Frame {
        let mut frame = Frame { left: 0.0, top: 0.0, right: 0.0, bottom: 0.0 };
        for text in self.texts() {
            let f = text.frame();
            frame.right = frame.right.max(f.right);
            frame.top = frame.top.min(f.top);
            frame.bottom = frame.bottom.max(f.bottom);
        }
        frame
    }
}

fn shifted(frame: Frame, by: Spot) -> Frame {
    Frame { left: frame.left + by.x, right: frame.right + by.x, top: frame.top + by.y, bottom: frame.bottom + by.y }
}

/// Places round a point: `from` to `to` mm away in 24 directions, the nearer the better; `towards`, in degrees with the
/// sheet's y up, is the direction that is liked best.
pub(crate) fn around(at: Spot, from: f64, to: f64, towards: f64) -> Vec<Place> {
    let mut places = Vec::new();
    let steps = 12;
    for ring in 0..steps {
        let away = from + (to - from) * f64::from(ring) / f64::from(steps - 1);
        for i in 0..24 {
            let deg = towards + 15.0 * f64::from(i);
            let (x, y) = (units::maths::cos_deg(deg), units::maths::sin_deg(deg));
            let anchor = match x {
                x if x > 0.2 => Anchor::Start,
                x if x < -0.2 => Anchor::End,
                _ => Anchor::Middle,
            };
            let turned = 1.0 - units::maths::cos_deg(deg - towards);
            places.push(Place { at: at.by(x * away, -y * away), anchor, cost: 0.22 * (away - from) + 1.2 * turned });
        }
    }
    places
}

impl Sheet {
    pub(crate) const fn new(width: f64, height: f64) -> Self {
        Self {
            width,
            height,
            type_scale: if width > WIDEST { width / WIDEST } else { 1.0 },
            items: Vec::new(),
            texts: Vec::new(),
            taken: Vec::new(),
            obstacles: Vec::new(),
            grounds: Vec::new(),
        }
    }

    /// A line; the wider it is, the less a label likes to cross it.
    pub(crate) fn line(&mut self, spots: &[Spot], stroke: Stroke) {
        self.run(spots, false, None, Some(stroke));
    }

    /// A closed area.
    pub(crate) fn area(&mut self, spots: &[Spot], fill: Option<Ink>, stroke: Option<Stroke>) {
        self.run(spots, true, fill, stroke);
    }

    fn run(&mut self, spots: &[Spot], closed: bool, fill: Option<Ink>, stroke: Option<Stroke>) {
        if let Some(stroke) = stroke {
            self.avoid(spots, closed, cost_of(stroke));
        }
        if let Some(fill) = fill.filter(|i| matches!(i, Ink::Water | Ink::Buff | Ink::Paper)) {
            self.grounds.push((spots.to_vec(), fill));
        } else if fill.is_some() {
            // A solid mark: nothing is to be written on it.
            self.avoid(spots, true, 40.0);
        }
        self.items.push(Item::Path(Path { runs: vec![Run { spots: spots.to_vec(), closed }], fill, stroke }));
    }

    /// Many short lines in one, such as hatching; labels may cross them.
    pub(crate) fn strokes(&mut self, runs: Vec<Vec<Spot>>, stroke: Stroke) {
        let runs: Vec<Run> = runs.into_iter().map(|spots| Run { spots, closed: false }).collect();
        if !runs.is_empty() {
            for run in &runs {
                self.avoid(&run.spots, false, 0.4);
            }
            self.items.push(Item::Path(Path { runs, fill: None, stroke: Some(stroke) }));
        }
    }

    pub(crate) fn circle(&mut self, centre: Spot, radius: f64, fill: Option<Ink>, stroke: Option<Stroke>) {
        let round: Vec<Spot> = ring(centre, radius, 72);
        if let Some(stroke) = stroke {
            self.avoid(&round, true, cost_of(stroke));
        }
        match fill {
            Some(ink @ (Ink::Water | Ink::Buff | Ink::Paper)) => self.grounds.push((round, ink)),
            Some(_) => self.avoid(&round, true, 40.0),
            None => {}
        }
        self.items.push(Item::Circle(Circle { centre, radius, fill, stroke }));
    }

    /// Things of which only the part inside a circle is seen; labels keep off the whole of it.
    pub(crate) fn inside(&mut self, centre: Spot, radius: f64, items: Vec<Item>) {
        self.items.push(Item::Inside { centre, radius, items });
    }

    /// Keeps labels off a line that is drawn elsewhere.
    pub(crate) fn avoid(&mut self, spots: &[Spot], closed: bool, cost: f64) {
        self.obstacle(spots, closed, cost, 0.08 * cost);
    }

    fn obstacle(&mut self, spots: &[Spot], closed: bool, cost: f64, leader_cost: f64) {
        let mut spots = spots.to_vec();
        if closed && let Some(&first) = spots.first() {
            spots.push(first);
        }
        let stretches = (0..spots.len().saturating_sub(1))
            .step_by(STRETCH)
            .map(|i| {
                let part = spots[i..(i + STRETCH + 1).min(spots.len())].to_vec();
                (round_about(&part), part)
            })
            .collect();
        self.obstacles.push(Obstacle { stretches, frame: round_about(&spots), cost, leader_cost });
    }

    /// Keeps every label out of a rectangle.
    pub(crate) fn reserve(&mut self, frame: Frame) {
        self.taken.push(frame);
    }

    /// Whether a rectangle is free of text.
    fn is_free(&self, frame: &Frame, clear: f64) -> bool {
        let wide = frame.grown(clear);
        !self.taken.iter().any(|t| t.overlaps(&wide))
    }

    /// What is under a place: the tint drawn last there.
    fn ground(&self, at: Spot) -> Ink {
        self.grounds.iter().rev().find(|(spots, _)| holds(spots, at)).map_or(Ink::Paper, |g| g.1)
    }

    /// A text at a fixed place.
    pub(crate) fn write(&mut self, mut text: Text) {
        text.size *= self.type_scale;
        let frame = text.frame();
        if text.halo.is_none() {
            text.halo = Some(self.ground(frame.middle()));
        }
        self.taken.push(frame);
        self.texts.push(text);
    }

    /// One weight, one line, at a fixed place.
    pub(crate) fn words(
        &mut self,
        at: Spot,
        anchor: Anchor,
        size: f64,
        ink: Ink,
        weight: Weight,
        words: impl Into<String>,
    ) {
        let parts = vec![(weight, words.into())];
        self.write(Text { at, anchor, size, ink, halo: None, upwards: false, parts });
    }

    /// What it costs a label to cover a rectangle.
    fn crossed(&self, frame: &Frame) -> f64 {
        let wide = frame.grown(0.25);
        self.obstacles.iter().filter(|o| o.has(&wide, |a, b| wide.meets(a, b))).map(|o| o.cost).sum()
    }

    fn on_sheet(&self, frame: &Frame) -> bool {
        frame.left >= EDGE
            && frame.top >= EDGE
            && frame.right <= self.width - EDGE
            && frame.bottom <= self.height - EDGE
    }

    /// Sets two labels, whichever first serves both better.
    pub(crate) fn two_labels(&mut self, labels: &[(Label, Vec<Place>); 2]) {
        let [a, b] = labels;
        let mut other = self.clone();
        let cost = self.label(&a.0, &a.1) + self.label(&b.0, &b.1);
        if other.label(&b.0, &b.1) + other.label(&a.0, &a.1) < cost {
            *self = other;
        }
    }

    /// Sets a label at the best of its places; where all are taken, at the free one nearest to the first. Returns what the
    /// place costs.
    pub(crate) fn label(&mut self, label: &Label, places: &[Place]) -> f64 {
        let label = &label.scaled(self.type_scale);
        let best = self.best(label, places, APART).or_else(|| {
            let first = places.first()?;
            let (at, cost) = self.best(label, &self.anywhere(first.at), APART)?;
            Some((at, cost + ELSEWHERE))
        });
        best.map_or(f64::INFINITY, |(at, cost)| {
            self.settle(label, at);
            cost
        })
    }

    /// Sets a label only where one of its places is free, `clear` mm from other texts, and costs no more than `most`.
    pub(crate) fn label_if_room(&mut self, label: &Label, places: &[Place], clear: f64, most: f64) {
        let label = &label.scaled(self.type_scale);
        if let Some((at, _)) = self.best(label, places, clear).filter(|(_, cost)| *cost <= most) {
            self.settle(label, at);
        }
    }

    /// Places all over the sheet, dearer with distance.
    fn anywhere(&self, from: Spot) -> Vec<Place> {
        let mut places = Vec::new();
        let (columns, rows) = ((self.width / 2.0) as u32, (self.height / 1.5) as u32);
        for row in 0..rows {
            for column in 0..columns {
                let at = spot(f64::from(column) * 2.0, f64::from(row) * 1.5);
                places.push(Place { at, anchor: Anchor::Start, cost: 0.4 * hypot(at.x - from.x, at.y - from.y) });
            }
        }
        places
    }

    fn best(&self, label: &Label, places: &[Place], clear: f64) -> Option<(Spot, f64)> {
        let frame = label.frame();
        let mut best: Option<(Spot, f64)> = None;
        for place in places {
            let before = match place.anchor {
                Anchor::Start => 0.0,
                Anchor::Middle => 0.5 * frame.right,
                Anchor::End => frame.right,
            };
            // The place is the middle of the words' height, wherever they stand.
            let lines = (label.lines.len() - 1) as f64 * LEADING * label.size;
            let at = place.at.by(-before, 0.5 * CAP * label.size - 0.5 * lines);
            let here = shifted(frame, at);
            if !self.on_sheet(&here) || !self.is_free(&here, clear) {
                continue;
            }
            let mut cost = place.cost + self.crossed(&here);
            if best.is_some_and(|b| b.1 <= cost) {
                continue;
            }
            if let Some((to, short_of)) = label.leads_to
                && let Some((from, end)) = leader(&here, to, short_of)
            {
                if self.taken.iter().any(|t| t.meets(from, end)) {
                    continue;
                }
                cost += self.leader_crosses(from, end) + 0.05 * from.to(end);
            }
            if best.is_none_or(|b| cost < b.1) {
                best = Some((at, cost));
            }
        }
        best
    }

    fn leader_crosses(&self, a: Spot, b: Spot) -> f64 {
        let frame = round_about(&[a, b]).grown(0.01);
        self.obstacles.iter().filter(|o| o.has(&frame, |c, d| cross(a, b, c, d))).map(|o| o.leader_cost).sum()
    }

    fn settle(&mut self, label: &Label, at: Spot) {
        let frame = shifted(label.frame(), at);
        if let Some((to, short_of)) = label.leads_to
            && let Some((from, end)) = leader(&frame, to, short_of)
        {
            self.line(&[from, end], label.leader);
            // Leaders that cross point to the wrong thing.
            self.obstacle(&[from, end], false, 60.0, 25.0);
        }
        if let Some(sign) = label.sign {
            self.sign(sign, at, label);
        }
        let ground = self.ground(frame.middle());
        for mut text in label.texts() {
            text.at = text.at.by(at.x, at.y);
            text.halo = Some(ground);
            self.texts.push(text);
        }
        self.taken.push(frame);
    }

    fn sign(&mut self, sign: Sign, at: Spot, label: &Label) {
        let high = CAP * label.size;
        match sign {
            Sign::Thickest | Sign::Thinnest => {
                let wide = if sign == Sign::Thickest { 0.42 } else { 0.14 } * label.size;
                let corners = [at, at.by(wide, 0.0), at.by(wide, -high), at.by(0.0, -high)];
                self.area(&corners, Some(label.ink), None);
            }
            Sign::Stop => {
                let r = 0.62 * high;
                crate::marks::octagon(self, at.by(r * 1.05, -0.5 * high), r);
            }
        }
    }

    /// The finished scene; texts lie over all else.
    pub(crate) fn scene(mut self, name: String, title: String, description: String) -> Scene {
        self.items.extend(self.texts.into_iter().map(Item::Text));
        Scene { name, title, description, width: Mm::new(self.width), height: Mm::new(self.height), items: self.items }
    }
}

/// Corners of a ring.
pub(crate) fn ring(centre: Spot, radius: f64, corners: u32) -> Vec<Spot> {
    (0..corners)
        .map(|i| {
            let deg = f64::from(i) * 360.0 / f64::from(corners);
            centre.by(radius * units::maths::cos_deg(deg), -radius * units::maths::sin_deg(deg))
        })
        .collect()
}

/// A leader from the side of a label that faces its point to a little short of it; none where both touch.
fn leader(frame: &Frame, to: Spot, short_of: f64) -> Option<(Spot, Spot)> {
    let gap = frame.grown(0.4);
    let middle = gap.middle();
    let sides = [
        spot(gap.left, middle.y),
        spot(gap.right, middle.y),
        spot(to.x.clamp(gap.left + 1.0, (gap.right - 1.0).max(gap.left + 1.0)), gap.top),
        spot(to.x.clamp(gap.left + 1.0, (gap.right - 1.0).max(gap.left + 1.0)), gap.bottom),
    ];
    let from = sides.into_iter().min_by(|a, b| a.to(to).total_cmp(&b.to(to)))?;
    let length = from.to(to);
    if length < short_of + 1.2 || holds_frame(&gap, to) {
        return None;
    }
    let k = (length - short_of) / length;
    Some((from, spot(from.x + (to.x - from.x) * k, from.y + (to.y - from.y) * k)))
}

fn holds_frame(frame: &Frame, at: Spot) -> bool {
    at.x > frame.left && at.x < frame.right && at.y > frame.top && at.y < frame.bottom
}

/// How much a label dislikes to cross a line.
fn cost_of(stroke: Stroke) -> f64 {
    match (stroke.ink, stroke.width) {
        (Ink::Line, w) if w < 0.18 => 0.3,
        (Ink::Line, _) => 5.0,
        (_, w) if w < 0.25 => 9.0,
        (_, w) if w < 0.45 => 12.0,
        _ => 40.0,
    }
}

fn cross(a: Spot, b: Spot, c: Spot, d: Spot) -> bool {
    let side = |p: Spot, q: Spot, r: Spot| (q.x - p.x) * (r.y - p.y) - (q.y - p.y) * (r.x - p.x);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

/// Whether a place lies in a closed area, by the even-odd rule.
pub(crate) fn holds(spots: &[Spot], at: Spot) -> bool {
    let mut inside = false;
    let mut before = spots.len().wrapping_sub(1);
    for (i, p) in spots.iter().enumerate() {
        let q = spots[before];
        if (p.y > at.y) != (q.y > at.y) && at.x < p.x + (at.y - p.y) / (q.y - p.y) * (q.x - p.x) {
            inside = !inside;
        }
        before = i;
    }
    inside
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_never_share_a_place() {
        let mut sheet = Sheet::new(60.0, 40.0);
        for i in 0..12 {
            let label = Label::new(TEXT, Ink::Ink, Weight::Regular, format!("label {i}"));
            sheet.label(&label, &around(spot(30.0, 20.0), 1.0, 6.0, 90.0));
        }
        let scene = sheet.scene(String::new(), String::new(), String::new());
        let frames: Vec<Frame> = scene.texts().map(Text::frame).collect();
        assert_eq!(frames.len(), 12);
        for (i, a) in frames.iter().enumerate() {
            assert!(frames[..i].iter().all(|b| !a.overlaps(b)), "{i}");
        }
    }

    #[test]
    fn a_label_moves_off_a_line() {
        let mut sheet = Sheet::new(60.0, 40.0);
        sheet.line(&[spot(0.0, 20.0), spot(60.0, 20.0)], crate::lines::OUTLINE);
        sheet.label(&Label::new(TEXT, Ink::Ink, Weight::Regular, "words"), &around(spot(30.0, 20.0), 1.0, 8.0, 0.0));
        let scene = sheet.scene(String::new(), String::new(), String::new());
        let frame = scene.texts().next().unwrap().frame();
        assert!(!frame.meets(spot(0.0, 20.0), spot(60.0, 20.0)), "{frame:?}");
    }

    #[test]
    fn a_piece_of_line_meets_a_frame_only_where_it_passes_through() {
        let frame = Frame { left: 1.0, top: 1.0, right: 3.0, bottom: 2.0 };
        assert!(frame.meets(spot(0.0, 0.0), spot(4.0, 3.0)));
        assert!(!frame.meets(spot(0.0, 0.0), spot(0.5, 3.0)));
        assert!(!frame.meets(spot(1.0, 1.0), spot(3.0, 1.0)), "along the edge");
        assert!(frame.meets(spot(2.0, 1.5), spot(2.1, 1.5)), "within");
    }
}
