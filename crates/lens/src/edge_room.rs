//! Where on the edge an apex may run: between the least shoulders, front and back.

use outline::Places;
use units::{Angle, Mm};

use crate::cutting_axis::Cutting;
use crate::fault::NoLens;

/// The square edge all round, and the bounds that the least shoulders leave for the apex. Depths are along the cutting axis
/// from the front at the block point, mm, one for each place of the cut outline.
#[derive(Debug, Clone, PartialEq)]
pub struct EdgeRoom {
    /// Front surface at the cut outline.
    pub front: Vec<f64>,
    /// Back surface at the cut outline.
    pub back: Vec<f64>,
    /// Least apex depth.
    pub least: Vec<f64>,
    /// Greatest apex depth.
    pub most: Vec<f64>,
    /// Where the edge is less than both least shoulders: the apex divides it there in their ratio.
    pub squeezed: Option<Squeezed>,
}

/// A stretch, or several, where the edge is thinner than both least shoulders.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Squeezed {
    /// The thinnest of it.
    pub thinnest: Mm,
    /// Where that is, about the boxed centre.
    pub at: Angle,
    /// How much of the outline is so thin, as a share of its places.
    pub share: f64,
}

impl EdgeRoom {
    /// The room between these least shoulders.
    ///
    /// # Errors
    /// [`NoLens::SurfaceEnds`] where a surface does not reach the cut outline.
    pub fn of(cutting: &Cutting, places: &Places, front_shoulder: Mm, back_shoulder: Mm) -> Result<Self, NoLens> {
        let n = places.len();
        let (mut front, mut back) = (vec![0.0; n], vec![0.0; n]);
        cutting.front.depths(&places.x, &places.y, &mut front);
        cutting.back.depths(&places.x, &places.y, &mut back);
        if let Some(i) = (0..n).find(|&i| !(back[i] - front[i]).is_finite()) {
            return Err(cutting.ends(places.x[i], places.y[i]));
        }
        let (lf, lb) = (front_shoulder.mm(), back_shoulder.mm());
        let divided = if lf + lb > 0.0 { lf / (lf + lb) } else { 0.5 };
        let mut squeezed: Option<(f64, usize, usize)> = None;
        let (mut least, mut most) = (Vec::with_capacity(n), Vec::with_capacity(n));
        for i in 0..n {
            let edge = back[i] - front[i];
            if edge < lf + lb {
                let at = front[i] + edge * divided;
                least.push(at);
                most.push(at);
                let (thinnest, place, count) = squeezed.unwrap_or((f64::INFINITY, i, 0));
                squeezed = Some(if edge < thinnest { (edge, i, count + 1) } else { (thinnest, place, count + 1) });
            } else {
                least.push(front[i] + lf);
                most.push(back[i] - lb);
            }
        }
        let squeezed = squeezed.map(|(thinnest, i, count)| Squeezed {
            thinnest: Mm::new(thinnest),
            at: Angle::from_rad(places.t[i]),
            share: count as f64 / n as f64,
        });
        Ok(Self { front, back, least, most, squeezed })
    }

    /// The thinnest square edge of the places.
    pub(crate) fn thinnest(&self) -> f64 {
        self.front.iter().zip(&self.back).map(|(f, b)| b - f).fold(f64::INFINITY, f64::min)
    }

    /// One place in so many.
    pub(crate) fn every(&self, every: usize) -> Self {
        let thinned = |column: &[f64]| column.iter().step_by(every).copied().collect();
        Self {
            front: thinned(&self.front),
            back: thinned(&self.back),
            least: thinned(&self.least),
            most: thinned(&self.most),
            squeezed: self.squeezed,
        }
    }

    /// A depth brought within the bounds of its place.
    pub(crate) fn held(&self, i: usize, depth: f64) -> f64 {
        depth.max(self.least[i]).min(self.most[i])
    }
}
