//! The figure of a section: both surfaces and the edge between them, as it is finished, in the plane square to the cut
//! outline. Inwards is counted from the cut outline, depths along the cutting axis; both in mm.

use job::{Order, Rules};
use lens::EdgeForm;
use outline::{Point, Vector};
use planner::LensPlan;
use planner::edge_line::{EdgeLineRow, form};
use units::maths::hypot;

/// A place of the section: inwards, depth.
pub(crate) type In = (f64, f64);

/// What is cut into the edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Cut {
    /// Two faces that fall off from the apex by `steep` for each mm inwards, to a foot `height` inwards; behind it the edge
    /// goes straight in by `step`.
    Bevel { steep: f64, height: f64, step: f64 },
    /// A channel.
    Groove { width: f64, depth: f64 },
    /// Nothing.
    Flat,
}

impl Cut {
    /// What is cut into the edge of an order's lens; where nobody knows where a bevel runs, there is none to draw.
    pub(crate) fn of(lens: &LensPlan, order: &Order, rules: &Rules) -> Self {
        match lens.edge_line.as_ref().and_then(|line| form(line.edge, order, rules)) {
            None => Self::Flat,
            Some(EdgeForm::Groove { width, depth }) => Self::Groove { width: width.mm(), depth: depth.mm() },
            Some(EdgeForm::Bevel { angle, height, step }) => {
                Self::Bevel { steep: libm::tan(0.5 * angle.rad()), height: height.mm(), step: step.mm() }
            }
        }
    }
}

/// One section through an edge.
#[derive(Debug, Clone)]
pub(crate) struct Profile<'a> {
    lens: &'a LensPlan,
    at: Point,
    normal: Vector,
    /// What is cut into the edge.
    pub(crate) cut: Cut,
    /// The plan's row there; none for a flat edge.
    pub(crate) row: Option<EdgeLineRow>,
    /// Front and back surface at the cut outline.
    pub(crate) square: (f64, f64),
}

/// One side of the edge: from its corner with a surface to the middle.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Side {
    /// The corner with the surface, before it is broken.
    pub(crate) corner: In,
    /// What follows it towards the middle.
    pub(crate) then: Vec<In>,
    /// Whether a wall stands between the surface and what is cut into the edge.
    pub(crate) wall: bool,
}

impl<'a> Profile<'a> {
    /// The section in a whole degree about the boxed centre; none where the lens has no edge there.
    pub(crate) fn new(lens: &'a LensPlan, cut: Cut, deg: u32) -> Option<Self> {
        let outline = lens.cut.outline();
        let t = f64::from(deg).to_radians();
        let (at, normal) = (outline.point(t), outline.normal(t));
        let row = match &lens.edge_line {
            Some(line) => Some(line.row(deg)?),
            None => None,
        };
        let wall = lens.cutting.wall(at)?;
        let square = (wall.front_depth.mm(), wall.back_depth.mm());
        Some(Self { lens, at, normal, cut, row, square })
    }

    /// The same edge cut level, towards the middle: faces and feet as they look in that plane.
    pub(crate) fn level(lens: &'a LensPlan, cut: Cut, deg: u32) -> Option<Self> {
        let square = Self::new(lens, cut, deg)?;
        let along = square.normal.x.abs().max(0.1);
        let cut = match cut {
            Cut::Bevel { steep, height, step } => {
                Cut::Bevel { steep: steep * along, height: height / along, step: step / along }
            }
            Cut::Groove { width, depth } => Cut::Groove { width, depth: depth / along },
            Cut::Flat => Cut::Flat,
        };
        let normal = Vector { x: if square.normal.x < 0.0 { -1.0 } else { 1.0 }, y: 0.0 };
        Some(Self { cut, normal, ..square })
    }

    /// The viewer's x so far inwards.
    pub(crate) fn x(&self, inwards: f64) -> f64 {
        self.place(inwards).x
    }

    fn place(&self, inwards: f64) -> Point {
        Point::new(self.at.x - inwards * self.normal.x, self.at.y - inwards * self.normal.y)
    }

    /// Depth of the front surface so far inwards.
    pub(crate) fn front(&self, inwards: f64) -> Option<f64> {
        self.lens.cutting.front_depth(self.place(inwards))
    }

    /// Depth of the back surface so far inwards.
    pub(crate) fn back(&self, inwards: f64) -> Option<f64> {
        self.lens.cutting.back_depth(self.place(inwards))
    }

    /// Depth of the apex, or of the groove's middle.
    pub(crate) fn line(&self) -> Option<f64> {
        Some(self.row?.depth.mm())
    }

    /// Front and back side of the edge.
    pub(crate) fn sides(&self) -> Option<[Side; 2]> {
        let middle = self.line();
        let front = self.side(&|n| self.front(n), middle, 1.0, 0.0)?;
        let step = if let Cut::Bevel { step, .. } = self.cut { step } else { 0.0 };
        let back = self.side(&|n| self.back(n), middle, -1.0, step)?;
        Some([front, back])
    }

    /// One side; `out` is +1 where depths grow from the surface into the lens. Everything is told by how far inside the
    /// lens it lies: `over` is that of a depth.
    fn side(&self, surface: &dyn Fn(f64) -> Option<f64>, middle: Option<f64>, out: f64, step: f64) -> Option<Side> {
        let edge = (0.0, surface(0.0)?);
        let over = |n: f64, depth: f64| Some(out * (depth - surface(n)?));
        match (self.cut, middle) {
            (Cut::Bevel { steep, height, .. }, Some(apex)) => {
                let face = |n: f64| apex - out * steep * n;
                if over(0.0, apex)? <= 0.0 {
                    return Some(Side { corner: edge, then: Vec::new(), wall: false });
                }
                if over(height, face(height))? <= 0.0 {
                    let n = meets(0.0, height, &|n| over(n, face(n)))?;
                    return Some(Side { corner: (n, surface(n)?), then: vec![(0.0, apex)], wall: false });
                }
                let foot = (height, face(height));
                if step <= 0.0 {
                    let corner = (height, surface(height)?);
                    return Some(Side { corner, then: vec![foot, (0.0, apex)], wall: true });
                }
                let end = height + step;
                if over(end, foot.1)? <= 0.0 {
                    let n = meets(height, end, &|n| over(n, foot.1))?;
                    return Some(Side { corner: (n, surface(n)?), then: vec![foot, (0.0, apex)], wall: false });
                }
                let then = vec![(end, foot.1), foot, (0.0, apex)];
                Some(Side { corner: (end, surface(end)?), then, wall: true })
            }
            (Cut::Groove { width, depth }, Some(middle)) => {
                let lip = middle - out * 0.5 * width;
                if over(0.0, lip)? > 0.0 {
                    return Some(Side { corner: edge, then: vec![(0.0, lip), (depth, lip)], wall: true });
                }
                // The groove breaks out of the edge.
                if over(depth, lip)? > 0.0 {
                    let n = meets(0.0, depth, &|n| over(n, lip))?;
                    return Some(Side { corner: (n, surface(n)?), then: vec![(depth, lip)], wall: false });
                }
                Some(Side { corner: (depth, surface(depth)?), then: Vec::new(), wall: false })
            }
            _ => Some(Side { corner: edge, then: Vec::new(), wall: true }),
        }
    }

    /// The finished lens from the edge to `reach` inwards, round: along the front to the edge, round it, back along the
    /// back; the corners broken `safety` wide.
    pub(crate) fn finished(&self, reach: f64, safety: f64) -> Option<Vec<In>> {
        let [front, back] = self.sides()?;
        let mut area = Vec::new();
        let (mut start, mut edge) = self.broken(&front, &back, safety, true)?;
        self.run(&mut area, reach, start.0, &|n| self.front(n))?;
        area.append(&mut edge);
        (start, edge) = self.broken(&back, &front, safety, false)?;
        edge.reverse();
        // Both sides of a bevel end in its apex.
        if edge.first() == area.last() {
            area.pop();
        }
        area.append(&mut edge);
        let mut inwards = Vec::new();
        self.run(&mut inwards, reach, start.0, &|n| self.back(n))?;
        inwards.reverse();
        area.append(&mut inwards);
        Some(area)
    }

    /// A surface from `reach` out to `end`, both among the places.
    fn run(&self, into: &mut Vec<In>, reach: f64, end: f64, depth: &dyn Fn(f64) -> Option<f64>) -> Option<()> {
        for i in 0..=STEPS {
            let n = reach + (end - reach) * f64::from(i) / f64::from(STEPS);
            into.push((n, depth(n)?));
        }
        Some(())
    }

    /// Where the surface ends at its broken corner, and the edge from there to the middle.
    fn broken(&self, side: &Side, other: &Side, safety: f64, front: bool) -> Option<(In, Vec<In>)> {
        let surface = |n: f64| if front { self.front(n) } else { self.back(n) };
        let whole = (side.corner, side.then.clone());
        let Some(next) = side.then.first().or(other.then.last()).or(Some(&other.corner)).copied() else {
            return Some(whole);
        };
        let wall = hypot(next.0 - side.corner.0, next.1 - side.corner.1);
        if !side.wall || safety <= 0.0 || wall < 1e-6 {
            return Some(whole);
        }
        // Both legs alike; the face between them is as wide as wanted.
        let slope = (surface(side.corner.0 + 0.1)? - side.corner.1) / 0.1;
        let (along, down) = (1.0 / hypot(1.0, slope), slope / hypot(1.0, slope));
        let (ex, ey) = ((next.0 - side.corner.0) / wall, (next.1 - side.corner.1) / wall);
        let opening = (1.0 - (along * ex + down * ey)).max(0.0);
        // |a − b| of two legs of length l under this opening is l sqrt(2 (1 − cos)).
        let leg = (safety / (2.0 * opening).sqrt().max(1e-6)).min(wall);
        let n = side.corner.0 + leg * along;
        let mut edge = vec![(side.corner.0 + leg * ex, side.corner.1 + leg * ey)];
        edge.extend(&side.then);
        Some(((n, surface(n)?), edge))
    }
}

/// Points along a surface.
const STEPS: u32 = 60;

/// Where a figure that has another sign at `from` than at `to` is nought.
fn meets(from: f64, to: f64, figure: &dyn Fn(f64) -> Option<f64>) -> Option<f64> {
    let (mut a, mut b) = (from, to);
    let above = figure(a)? > 0.0;
    for _ in 0..60 {
        let middle = 0.5 * (a + b);
        if (figure(middle)? > 0.0) == above { a = middle } else { b = middle }
    }
    Some(0.5 * (a + b))
}
