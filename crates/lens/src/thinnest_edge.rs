//! The centre thickness that leaves a wanted thinnest edge.

use job::rules::Block;
use outline::Point;
use units::{Mm, Working};

use crate::body::Surfacing;
use crate::cut_outline::CutOutline;
use crate::cutting_axis::Cutting;
use crate::edge::{Walls, edge_extremes};
use crate::fault::NoLens;

/// The edge is met to this, mm.
const MET: f64 = 1e-9;
/// Steps of the secant rule; the edge grows with the centre almost one for one, so that four or five do.
const MOST_STEPS: usize = 50;
/// A centre below which no start makes sense, mm.
const LEAST_CENTRE: f64 = 0.05;

/// Centre thickness at which the thinnest square edge is `edge`, the optical centre at `vertex` (mm from the boxed
/// centre), the missing surface solved anew for every thickness tried.
///
/// # Errors
/// [`NoLens`] where a surface ends inside the shape whatever the thickness, or the search does not settle.
pub fn centre_for_thinnest_edge(
    w: &mut Working,
    surfacing: &Surfacing,
    vertex: Point,
    block: &Block,
    cut: &CutOutline,
    edge: Mm,
) -> Result<Mm, NoLens> {
    let thinnest = |centre: f64| {
        let lens = surfacing.lens(&mut Working::off(), Mm::new(centre))?;
        let held = Cutting::new(lens, vertex, block)?;
        let walls = Walls::of(&held, cut)?;
        Ok::<_, NoLens>(edge_extremes(&held, cut, &walls).thinnest.thickness.mm() - edge.mm())
    };
    let mut centre = edge.mm().max(1.0);
    let mut short = thinnest(centre)?;
    let mut slope = 1.0;
    for step in 0..MOST_STEPS {
        if short.abs() <= MET {
            w.say(|| {
                format!(
                    "Centre found by the secant rule in {step} steps, the back solved anew for each: the thinnest edge is met to {:.1e} mm.",
                    short.abs()
                )
            });
            return Ok(Mm::new(centre));
        }
        let next = (centre - short / slope).max(LEAST_CENTRE);
        if next == centre {
            break;
        }
        let short_next = thinnest(next)?;
        let rise = (short_next - short) / (next - centre);
        slope = if rise > 0.1 { rise } else { 1.0 };
        (centre, short) = (next, short_next);
    }
    Err(NoLens::NotSettled { what: "the centre thickness", residual: short })
}
