//! The edge as it is finished: what bevel or groove take off, and the edge that is seen.
//!
//! The safety bevel is left out: it is broken by hand, and takes some hundredths of a gram.

use core::f64::consts::PI;

use outline::{Places, SpaceLine};
use units::{Angle, Mm};

use crate::cutting_axis::Cutting;
use crate::edge_room::EdgeRoom;
use crate::fault::NoLens;

/// What is cut into the edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum EdgeForm {
    /// A ridge: two faces that meet at the line under an included angle, as deep as its height.
    Bevel {
        /// Included angle.
        angle: Angle,
        /// From the cut outline inwards to the foot.
        height: Mm,
        /// How far further in than its foot the edge behind it stands: a stepped bevel; zero for any other.
        step: Mm,
    },
    /// A channel with its middle on the line.
    Groove {
        /// Width along the cutting axis.
        width: Mm,
        /// Depth from the cut outline inwards.
        depth: Mm,
    },
}

/// The edge that is seen: from the front to the back surface at the foot of the bevel.
#[derive(Debug, Clone, PartialEq)]
pub struct VisibleEdge {
    /// At each place, mm.
    pub around: Vec<f64>,
    /// The thinnest.
    pub thinnest: Mm,
    /// Where, about the boxed centre.
    pub thinnest_at: Angle,
    /// The thickest.
    pub thickest: Mm,
    /// Where, about the boxed centre.
    pub thickest_at: Angle,
}

/// The visible edge on the curve a bevel's height inside the cut outline; with height 0 the square edge.
///
/// # Errors
/// [`NoLens::SurfaceEnds`] where a surface does not reach it.
pub fn visible_edge(cutting: &Cutting, places: &Places, height: Mm) -> Result<VisibleEdge, NoLens> {
    let foot = inside(cutting, places, height.mm())?;
    let around: Vec<f64> = foot.iter().map(|[front, back]| back - front).collect();
    let least = (0..around.len()).fold(0, |best, i| if around[i] < around[best] { i } else { best });
    let most = (0..around.len()).fold(0, |best, i| if around[i] > around[best] { i } else { best });
    let ((thinnest, thin_at), (thickest, thick_at)) = (turning_point(&around, least), turning_point(&around, most));
    let at = |i: f64| Angle::from_rad(places.t[0] + i * (2.0 * PI / around.len() as f64));
    Ok(VisibleEdge {
        thinnest: Mm::new(thinnest),
        thinnest_at: at(thin_at),
        thickest: Mm::new(thickest),
        thickest_at: at(thick_at),
        around,
    })
}

/// The extreme beside the extreme of samples, by the parabola through it and its neighbours: value and place.
fn turning_point(values: &[f64], i: usize) -> (f64, f64) {
    let n = values.len();
    let (a, b, c) = (values[(i + n - 1) % n], values[i], values[(i + 1) % n]);
    let bend = a - 2.0 * b + c;
    let aside = if bend == 0.0 { 0.0 } else { (0.5 * (a - c) / bend).clamp(-0.5, 0.5) };
    (b - 0.25 * (a - c) * aside, i as f64 + aside)
}

/// Depths of both surfaces so far inside the cut outline, on the normals of its places.
fn inside(cutting: &Cutting, places: &Places, inwards: f64) -> Result<Vec<[f64; 2]>, NoLens> {
    let n = places.len();
    let shift = |column: &[f64], normal: fn(&outline::Vector) -> f64| -> Vec<f64> {
        column.iter().zip(&places.normal).map(|(at, out)| at - inwards * normal(out)).collect()
    };
    let (x, y) = (shift(&places.x, |v| v.x), shift(&places.y, |v| v.y));
    let (mut front, mut back) = (vec![0.0; n], vec![0.0; n]);
    cutting.front.depths(&x, &y, &mut front);
    cutting.back.depths(&x, &y, &mut back);
    match (0..n).find(|&i| !(back[i] - front[i]).is_finite()) {
        Some(i) => Err(cutting.ends(x[i], y[i])),
        None => Ok(front.into_iter().zip(back).map(|(f, b)| [f, b]).collect()),
    }
}

/// Volume that is cut off the square lens, mm3.
///
/// At each place of the outline the section is a plane figure between the surfaces, which run straight from the cut outline
/// to the foot; it goes round with the length that lies so far inside (Pappus): ds less the turn of the outline times the
/// distance.
///
/// # Errors
/// [`NoLens::SurfaceEnds`] where a surface does not reach the foot.
pub fn cut_off_mm3(
    cutting: &Cutting,
    places: &Places,
    room: &EdgeRoom,
    line: &SpaceLine,
    form: EdgeForm,
) -> Result<f64, NoLens> {
    let mut volume = 0.0;
    match form {
        EdgeForm::Bevel { angle, height, step } => {
            let (h, steep, step) = (height.mm(), libm::tan(0.5 * angle.rad()), step.mm());
            let foot = inside(cutting, places, h)?;
            let ledge = if step > 0.0 { inside(cutting, places, h + step)? } else { foot.clone() };
            for (i, (ds, turn)) in rounds(places).enumerate() {
                let (apex, edge) = (line.depths()[i], [room.front[i], room.back[i]]);
                // How far each surface stands out over its face: at the outline, and how that changes inwards.
                let front = (apex - edge[0], -steep - (foot[i][0] - edge[0]) / h);
                let back = (edge[1] - apex, (foot[i][1] - edge[1]) / h - steep);
                volume += wedge(front, h, ds, turn) + wedge(back, h, ds, turn);
                // Behind the back face's foot the edge goes straight in to the step.
                let behind = [foot[i][1] - apex - steep * h, ledge[i][1] - apex - steep * h];
                if step > 0.0 {
                    volume += wedge((behind[0], (behind[1] - behind[0]) / step), step, ds - turn * h, turn);
                }
            }
        }
        EdgeForm::Groove { width, depth } => {
            let (w, d) = (width.mm(), depth.mm());
            for (i, (ds, turn)) in rounds(places).enumerate() {
                let w = w.min((room.back[i] - room.front[i]).max(0.0));
                volume += w * (ds * d - 0.5 * turn * d * d);
            }
        }
    }
    Ok(volume)
}

/// Length that each place stands for, and the turn of the outline over it, radians.
fn rounds(places: &Places) -> impl Iterator<Item = (f64, f64)> + '_ {
    let n = places.len();
    (0..n).map(move |i| {
        let (before, after) = ((i + n - 1) % n, (i + 1) % n);
        let (from, to) = (places.normal[before], places.normal[after]);
        let turn = 0.5 * libm::atan2(from.cross(to), from.dot(to));
        (0.5 * (places.step[before] + places.step[i]), turn)
    })
}

/// ∫ (ds − turn n) max(0, at + slope n) dn from 0 to h: what stands out over a straight line.
fn wedge((at, slope): (f64, f64), h: f64, ds: f64, turn: f64) -> f64 {
    let (from, to) = match (at > 0.0, at + slope * h > 0.0) {
        (true, true) => (0.0, h),
        (true, false) => (0.0, -at / slope),
        (false, true) => (-at / slope, h),
        (false, false) => return 0.0,
    };
    let primitive = |n: f64| ds * (at * n + 0.5 * slope * n * n) - turn * (0.5 * at * n * n + slope * n * n * n / 3.0);
    primitive(to) - primitive(from)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: over a straight line 1 mm out at the outline and 0 at 2 mm inwards stands a triangle of 1 mm2; round a
    /// circle of radius 10 its centroid, 2/3 mm inwards, runs 2 pi (10 − 2/3).
    #[test]
    fn a_wedge_by_pappus() {
        let ring = wedge((1.0, -0.5), 2.0, 2.0 * PI * 10.0, 2.0 * PI);
        assert!((ring - 2.0 * PI * (10.0 - 2.0 / 3.0)).abs() < 1e-12, "{ring}");
        assert!((wedge((-1.0, 1.0), 2.0, 1.0, 0.0) - 0.5).abs() < 1e-15);
        assert!(wedge((-1.0, 0.1), 2.0, 1.0, 0.0) == 0.0);
    }
}
