//! A line on the edge that runs as a rule of the trade says, instead of where a rim lies.

use job::{Beside, EdgeRun};
use outline::Places;
use units::maths::sqrt;
use units::{Angle, Mm};

use crate::edge_room::EdgeRoom;
use crate::sized::NoSize;

/// Edges up to this are thin, mm: a line along a surface runs through their middle. On thicker ones it keeps half of it
/// from that surface, and a third of the edge where that is more: common practice, no source.
const THIN_MM: f64 = 3.0;

/// Index times 1000 less 1000, on which curves of frames and bevels are stated: 530/D is the radius in mm.
const CURVE_MM: f64 = 530.0;

/// A line as a rule asks for it, held within the room of its edge.
#[derive(Debug, Clone, PartialEq)]
pub struct RunLine {
    /// Depth at each place, mm.
    pub depths: Vec<f64>,
    /// How far from where the rule has it the room holds it, at most.
    pub held: Mm,
    /// Where that is, about the boxed centre.
    pub held_at: Angle,
}

impl EdgeRoom {
    /// The line of a rule; none for a line along the rim, which is the seat's to find.
    ///
    /// - A line from the front, and one that shares the edge, does so all round, measured along the cutting axis.
    /// - A line along a surface keeps one distance from it: through the middle of the thinnest place where the edge is thin.
    /// - A curve is a sphere of 530/D, its pole over the boxed centre, as far forward as the least shoulders let it be; where
    ///   they nowhere let it be whole, as far outside in front as behind.
    ///
    /// # Errors
    /// [`NoSize::Curve`] where the sphere ends within the outline.
    pub fn run(&self, places: &Places, run: EdgeRun) -> Result<Option<RunLine>, NoSize> {
        let n = self.front.len();
        let wanted: Vec<f64> = match run {
            EdgeRun::Along(Beside::Rim) => return Ok(None),
            EdgeRun::Along(Beside::Front) => {
                let behind = self.beside();
                self.front.iter().map(|front| front + behind).collect()
            }
            EdgeRun::Along(Beside::Back) => {
                let before = self.beside();
                self.back.iter().map(|back| back - before).collect()
            }
            EdgeRun::FromFront(by) => self.front.iter().map(|front| front + by.mm()).collect(),
            EdgeRun::Share(share) => (0..n).map(|i| self.front[i] + share * (self.back[i] - self.front[i])).collect(),
            EdgeRun::Curve(curve_d) => self.on_curve(places, curve_d)?,
        };
        let depths: Vec<f64> = wanted.iter().enumerate().map(|(i, &depth)| self.held(i, depth)).collect();
        let by = |i: usize| (depths[i] - wanted[i]).abs();
        let most = (0..n).fold(0, |most, i| if by(i) > by(most) { i } else { most });
        Ok(Some(RunLine { held: Mm::new(by(most)), held_at: Angle::from_rad(places.t[most]), depths }))
    }

    /// How far from its surface a line along it keeps.
    fn beside(&self) -> f64 {
        let thinnest = self.thinnest();
        if thinnest <= THIN_MM { 0.5 * thinnest } else { (0.5 * THIN_MM).max(thinnest / 3.0) }
    }

    fn on_curve(&self, places: &Places, curve_d: f64) -> Result<Vec<f64>, NoSize> {
        let c = curve_d / CURVE_MM;
        let squares = || places.x.iter().zip(&places.y).map(|(x, y)| x * x + y * y);
        if squares().any(|r2| c * c * r2 > 1.0) {
            return Err(NoSize::Curve { curve_d, ends: Mm::new(CURVE_MM / curve_d) });
        }
        let sphere: Vec<f64> = squares().map(|r2| c * r2 / (1.0 + sqrt(1.0 - c * c * r2))).collect();
        let n = sphere.len();
        let foremost = (0..n).map(|i| self.least[i] - sphere[i]).fold(f64::NEG_INFINITY, f64::max);
        let rearmost = (0..n).map(|i| self.most[i] - sphere[i]).fold(f64::INFINITY, f64::min);
        let at = if foremost <= rearmost { foremost } else { 0.5 * (foremost + rearmost) };
        Ok(sphere.into_iter().map(|depth| depth + at).collect())
    }

    /// The room that is left when the line is given: none.
    pub(crate) fn only(&self, line: &RunLine) -> Self {
        Self { least: line.depths.clone(), most: line.depths.clone(), ..self.clone() }
    }
}
