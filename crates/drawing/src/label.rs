//! Words that look for a place: they never stand on another text, and of the places that are free they take the one that
//! crosses least.

use units::maths::hypot;

use crate::scene::{Anchor, Frame, Ink, Spot, Stroke, Text, Weight, spot};
use crate::sheet::{LEADING, Sheet, round_about};
use crate::typeface::CAP;

/// Distance kept between two texts, mm.
const APART: f64 = 0.9;

/// What it costs a label to stand at none of its places.
const ELSEWHERE: f64 = 50.0;

/// Distance kept to the sheet's edge, mm.
const EDGE: f64 = 1.5;

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

    /// Sets a label only where one of its places is free, `clear` mm from other texts, and costs no more than `most`; the
    /// line under it is blotted out, so that it is not read as part of a figure.
    pub(crate) fn label_if_room(&mut self, label: &Label, places: &[Place], clear: f64, most: f64) {
        let label = &label.scaled(self.type_scale);
        if let Some((at, _)) = self.best(label, places, clear).filter(|(_, cost)| *cost <= most) {
            let Frame { left, top, right, bottom } = shifted(label.frame(), at);
            let ground = self.ground(spot(0.5 * (left + right), 0.5 * (top + bottom)));
            self.area(
                &[spot(left, top), spot(right, top), spot(right, bottom), spot(left, bottom)],
                Some(ground),
                None,
            );
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
                cost += self.leader_crosses(from, end) + 0.1 * from.to(end);
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

fn cross(a: Spot, b: Spot, c: Spot, d: Spot) -> bool {
    let side = |p: Spot, q: Spot, r: Spot| (q.x - p.x) * (r.y - p.y) - (q.y - p.y) * (r.x - p.x);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::TEXT;

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
}
