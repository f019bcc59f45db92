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

/// The lines at every multiple of `every` mm, from samples `step` mm apart.
///
/// Between two samples thickness is taken as linear: with curvatures of 10 D that leaves step²/400 mm of thickness at most,
/// less than a line's width in the drawing for 1 mm at true size.
pub(crate) fn contours(cutting: &Cutting, outline: &Outline, every: f64, step: f64) -> Vec<Contour> {
    let boxed = outline.boxed();
    let (columns, rows) = ((boxed.width.mm() / step) as usize + 3, (boxed.height.mm() / step) as usize + 3);
    let place = |i: usize, j: usize| {
        Point::new((i as f64 - 0.5 * (columns - 1) as f64) * step, (j as f64 - 0.5 * (rows - 1) as f64) * step)
    };
    let nodes: Vec<Vec<Option<f64>>> = (0..columns)
        .map(|i| (0..rows).map(|j| cutting.wall(place(i, j)).map(|wall| wall.thickness().mm())).collect())
        .collect();
    let known = || nodes.iter().flatten().flatten();
    let (least, most) = known().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), &t| (a.min(t), b.max(t)));
    let mut out = Vec::new();
    if !least.is_finite() || every <= 0.0 {
        return out;
    }
    let first = (least.max(0.0) / every).ceil() as i64;
    for level in first..=(most / every).floor() as i64 {
        let thickness = level as f64 * every;
        let cut = |side: Side| {
            let (i, j, up) = side;
            let (k, l) = if up { (i, j + 1) } else { (i + 1, j) };
            let (a, b) = (nodes[i][j]?, nodes[k][l]?);
            if (a >= thickness) == (b >= thickness) {
                return None;
            }
            let (p, q, share) = (place(i, j), place(k, l), (thickness - a) / (b - a));
            Some(p + (q - p) * share)
        };
        for course in courses(columns, rows, &cut) {
            let points: Vec<Point> = course.iter().filter_map(|&side| cut(side)).collect();
            for points in inside(&points, outline) {
                out.push(Contour { thickness, points });
            }
        }
    }
    out
}

/// Joins the cuts of every cell into courses.
fn courses(columns: usize, rows: usize, cut: &dyn Fn(Side) -> Option<Point>) -> Vec<Vec<Side>> {
    let mut joined: BTreeMap<Side, Vec<Side>> = BTreeMap::new();
    for i in 0..columns - 1 {
        for j in 0..rows - 1 {
            let sides = [(i, j, false), (i + 1, j, true), (i, j + 1, false), (i, j, true)];
            let met: Vec<Side> = sides.into_iter().filter(|&side| cut(side).is_some()).collect();
            // A saddle has four; which two belong together does not show at this scale.
            for pair in met.chunks_exact(2) {
                joined.entry(pair[0]).or_default().push(pair[1]);
                joined.entry(pair[1]).or_default().push(pair[0]);
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

/// The parts of a course that lie inside the outline, ended on it.
fn inside(points: &[Point], outline: &Outline) -> Vec<Vec<Point>> {
    let holds = |p: Point| p.from_origin().length() <= outline.radius(p.direction().rad()).0;
    let edge = |mut within: Point, mut without: Point| {
        for _ in 0..20 {
            let middle = within + (without - within) * 0.5;
            if holds(middle) { within = middle } else { without = middle }
        }
        within
    };
    let mut runs = Vec::new();
    let mut run: Vec<Point> = Vec::new();
    let mut before: Option<(Point, bool)> = None;
    for &p in points {
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
        let power = SpheroCylinder::new(Dioptre::new(-4.0), Dioptre::new(-2.0), Angle::from_deg(25.0));
        let surfacing = Surfacing {
            power,
            index: 1.6,
            given: Given::Front(Dioptre::new(3.0)),
            form: TorusForm::Tyre,
            ground: Prism::NONE,
            conic: [-0.5, 0.0],
        };
        let lens = surfacing.lens(&mut Working::off(), Mm::new(1.5)).unwrap();
        let block = Block {
            axis: CuttingAxis::FrontNormal,
            at: BlockAt::BoxedCentre,
            lies: Lies::FrontUp,
            diameters: Vec::new(),
            clear_least: Mm::ZERO,
            clear_wanted: Mm::ZERO,
            clamp_least: Mm::ZERO,
        };
        let cutting = Cutting::new(lens, Point::new(3.0, 2.0), &block).unwrap();
        let outline = Outline::superellipse(Mm::new(25.0), Mm::new(18.0), 2.5).unwrap();
        for (step, within) in [(1.0, 4e-3), (0.4, 8e-4)] {
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
                for &p in &line.points {
                    let off = cutting.wall(p).unwrap().thickness().mm() - line.thickness;
                    assert!(off.abs() < within, "{step}: {off} at {p:?}");
                }
            }
        }
    }

    fn parameters(outline: &Outline, cutting: &Cutting) -> Vec<f64> {
        let at = |i: u32| outline.point(f64::from(i).to_radians());
        (0..360).map(|i| cutting.wall(at(i)).unwrap().thickness().mm()).collect()
    }
}
