//! Where the apex runs on the edge: by the seat, or by one of the trade's rules.

use outline::{Depth, Outline, Places, SpaceLine};
use units::{Dioptre, Mm};

use crate::edge_room::EdgeRoom;
use crate::fault::NoLens;
use crate::seat::{Seated, rest, seat};

/// Edges up to this are thin, mm: an apex along a surface runs through their middle. On thicker ones it keeps half of it
/// from the surface, and a third where that is more: common practice, no source.
const THIN_MM: f64 = 3.0;

/// How the apex (or a groove's middle) is placed. Every way keeps the least shoulders where the edge has room for them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Placement {
    /// Where the rim is met best.
    Seat,
    /// This far behind the front.
    FromFront(Mm),
    /// At this share of the edge, counted from the front.
    Share(f64),
    /// Along the front, through the middle of the thinnest place of a thin edge.
    AlongFront,
    /// Along the back, likewise.
    AlongBack,
    /// On a sphere of this curve on 1.530, leaning and shifted as fits the edge best.
    Curve(Dioptre),
}

/// Depth of the apex at each place by a rule; `None` for the seat, which takes a rim.
///
/// # Errors
/// [`NoLens::NotSettled`] where a given curve does not come to rest on the edge.
fn placed(
    placement: Placement,
    outline: &Outline,
    places: &Places,
    room: &EdgeRoom,
    gap_given: Mm,
) -> Result<Option<Vec<f64>>, NoLens> {
    let n = places.len();
    let along = {
        let thinnest = room.thinnest();
        if thinnest <= THIN_MM { 0.5 * thinnest } else { (THIN_MM / 2.0).max(thinnest / 3.0) }
    };
    let at = |depth: &dyn Fn(usize) -> f64| Ok(Some((0..n).map(|i| room.held(i, depth(i))).collect()));
    match placement {
        Placement::Seat => Ok(None),
        Placement::FromFront(mm) => at(&|i| room.front[i] + mm.mm()),
        Placement::Share(share) => at(&|i| room.front[i] + share * (room.back[i] - room.front[i])),
        Placement::AlongFront => at(&|i| room.front[i] + along),
        Placement::AlongBack => at(&|i| room.back[i] - along),
        Placement::Curve(curve) => {
            let curve_d = curve.dioptres();
            let depth = if curve_d > 0.0 { Depth::sphere(Mm::new(530.0 / curve_d)).ok() } else { None };
            let flat = || SpaceLine::new(places, vec![0.0; n]);
            let line = depth.map_or_else(flat, |depth| SpaceLine::of_rim(outline, places, &depth));
            let line = line.ok_or(NoLens::NotSettled { what: "a bevel of this curve", residual: f64::NAN })?;
            Ok(Some(seat(&line, places, room, gap_given, None)?.apex.depths().to_vec()))
        }
    }
}

/// The apex by its placement, and the rim on it where there is one. `near`: the answer for an edge much like this one.
///
/// # Errors
/// [`NoLens::NotSettled`] where a search does not come to rest.
pub fn apex(
    placement: Placement,
    outline: &Outline,
    places: &Places,
    room: &EdgeRoom,
    rim: Option<&SpaceLine>,
    gap_given: Mm,
    near: Option<&Seated>,
) -> Result<(SpaceLine, Option<Seated>), NoLens> {
    let given = match (placed(placement, outline, places, room, gap_given)?, rim) {
        (None, Some(rim)) => {
            let seated = seat(rim, places, room, gap_given, near)?;
            return Ok((seated.apex.clone(), Some(seated)));
        }
        // Nothing to seat on: along the front, as a bevel runs that follows no rim.
        (None, None) => placed(Placement::AlongFront, outline, places, room, gap_given)?.unwrap_or_default(),
        (Some(given), Some(rim)) => {
            let seated = rest(rim, places, room, given)?;
            return Ok((seated.apex.clone(), Some(seated)));
        }
        (Some(given), None) => given,
    };
    let line = SpaceLine::new(places, given).ok_or(NoLens::NotSettled { what: "the apex", residual: f64::NAN })?;
    Ok((line, None))
}
