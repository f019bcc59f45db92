//! Lines of equal thickness inside an outline.

use std::collections::BTreeMap;

use lens::Cutting;
use outline::{Outline, Point};

/// One line of equal thickness.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Contour {
    /// How thick the lens is along it, mm.
    pub(crate) thickness: f64,
    /// Its course, mm from the boxed centre.
    pub(crate) points: Vec<Point>,
}

/// An edge of the grid: its lower left node, and whether it runs up.
type Side = (usize, usize, bool);

/// A point of a line has its thickness to this, mm.
const MET: f64 = 1e-9;
/// Steps of the search along an edge of the grid or along the outline; six are usual.
const MOST_STEPS: usize = 60;

/// The lines at every multiple of `every` mm, from samples `step` mm apart.
///
/// Marching squares finds which edges of the grid a line crosses; on each the lens itself is asked where, and where the
/// line leaves the lens likewise along the outline. So every point has its thickness; straight pieces between them leave
/// out less than a line is wide. A line that closes within two samples may be missed.
pub(crate) fn contours(cutting: &Cutting, outline: &Outline, every: f64, step: f64) -> Vec<Contour> {
    let boxed = outline.boxed();
    let (columns, rows) = ((boxed.width.mm() / step) as usize + 3, (boxed.height.mm() / step) as usize + 3);
    let place = |i: usize, j: usize| {
        Point::new((i as f64 - 0.5 * (columns - 1) as f64) * step, (j as f64 - 0.5 * (rows - 1) as f64) * step)
    };
    let thick = |p: Point| cutting.wall(p).map(|wall| wall.thickness().mm());
    let nodes: Vec<Vec<Option<f64>>> = (0..columns).map(|i| (0..rows).map(|j| thick(place(i, j))).collect()).collect();
    let known = || nodes.iter().flatten().flatten();
    let (least, most) = known().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), &t| (a.min(t), b.max(t)));
    let mut out = Vec::new();
    if !least.is_finite() || every <= 0.0 {
        return out;
    }
    let first = (least.max(0.0) / every).ceil() as i64;
    for level in first..=(most / every).floor() as i64 {
        let thickness = level as f64 * every;
        let ends = |(i, j, up): Side| {
            let (k, l) = if up { (i, j + 1) } else { (i + 1, j) };
            let (a, b) = (nodes[i][j]? - thickness, nodes[k][l]? - thickness);
            ((a >= 0.0) != (b >= 0.0)).then(|| (place(i, j), place(k, l), a, b))
        };
        let over = |i: usize, j: usize| thick(place(i, j) + (place(i + 1, j + 1) - place(i, j)) * 0.5);
        let grid = Grid { columns, rows, cuts: &|side| ends(side).is_some() };
        // Across a saddle the middle says which corners hang together.
        let hangs = |i: usize, j: usize| {
            nodes[i][j].zip(over(i, j)).is_some_and(|(corner, middle)| (corner >= thickness) == (middle >= thickness))
        };
        for course in grid.courses(&hangs) {
            let points: Vec<Point> = course
                .iter()
                .filter_map(|&side| {
                    let (p, q, a, b) = ends(side)?;
                    let share = root(|share| Some(thick(p + (q - p) * share)? - thickness), (0.0, a), (1.0, b));
                    Some(p + (q - p) * share)
                })
                .collect();
            let off = |t: f64| Some(thick(outline.point(t))? - thickness);
            for points in inside(points, outline, step, &off) {
                out.push(Contour { thickness, points });
            }
        }
    }
    out
}

/// Where a function is nought between two places of other sign, by false position; a place where it has no value ends the
/// search at the best found.
fn root(f: impl Fn(f64) -> Option<f64>, (mut a, mut fa): (f64, f64), (mut b, mut fb): (f64, f64)) -> f64 {
    let mut kept = 0i8;
    let mut best = if fa.abs() < fb.abs() { a } else { b };
    for _ in 0..MOST_STEPS {
        if fa == fb {
            break;
        }
        let x = a + (b - a) * fa / (fa - fb);
        let Some(fx) = f(x) else { break };
        best = x;
        if fx.abs() < MET {
            break;
        }
        // An end that stays put twice counts half, so that it does not stay for ever.
        if (fx >= 0.0) == (fb >= 0.0) {
            (b, fb) = (x, fx);
            if kept == -1 {
                fa *= 0.5;
            }
            kept = -1;
        } else {
            (a, fa) = (x, fx);
            if kept == 1 {
                fb *= 0.5;
            }
            kept = 1;
        }
    }
    best
}

/// The grid for one thickness.
struct Grid<'a> {
    columns: usize,
    rows: usize,
    /// Whether the line crosses an edge.
    cuts: &'a dyn Fn(Side) -> bool,
}

impl Grid<'_> {
    /// The edges that a line crosses, one after the other; a closed one ends with the edge it began with. `hangs` says of a
    /// cell with four crossings whether its lower left corner hangs together with the one across.
    fn courses(&self, hangs: &dyn Fn(usize, usize) -> bool) -> Vec<Vec<Side>> {
        let mut joined: BTreeMap<Side, Vec<Side>> = BTreeMap::new();
        for i in 0..self.columns - 1 {
            for j in 0..self.rows - 1 {
                let [bottom, right, top, left] = [(i, j, false), (i + 1, j, true), (i, j + 1, false), (i, j, true)];
                let met: Vec<Side> = [bottom, right, top, left].into_iter().filter(|&side| (self.cuts)(side)).collect();
                let pairs: &[(Side, Side)] = match met.as_slice() {
                    &[a, b] => &[(a, b)],
                    [_, _, _, _] if hangs(i, j) => &[(bottom, right), (top, left)],
                    [_, _, _, _] => &[(bottom, left), (top, right)],
                    _ => &[],
                };
                for &(a, b) in pairs {
                    joined.entry(a).or_default().push(b);
                    joined.entry(b).or_default().push(a);
                }
            }
        }
        let mut found = Vec::new();
        // Open courses first, from their ends; what is left is closed.
        for open in [true, false] {
            let starts: Vec<Side> = joined.keys().copied().collect();
            for start in starts {
                if joined.get(&start).is_none_or(|next| next.is_empty() || (open && next.len() != 1)) {
                    continue;
                }
                let mut course = vec![start];
                let mut here = start;
                while let Some(next) = joined.get_mut(&here).and_then(Vec::pop) {
                    if let Some(back) = joined.get_mut(&next)
                        && let Some(at) = back.iter().position(|&s| s == here)
                    {
                        back.remove(at);
                    }
                    course.push(next);
                    here = next;
                }
                found.push(course);
            }
        }
        found
    }
}

/// The parts of a course that lie inside the outline, ended on it; `off` is how far the thickness on the outline is from
/// the line's.
fn inside(mut points: Vec<Point>, outline: &Outline, step: f64, off: &dyn Fn(f64) -> Option<f64>) -> Vec<Vec<Point>> {
    let holds = |p: Point| p.from_origin().length() <= outline.radius(p.direction().rad()).0;
    let edge = |mut within: Point, mut without: Point| {
        for _ in 0..40 {
            let middle = within + (without - within) * 0.5;
            if holds(middle) { within = middle } else { without = middle }
        }
        on_outline(within, outline, step, off)
    };
    // A closed line that leaves the lens begins outside, so that none of its parts is cut in two.
    if points.len() > 1
        && points.first() == points.last()
        && let Some(outer) = points.iter().position(|&p| !holds(p))
    {
        points.pop();
        points.rotate_left(outer);
        points.push(points[0]);
    }
    let mut runs = Vec::new();
    let mut run: Vec<Point> = Vec::new();
    let mut before: Option<(Point, bool)> = None;
    for &p in &points {
        let here = holds(p);
        match before {
            Some((q, false)) if here => run = vec![edge(p, q)],
            Some((q, true)) if !here => {
                run.push(edge(q, p));
                runs.push(core::mem::take(&mut run));
            }
            _ => {}
        }
        if here {
            run.push(p);
        }
        before = Some((p, here));
    }
    runs.push(run);
    runs.retain(|r| r.len() > 1);
    runs
}

/// The place on the outline next to one where it has the line's thickness; that place itself where the line only grazes.
fn on_outline(near: Point, outline: &Outline, step: f64, off: &dyn Fn(f64) -> Option<f64>) -> Point {
    let t = near.direction().rad();
    let around = step / near.from_origin().length().max(step);
    let both = [t - around, t + around].map(|t| off(t).map(|f| (t, f)));
    if let [Some(a), Some(b)] = both
        && (a.1 >= 0.0) != (b.1 >= 0.0)
    {
        return outline.point(root(off, a, b));
    }
    near
}

#[cfg(test)]
mod tests {
    use super::*;
    use job::rules::{Block, BlockAt, CuttingAxis, Lies};
    use lens::{Given, Surfacing, TorusForm};
    use optics::{Prism, SpheroCylinder};
    use units::{Angle, Dioptre, Mm, Working};

    /// The lens itself, at every point of every line; by hand beside it the number of lines between its extremes.
    #[test]
    fn a_line_is_where_the_lens_has_its_thickness() {
        let cutting = held(SpheroCylinder::new(Dioptre::new(-4.0), Dioptre::new(-2.0), Angle::from_deg(25.0)), 1.5);
        let outline = Outline::superellipse(Mm::new(25.0), Mm::new(18.0), 2.5).unwrap();
        for (step, between) in [(1.0, 3e-3), (0.4, 6e-4)] {
            let lines = contours(&cutting, &outline, 0.5, step);
            let mut levels: Vec<i64> = lines.iter().map(|l| (l.thickness * 2.0).round() as i64).collect();
            levels.dedup();
            let walls = parameters(&outline, &cutting);
            let most = walls.iter().copied().fold(0.0, f64::max);
            // From 1.5 mm at the vertex, whose line is a point, to the thickest place of the rim.
            let wanted: Vec<i64> = (4..=(most * 2.0).floor() as i64).collect();
            levels.retain(|&level| level > 3);
            assert_eq!(levels, wanted, "{most}");
            for line in &lines {
                let off = |p: Point| (cutting.wall(p).unwrap().thickness().mm() - line.thickness).abs();
                // An end where the line only grazes the outline lies on a straight piece.
                let inner = &line.points[1..line.points.len() - 1];
                assert!(inner.iter().all(|&p| off(p) < 1e-8), "{step}");
                for pair in line.points.windows(2) {
                    let worst = off(pair[0]).max(off(pair[0] + (pair[1] - pair[0]) * 0.5));
                    assert!(worst < between, "{step}: {worst} at {:?}", pair[0]);
                }
                let (first, last) = (line.points[0], line.points[line.points.len() - 1]);
                // The superellipse's own equation.
                let rim = |p: Point| {
                    let (x, y) = ((p.x / 25.0).abs(), (p.y / 18.0).abs());
                    (libm::pow(x, 2.5) + libm::pow(y, 2.5) - 1.0).abs() < 1e-9
                };
                assert!(first == last || (rim(first) && rim(last)), "{step}: {first:?} {last:?}");
            }
        }
    }

    /// A lens of some power, held square to its front over a boxed centre 3 mm beside and 2 mm under its vertex.
    fn held(power: SpheroCylinder, centre: f64) -> Cutting {
        let surfacing = Surfacing {
            power,
            index: 1.6,
            given: Given::Front(Dioptre::new(3.0)),
            form: TorusForm::Tyre,
            ground: Prism::NONE,
            conic: [-0.5, 0.0],
        };
        let lens = surfacing.lens(&mut Working::off(), Mm::new(centre)).unwrap();
        let block = Block {
            axis: CuttingAxis::FrontNormal,
            at: BlockAt::BoxedCentre,
            lies: Lies::FrontUp,
            diameters: Vec::new(),
            clear_least: Mm::ZERO,
            clear_wanted: Mm::ZERO,
            clamp_least: Mm::ZERO,
        };
        Cutting::new(lens, Point::new(3.0, 2.0), &block).unwrap()
    }

    fn parameters(outline: &Outline, cutting: &Cutting) -> Vec<f64> {
        let at = |i: u32| outline.point(f64::from(i).to_radians());
        (0..360).map(|i| cutting.wall(at(i)).unwrap().thickness().mm()).collect()
    }

    /// Where power changes sign the vertex is a saddle: its own line is a cross, of which no arm is lost.
    #[test]
    fn a_saddle_keeps_all_its_arms() {
        let cutting = held(SpheroCylinder::new(Dioptre::new(2.0), Dioptre::new(-4.0), Angle::from_deg(0.0)), 2.0);
        let outline = Outline::circle(Mm::new(20.0)).unwrap();
        for step in [1.0, 0.4] {
            let lines = contours(&cutting, &outline, 0.5, step);
            let arms: Vec<_> = lines.iter().filter(|l| l.thickness == 2.0).collect();
            assert_eq!(arms.len(), 2, "{step}");
            for arm in arms {
                let (first, last) = (arm.points[0], arm.points[arm.points.len() - 1]);
                for end in [first, last] {
                    assert!((end.from_origin().length() - 20.0).abs() < 1e-9);
                }
            }
        }
    }
}
