//! Was it good: tolerance standards as data, and readings held against an order, item by item.
//!
//! A [`Standard`] is one edition's tables, typed; `exchange` reads them. An [`Item`] is one comparison: what was wanted,
//! what was read, the error, the limit with its clause and source, and how sure the limit is. Everything that decides a
//! verdict is compared in whole [`Amount`]s, so a reading exactly on a limit passes on every machine.
//!
//! Uncut lenses are judged by [`uncut`], and [`swapped`] tells whether a pair was taken for one another.

mod amount;
mod dimension;
mod item;
mod power;
mod reference_point;
mod standard;
mod swap;
mod uncut;
mod wanted;

pub use amount::Amount;
pub use item::{Code, Item, Other, Value, Verdict, overall};
pub use power::{add, powers};
pub use standard::{
    Band, Bands, Combine, Edge, Limit, MeridianRow, Meridians, PowerRule, PrismBand, PrismByPower, PrismOrPlace,
    ReferencePointRule, Rule, SphereBasis, Standard, Standards, Sure, UncutBy,
};
pub use swap::{Swap, swapped};
pub use uncut::uncut;
pub use wanted::{Against, Wanted};
