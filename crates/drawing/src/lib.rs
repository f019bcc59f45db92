//! Scenes of a plan in millimetres, and their SVG.
//!
//! One half of this crate knows lenses and no file format: it turns a [`planner::Plan`] into a [`Scene`] per view. The
//! other half ([`svg()`]) knows a format and no lenses. Views of what is laid out on the bench are at true size, so that a
//! lens may be laid on the print; the map of thickness, the sections and edges side by side are larger and say by how
//! much. Every view carries a bar of 50 mm; texts never cover one another.

mod balance;
mod blank;
mod blocking;
mod contour;
mod edge;
mod figure;
mod hatch;
mod label;
mod lines;
mod marks;
mod outline_view;
mod pair;
mod palette;
mod scene;
mod seen;
mod sheet;
mod strips;
mod svg;
mod thickness_map;
mod title_block;
mod typeface;
mod unrolled;
mod widths;

use job::Eye;
use job::rules::Lies;
use planner::Plan;

pub use balance::balance;
pub use blank::blank;
pub use blocking::blocking;
pub use edge::edge;
pub use outline_view::outline;
pub use pair::pair;
pub use scene::{Anchor, Circle, Frame, Ink, Item, Path, Run, Scene, Spot, Stroke, Text, Weight};
pub use strips::{EdgeRow, measured, strips};
pub use svg::svg;
pub use thickness_map::thickness_map;

/// Every view that a plan gives, each with its name, fit for a file: the pair, the blanks, the edge, the two
/// lenses in section, the maps of thickness, the blocker's cards.
/// `lies` is how a lens lies on this bench's blocker.
#[must_use]
pub fn all(plan: &Plan, lies: Lies) -> Vec<(String, Scene)> {
    let blanks = Eye::BOTH.into_iter().filter_map(|eye| blank(plan, eye));
    let cards = Eye::BOTH.into_iter().filter_map(|eye| blocking(plan, eye, lies));
    let maps = Eye::BOTH.into_iter().filter_map(|eye| thickness_map(plan, eye));
    pair(plan)
        .into_iter()
        .chain(blanks)
        .chain(edge(plan))
        .chain(balance(plan))
        .chain(maps)
        .chain(cards)
        .map(|scene| (scene.name.clone(), scene))
        .collect()
}
