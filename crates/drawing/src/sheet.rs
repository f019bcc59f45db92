//! A sheet while it is being drawn: what lies on it already, and what of that a label would cross.
//!
//! Views draw lines first, then texts with a fixed place, then labels (`label.rs`), the weightiest first.

use units::Mm;

use crate::scene::{Anchor, Circle, Frame, Ink, Item, Path, Run, Scene, Spot, Stroke, Text, Weight};

/// Labels, units, the ring: cap height 1.8 mm.
pub(crate) const LABEL: f64 = 2.6;
/// Text and soundings: cap height 2.2 mm.
pub(crate) const TEXT: f64 = 3.2;
/// Figures of a drawing: cap height 2.5 mm.
pub(crate) const FIGURE: f64 = 3.6;
/// The figures beside a drawing: cap height 4.2 mm.
pub(crate) const GREAT: f64 = 6.0;

/// Sheets up to this wide show the smallest type at 16 pixels on a page of 1216.
pub(crate) const WIDEST: f64 = 197.0;
/// Distance from one line of a label to the next, as a share of its size.
pub(crate) const LEADING: f64 = 1.22;

/// The sheet.
#[derive(Clone)]
pub(crate) struct Sheet {
    pub(crate) width: f64,
    pub(crate) height: f64,
    /// How much larger the type is than usual, so that it stays legible where a wide sheet is shown on a narrow page.
    pub(crate) type_scale: f64,
    items: Vec<Item>,
    pub(crate) texts: Vec<Text>,
    pub(crate) taken: Vec<Frame>,
    pub(crate) obstacles: Vec<Obstacle>,
    grounds: Vec<(Vec<Spot>, Ink)>,
}

/// A line that labels keep off, in stretches, so that most of a long one is passed over at a glance.
#[derive(Clone)]
pub(crate) struct Obstacle {
    stretches: Vec<(Frame, Vec<Spot>)>,
    frame: Frame,
    /// What it costs a text to lie on it.
    pub(crate) cost: f64,
    /// What it costs a leader to cross it.
    pub(crate) leader_cost: f64,
}

impl Obstacle {
    /// Whether a piece of it is one of these.
    pub(crate) fn has(&self, frame: &Frame, is: impl Fn(Spot, Spot) -> bool) -> bool {
        let near = |f: &Frame| f.grown(0.01).overlaps(frame);
        near(&self.frame) && self.stretches.iter().any(|(f, spots)| near(f) && spots.windows(2).any(|w| is(w[0], w[1])))
    }
}

/// Pieces in a stretch of an obstacle.
const STRETCH: usize = 12;

/// The rectangle round some places.
pub(crate) fn round_about(spots: &[Spot]) -> Frame {
    let none = Frame { left: f64::MAX, top: f64::MAX, right: f64::MIN, bottom: f64::MIN };
    spots.iter().fold(none, |f, s| Frame {
        left: f.left.min(s.x),
        top: f.top.min(s.y),
        right: f.right.max(s.x),
        bottom: f.bottom.max(s.y),
    })
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

    pub(crate) fn obstacle(&mut self, spots: &[Spot], closed: bool, cost: f64, leader_cost: f64) {
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
    pub(crate) fn is_free(&self, frame: &Frame, clear: f64) -> bool {
        let wide = frame.grown(clear);
        !self.taken.iter().any(|t| t.overlaps(&wide))
    }

    /// What is under a place: the tint drawn last there.
    pub(crate) fn ground(&self, at: Spot) -> Ink {
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
