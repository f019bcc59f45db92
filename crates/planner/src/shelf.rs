//! The shelf, ordered by power once, so that twenty thousand rows cost no more than the few that matter.

use core::ops::Range;
use std::collections::BTreeMap;
use std::sync::Arc;

use job::{Blank, BlankState, LensType, MaterialId};
use optics::OrderedPower;

/// Blanks in stock. Rows keep the order of the file; that order breaks ties.
#[derive(Debug, Clone, Default)]
pub struct Shelf {
    rows: Vec<Arc<Blank>>,
    groups: BTreeMap<(MaterialId, u8), Vec<Key>>,
    semi_finished: Vec<usize>,
}

/// Where a row stands by power: minus-cylinder sphere and cylinder in thousandths.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Key {
    sphere: i32,
    cylinder: i32,
    row: u32,
}

/// Sphere and cylinder of the minus-cylinder form, in thousandths.
pub(crate) fn minus_thousandths(power: OrderedPower) -> (i32, i32) {
    let minus = power.minus_form();
    (minus.sphere().thousandths(), minus.cylinder().map_or(0, |(c, _)| c.thousandths()))
}

impl Shelf {
    /// Orders the rows.
    #[must_use]
    pub fn new(rows: Vec<Arc<Blank>>) -> Self {
        let mut groups: BTreeMap<(MaterialId, u8), Vec<Key>> = BTreeMap::new();
        for (i, blank) in rows.iter().enumerate() {
            let (sphere, cylinder) = minus_thousandths(blank.power);
            let key = Key { sphere, cylinder, row: u32::try_from(i).unwrap_or(u32::MAX) };
            groups.entry((blank.material.clone(), kind_number(blank.kind))).or_default().push(key);
        }
        for keys in groups.values_mut() {
            keys.sort_unstable();
        }
        let semi_finished = (0..rows.len()).filter(|&row| rows[row].state == BlankState::SemiFinished).collect();
        Self { rows, groups, semi_finished }
    }

    /// How many rows.
    #[must_use]
    pub fn len(&self) -> usize {
        self.rows.len()
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// A row.
    #[must_use]
    pub fn row(&self, row: usize) -> &Arc<Blank> {
        &self.rows[row]
    }

    /// The pieces in stock, row by row.
    #[must_use]
    pub fn quantities(&self) -> Vec<u32> {
        self.rows.iter().map(|b| b.quantity).collect()
    }

    /// Whether there is a blank of a material.
    #[must_use]
    pub fn has(&self, material: &MaterialId) -> bool {
        self.groups.keys().any(|(group, _)| group == material)
    }

    /// A shelf of some rows alone, with the pieces left of each.
    #[must_use]
    pub fn part(&self, rows: &[usize], left: Option<&[u32]>) -> (Self, Vec<u32>) {
        let pieces = |row: usize| left.map_or_else(|| self.rows[row].quantity, |left| left[row]);
        let blanks = rows.iter().map(|&row| Arc::clone(&self.rows[row])).collect();
        (Self::new(blanks), rows.iter().map(|&row| pieces(row)).collect())
    }

    /// Rows with one surface done, in the order of the file.
    pub fn semi_finished(&self) -> impl Iterator<Item = usize> {
        self.semi_finished.iter().copied()
    }

    /// Rows of a stock-keeping unit, in the order of the file.
    pub fn of_sku<'a>(&'a self, sku: &'a str) -> impl Iterator<Item = usize> + 'a {
        self.rows.iter().enumerate().filter(move |(_, b)| b.sku == sku).map(|(i, _)| i)
    }

    /// Rows of a material and kind whose power is exactly this one, whatever their axis, in the order of the file.
    pub fn exactly(&self, material: &MaterialId, kind: LensType, power: OrderedPower) -> impl Iterator<Item = usize> {
        let (sphere, cylinder) = minus_thousandths(power);
        let keys = self.groups.get(&(material.clone(), kind_number(kind))).map_or(&[][..], Vec::as_slice);
        within(keys, (sphere, cylinder), (sphere, cylinder))
            .map(|i| keys[i].row as usize)
            .collect::<Vec<_>>()
            .into_iter()
    }

    /// Rows of a material and kind whose sphere lies within `reach` thousandths, with their distance in power (the greater
    /// of the two meridians' differences, thousandths, axes left out), the power itself excepted.
    pub fn near(
        &self,
        material: &MaterialId,
        kind: LensType,
        power: OrderedPower,
        reach: i32,
    ) -> impl Iterator<Item = (usize, i32)> {
        let (sphere, cylinder) = minus_thousandths(power);
        let keys = self.groups.get(&(material.clone(), kind_number(kind))).map_or(&[][..], Vec::as_slice);
        within(keys, (sphere - reach, i32::MIN), (sphere + reach, i32::MAX)).filter_map(move |i| {
            let key = keys[i];
            let apart = (key.sphere - sphere).abs().max((key.sphere + key.cylinder - sphere - cylinder).abs());
            (apart > 0 && apart <= reach).then_some((key.row as usize, apart))
        })
    }

    /// Rows of exactly this power in other materials, and of other kinds, in order of material.
    pub fn elsewhere(&self, material: &MaterialId, kind: LensType, power: OrderedPower) -> Vec<usize> {
        let (sphere, cylinder) = minus_thousandths(power);
        let own = (material.clone(), kind_number(kind));
        let others = self.groups.iter().filter(|(group, _)| **group != own);
        others
            .flat_map(|(_, keys)| within(keys, (sphere, cylinder), (sphere, cylinder)).map(|i| keys[i].row as usize))
            .collect()
    }
}

fn within(keys: &[Key], from: (i32, i32), to: (i32, i32)) -> Range<usize> {
    let start = keys.partition_point(|k| (k.sphere, k.cylinder) < from);
    let end = keys.partition_point(|k| (k.sphere, k.cylinder) <= to);
    start..end.max(start)
}

const fn kind_number(kind: LensType) -> u8 {
    match kind {
        LensType::SingleVision => 0,
        LensType::Multifocal => 1,
        LensType::ProgressivePower => 2,
    }
}
