//! What a view consists of: lines, areas, circles and texts on a sheet in millimetres. A scene knows no file format.
//!
//! Coordinates are millimetres from the sheet's upper left corner, x to the right and y **down**, as paper is laid out;
//! the views turn the lens's y up into it.

use units::Mm;

use crate::typeface;

/// A drawing, ready to be written in any format.
#[derive(Debug, Clone, PartialEq)]
pub struct Scene {
    /// Short name of the view, fit for a file: `pair`, `blank-right`.
    pub name: String,
    /// Its heading, for those who hear it read.
    pub title: String,
    /// What it shows, with its figures, for those who hear it read.
    pub description: String,
    /// Width of the sheet.
    pub width: Mm,
    /// Height of the sheet.
    pub height: Mm,
    /// What is drawn, from the ground up.
    pub items: Vec<Item>,
}

/// A place on the sheet, mm from its upper left corner, y down.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Spot {
    /// To the right.
    pub x: f64,
    /// Down.
    pub y: f64,
}

/// A place on the sheet.
pub(crate) const fn spot(x: f64, y: f64) -> Spot {
    Spot { x, y }
}

impl Spot {
    /// Moved.
    pub(crate) const fn by(self, dx: f64, dy: f64) -> Self {
        Self { x: self.x + dx, y: self.y + dy }
    }

    /// Distance to another place, mm.
    pub(crate) fn to(self, other: Self) -> f64 {
        units::maths::hypot(other.x - self.x, other.y - self.y)
    }
}

/// One thing on the sheet.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    /// A line or an area of straight pieces.
    Path(Path),
    /// A circle.
    Circle(Circle),
    /// A line of text.
    Text(Text),
    /// Things of which only the part inside a circle is seen.
    Inside {
        /// The circle's centre.
        centre: Spot,
        /// Its radius, mm.
        radius: f64,
        /// The things.
        items: Vec<Item>,
    },
}

/// Straight pieces, in one or several runs; several runs fill by the even-odd rule.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    /// The runs.
    pub runs: Vec<Run>,
    /// What the area is filled with.
    pub fill: Option<Ink>,
    /// How the line is drawn.
    pub stroke: Option<Stroke>,
}

/// One run of straight pieces.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// Its corners.
    pub spots: Vec<Spot>,
    /// Whether it returns to its beginning.
    pub closed: bool,
}

/// A circle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Circle {
    /// Its centre.
    pub centre: Spot,
    /// Its radius, mm.
    pub radius: f64,
    /// What it is filled with.
    pub fill: Option<Ink>,
    /// How its line is drawn.
    pub stroke: Option<Stroke>,
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stroke {
    /// In what.
    pub ink: Ink,
    /// How wide, mm.
    pub width: f64,
    /// Lengths of dashes and gaps, mm; empty = full.
    pub dashes: &'static [f64],
}

/// A line of text.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    /// Where its base line begins, ends, or has its middle.
    pub at: Spot,
    /// Which of these.
    pub anchor: Anchor,
    /// Size of the type, mm: 0.698 of it is the height of a figure.
    pub size: f64,
    /// In what.
    pub ink: Ink,
    /// What it stands on where it crosses lines.
    pub halo: Option<Ink>,
    /// Whether it reads upwards instead of from left to right.
    pub upwards: bool,
    /// The words, each part in its weight.
    pub parts: Vec<(Weight, String)>,
}

/// Which point of a text's base line stands at its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// Its beginning.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}

/// Weight of the type.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Weight {
    /// 400.
    Regular,
    /// 500: figures.
    Medium,
    /// 600: what matters.
    SemiBold,
}

/// What things are drawn in: a role, not a colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ink {
    /// The ground.
    Paper,
    /// Text and lines.
    Ink,
    /// Labels, units.
    Ink2,
    /// Pale lines.
    Line,
    /// Tint of the lens.
    Water,
    /// Tint of what is not kept.
    Buff,
    /// What the plan puts on the lens.
    Mark,
    /// What cannot be.
    Stop,
    /// What wants a look.
    Warn,
}

/// An upright rectangle on the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// Left edge, mm.
    pub left: f64,
    /// Upper edge, mm.
    pub top: f64,
    /// Right edge, mm.
    pub right: f64,
    /// Lower edge, mm.
    pub bottom: f64,
}

impl Frame {
    /// Whether two share more than an edge.
    #[must_use]
    pub fn overlaps(&self, other: &Self) -> bool {
        self.left < other.right && other.left < self.right && self.top < other.bottom && other.top < self.bottom
    }

    /// Grown on all sides.
    #[must_use]
    pub const fn grown(&self, by: f64) -> Self {
        Self { left: self.left - by, top: self.top - by, right: self.right + by, bottom: self.bottom + by }
    }

    /// The middle.
    #[must_use]
    pub const fn middle(&self) -> Spot {
        Spot { x: 0.5 * (self.left + self.right), y: 0.5 * (self.top + self.bottom) }
    }

    /// Whether a piece of line passes through it.
    #[must_use]
    pub fn meets(&self, a: Spot, b: Spot) -> bool {
        // Clips the piece by each edge in turn; what is left over lies inside.
        let (mut from, mut to) = (0.0, 1.0);
        for (start, step, low, high) in
            [(a.x, b.x - a.x, self.left, self.right), (a.y, b.y - a.y, self.top, self.bottom)]
        {
            if step.abs() < 1e-12 {
                if start <= low || start >= high {
                    return false;
                }
                continue;
            }
            let (first, second) = ((low - start) / step, (high - start) / step);
            from = f64::max(from, first.min(second));
            to = f64::min(to, first.max(second));
        }
        from < to
    }
}

impl Text {
    /// The words without their weights.
    #[must_use]
    pub fn words(&self) -> String {
        self.parts.iter().map(|(_, words)| words.as_str()).collect()
    }

    /// Its length along the line, mm.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.parts.iter().map(|(weight, words)| typeface::width(words, *weight)).sum::<f64>() * self.size
    }

    /// The rectangle that it covers: from a little under the base line to a little over the capitals.
    #[must_use]
    pub fn frame(&self) -> Frame {
        let length = self.length();
        let before = match self.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => 0.5 * length,
            Anchor::End => length,
        };
        let (over, under) = (typeface::OVER * self.size, typeface::UNDER * self.size);
        let Spot { x, y } = self.at;
        if self.upwards {
            Frame { left: x - over, right: x + under, top: y + before - length, bottom: y + before }
        } else {
            Frame { left: x - before, right: x - before + length, top: y - over, bottom: y + under }
        }
    }
}

impl Scene {
    /// Every text, whatever it lies in.
    pub fn texts(&self) -> impl Iterator<Item = &Text> {
        self.items.iter().filter_map(|item| match item {
            Item::Text(text) => Some(text),
            _ => None,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_piece_of_line_meets_a_frame_only_where_it_passes_through() {
        let frame = Frame { left: 1.0, top: 1.0, right: 3.0, bottom: 2.0 };
        assert!(frame.meets(spot(0.0, 0.0), spot(4.0, 3.0)));
        assert!(!frame.meets(spot(0.0, 0.0), spot(0.5, 3.0)));
        assert!(!frame.meets(spot(1.0, 1.0), spot(3.0, 1.0)), "along the edge");
        assert!(frame.meets(spot(2.0, 1.5), spot(2.1, 1.5)), "within");
    }
}
