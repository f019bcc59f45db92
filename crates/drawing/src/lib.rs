//! Scenes of a plan in millimetres, and their SVG.
//!
//! One half of this crate knows lenses and no file format: it turns a [`planner::Plan`] into a [`Scene`] per view. The
//! other half ([`svg()`]) knows a format and no lenses. Views of what is laid out on the bench are at true size, so that a
//! lens may be laid on the print; the map of thickness, the sections, the gap to the rim and edges side by side are larger
//! and say by how much. Every view carries a bar of 50 mm; texts never cover one another.

mod above;
mod balance;
mod blank;
mod blocking;
mod contour;
mod edge;
mod figure;
mod gap;
mod hatch;
mod label;
mod lines;
mod marks;
mod outline_view;
mod pair;
mod palette;
mod scene;
mod section;
mod seen;
mod sheet;
mod strips;
mod svg;
mod thickness_map;
mod title_block;
mod typeface;
mod unrolled;
mod widths;

use job::{Eye, Order, Rules};
use planner::Plan;

pub use above::above;
pub use balance::balance;
pub use blank::blank;
pub use blocking::blocking;
pub use edge::edge;
pub use gap::gap;
pub use outline_view::outline;
pub use pair::pair;
pub use scene::{Anchor, Circle, Frame, Ink, Item, Path, Run, Scene, Spot, Stroke, Text, Weight};
pub use section::sections;
pub use strips::{EdgeRow, measured, strips};
pub use svg::svg;
pub use thickness_map::thickness_map;

/// Every view that a plan gives, each with its name, fit for a file: the pair, the blanks, the edge, the gap to the rim,
/// sections through the edge, the pair from above, the two lenses in section, the maps of thickness, the blocker's cards.
/// `sections_at` are the whole degrees in which the edge is cut through; none = where it tells most.
#[must_use]
pub fn all(plan: &Plan, order: &Order, rules: &Rules, sections_at: &[u32]) -> Vec<(String, Scene)> {
    let blanks = Eye::BOTH.into_iter().filter_map(|eye| blank(plan, eye));
    let cards = Eye::BOTH.into_iter().filter_map(|eye| blocking(plan, eye, rules.block.lies));
    let maps = Eye::BOTH.into_iter().filter_map(|eye| thickness_map(plan, eye));
    let cuts = Eye::BOTH.into_iter().flat_map(|eye| sections(plan, eye, order, rules, sections_at));
    pair(plan)
        .into_iter()
        .chain(blanks)
        .chain(edge(plan))
        .chain(gap(plan))
        .chain(cuts)
        .chain(above(plan, order, rules))
        .chain(balance(plan))
        .chain(maps)
        .chain(cards)
        .map(|scene| (scene.name.clone(), scene))
        .collect()
}
