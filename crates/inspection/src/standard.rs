//! Tolerance standards: the tables of each edition, typed, with what they rest on.

use job::LensType;
use units::Power;

use crate::Amount;

/// How sure a limit is: what it was taken from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sure {
    /// Two or more independent public pages agree.
    Agreed,
    /// One public page.
    OneSource,
    /// Some of the table was seen, the rest is from memory.
    PartlyMemory,
    /// From memory only.
    Memory,
    /// The edition's own figures were not seen; an earlier edition's stand in.
    Unverified,
}

impl Sure {
    /// Every degree by its word, the surest first.
    pub const WORDS: &'static [(&'static str, Self)] = &[
        ("agreed", Self::Agreed),
        ("one-source", Self::OneSource),
        ("partly-from-memory", Self::PartlyMemory),
        ("from-memory", Self::Memory),
        ("unverified", Self::Unverified),
    ];

    /// Its word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        Self::WORDS[self as usize].0
    }

    /// What it means for a dispute.
    #[must_use]
    pub const fn meaning(self) -> &'static str {
        match self {
            Self::Agreed => "independent public summaries agree",
            Self::OneSource => "one public summary says so",
            Self::PartlyMemory => "provisional: partly from memory; the standard itself settles a dispute",
            Self::Memory => "provisional: from memory; the standard itself settles a dispute",
            Self::Unverified => "provisional: an earlier edition's figures; this edition's were not seen",
        }
    }

    /// Whether a dispute should not rest on it.
    #[must_use]
    pub const fn is_provisional(self) -> bool {
        matches!(self, Self::PartlyMemory | Self::Memory | Self::Unverified)
    }
}

/// A table or figure with what it rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct Rule<T> {
    /// The table or figure itself.
    pub is: T,
    /// What it limits, in words.
    pub clause: String,
    /// Where it was taken from, the first named in full.
    pub source: String,
    /// How sure it is.
    pub sure: Sure,
}

/// The lower edge of a band.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Edge {
    /// From this amount on, which belongs to the band.
    From(Amount),
    /// Above this amount, which does not.
    Above(Amount),
}

/// A limit within a band.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limit {
    /// So much.
    Amount(Amount),
    /// Thousandths of the ordered amount: 2 % is 20.
    Permille(i64),
}

/// One band: which ordered amounts, without sign, and the limit there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Band {
    /// Where it begins.
    pub begins: Edge,
    /// The last amount that belongs to it; `None` = no end.
    pub to: Option<Amount>,
    /// The limit.
    pub limit: Limit,
}

/// Limits by the ordered amount, in bands that do not overlap.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bands(pub Vec<Band>);

impl Bands {
    /// The band of an ordered amount; the sign does not count. `None` where the table defines nothing.
    #[must_use]
    pub fn of(&self, ordered: Amount) -> Option<&Band> {
        let ordered = ordered.abs();
        self.0.iter().find(|band| {
            let begun = match band.begins {
                Edge::From(edge) => ordered >= edge,
                Edge::Above(edge) => ordered > edge,
            };
            begun && band.to.is_none_or(|to| ordered <= to)
        })
    }
}

impl Band {
    /// The limit for an ordered amount of this band, unrounded.
    #[must_use]
    pub const fn limit(&self, ordered: Amount) -> Amount {
        match self.limit {
            Limit::Amount(amount) => amount,
            // Powers are whole thousandths, so this is exact.
            Limit::Permille(n) => Amount::millionths(ordered.abs().in_millionths() / 1000 * n),
        }
    }

    /// The band in words: `above 6.50 D: 2 %`.
    #[must_use]
    pub fn words(&self, unit: &str, limit_unit: &str) -> String {
        let place = match (self.begins, self.to) {
            (Edge::From(from), Some(to)) => format!("{from} to {to} {unit}"),
            (Edge::Above(above), Some(to)) => format!("above {above} to {to} {unit}"),
            (Edge::From(from), None) => format!("from {from} {unit}"),
            (Edge::Above(above), None) => format!("above {above} {unit}"),
        };
        match self.limit {
            Limit::Amount(amount) => format!("{place}: {amount} {limit_unit}"),
            Limit::Permille(n) if n % 10 == 0 => format!("{place}: {} %", n / 10),
            Limit::Permille(n) => format!("{place}: {}.{} %", n / 10, n % 10),
        }
    }
}

/// What a sphere is judged on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SphereBasis {
    /// The sphere of the minus-cylinder form.
    MinusForm,
    /// The principal meridian of highest amount as ordered.
    StrongestMeridian,
}

/// How power is judged.
#[derive(Debug, Clone, PartialEq)]
pub enum PowerRule {
    /// Sphere and cylinder, each by its own ordered amount.
    SphereAndCylinder {
        /// What the sphere is.
        basis: SphereBasis,
        /// How sure it is that this edition takes that basis.
        basis_sure: Sure,
        /// Limits of the sphere.
        sphere: Rule<Bands>,
        /// Limits of the cylinder.
        cylinder: Rule<Bands>,
    },
    /// Each principal meridian, and the cylinder; limits by the stronger meridian as ordered.
    Meridians(Rule<Meridians>),
}

/// Limits by the stronger principal meridian, and for the cylinder by its own amount too.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Meridians {
    /// Upper edges of the columns of the cylinder, each belonging to the column below it.
    pub cylinder_edges: Vec<Amount>,
    /// Rows by the stronger meridian, ascending; each upper edge belongs to its row.
    pub rows: Vec<MeridianRow>,
}

/// A row of [`Meridians`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MeridianRow {
    /// Greatest power of the row; `None` = no end.
    pub to: Option<Amount>,
    /// Limit on each principal meridian, and how sure it is.
    pub meridian: (Amount, Sure),
    /// Limit on the cylinder by column, and how sure each is; one column more than there are edges.
    pub cylinder: Vec<(Amount, Sure)>,
}

impl Meridians {
    /// The row of a stronger meridian.
    #[must_use]
    pub fn row(&self, stronger: Power) -> Option<&MeridianRow> {
        let stronger = Amount::from(stronger.abs());
        self.rows.iter().find(|row| row.to.is_none_or(|to| stronger <= to))
    }

    /// The limit of a row on an ordered cylinder, and how sure it is.
    #[must_use]
    pub fn cylinder<'r>(&self, row: &'r MeridianRow, ordered: Power) -> Option<&'r (Amount, Sure)> {
        let ordered = Amount::from(ordered.abs());
        let column = self.cylinder_edges.iter().position(|edge| ordered <= *edge);
        row.cylinder.get(column.unwrap_or(self.cylinder_edges.len()))
    }
}

/// How the prism at the reference point of an uncut lens is judged.
#[derive(Debug, Clone, PartialEq)]
pub enum ReferencePointRule {
    /// By the prism there and by how far off the point of the ordered prism lies.
    PrismOrPlace(Rule<PrismOrPlace>),
    /// Horizontally and vertically, by the power of the lens.
    ByPower(Rule<PrismByPower>),
}

/// Limits on the prism at the reference point, and on the place of the point itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PrismOrPlace {
    /// Greatest prism that was not ordered, cm/m, in any direction.
    pub prism: Amount,
    /// Greatest distance from the point to where the lens shows the ordered prism, mm.
    pub place: Amount,
    /// Whether one of the two will do.
    pub combine: Combine,
    /// The other way to read it, and whose that is. Where it is another wording of this very edition, a lens on which
    /// the two differ is marginal.
    pub other: Option<(Combine, String, bool)>,
}

/// Whether one of two tests will do, or both must be met.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Combine {
    /// One will do.
    Either,
    /// Both must be met.
    Both,
}

/// Limits on the prism of an uncut lens: constant + slope times the stronger principal power, by the ordered prism.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PrismByPower(pub Vec<PrismBand>);

/// A band of [`PrismByPower`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PrismBand {
    /// Greatest ordered prism of the band, cm/m; `None` = no end.
    pub to: Option<Amount>,
    /// Horizontal limit: cm/m, and thousandths of a cm/m for each dioptre.
    pub horizontal: (Amount, i64),
    /// Vertical limit likewise.
    pub vertical: (Amount, i64),
}

impl PrismByPower {
    /// Horizontal and vertical limit, cm/m.
    #[must_use]
    pub fn limits(&self, ordered_prism: Amount, strongest: Power) -> Option<(Amount, Amount)> {
        let band = self.0.iter().find(|band| band.to.is_none_or(|to| ordered_prism.abs() <= to))?;
        let strongest = i64::from(strongest.abs().thousandths());
        let limit = |(constant, slope): (Amount, i64)| Amount::millionths(constant.in_millionths() + slope * strongest);
        Some((limit(band.horizontal), limit(band.vertical)))
    }
}

/// One edition of a standard. A table that it does not have is `None`: what it would judge is not defined.
#[derive(Debug, Clone, PartialEq)]
pub struct Standard {
    /// Its id, as the rules name it.
    pub id: String,
    /// Its name.
    pub name: String,
    /// The editions that judge uncut lenses, where it judges mounted ones only.
    pub uncut_by: Option<UncutBy>,
    /// Power of single-vision and multifocal lenses.
    pub single: Option<PowerRule>,
    /// Power of progressive-power lenses.
    pub progressive: Option<PowerRule>,
    /// Axis, degrees, by the ordered cylinder.
    pub axis: Option<Rule<Bands>>,
    /// Another edition's table of axes, named; what it would say is told beside.
    pub other_axis: Option<(String, Rule<Bands>)>,
    /// Addition, by its own amount.
    pub add: Option<Rule<Bands>>,
    /// Prism at the reference point of an uncut lens.
    pub reference_point: Option<ReferencePointRule>,
    /// Centre thickness, mm, where one is ordered.
    pub centre_thickness: Option<Rule<Amount>>,
    /// Base curve, D, where one is ordered.
    pub base_curve: Option<Rule<Amount>>,
}

/// The editions that judge uncut lenses in place of one for mounted lenses.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UncutBy {
    /// Single vision and multifocal.
    pub single: String,
    /// Progressive power.
    pub progressive: String,
}

impl Standard {
    /// How it judges the power of a kind of lens.
    #[must_use]
    pub const fn power(&self, kind: LensType) -> Option<&PowerRule> {
        match kind {
            LensType::SingleVision | LensType::Multifocal => self.single.as_ref(),
            LensType::ProgressivePower => self.progressive.as_ref(),
        }
    }
}

impl Standard {
    /// The same tables where they stand in for an edition whose own figures were not seen.
    #[must_use]
    pub fn unverified(mut self) -> Self {
        let bands = [&mut self.axis, &mut self.add].into_iter().flatten();
        let amounts = [&mut self.centre_thickness, &mut self.base_curve].into_iter().flatten();
        let others = self.other_axis.iter_mut().map(|(_, rule)| &mut rule.sure);
        let mut sures: Vec<&mut Sure> = bands.map(|r| &mut r.sure).chain(amounts.map(|r| &mut r.sure)).collect();
        sures.extend(others);
        for power in [&mut self.single, &mut self.progressive].into_iter().flatten() {
            match power {
                PowerRule::SphereAndCylinder { basis_sure, sphere, cylinder, .. } => {
                    sures.extend([basis_sure, &mut sphere.sure, &mut cylinder.sure]);
                }
                PowerRule::Meridians(rule) => {
                    for row in &mut rule.is.rows {
                        sures.push(&mut row.meridian.1);
                        sures.extend(row.cylinder.iter_mut().map(|(_, sure)| sure));
                    }
                    sures.push(&mut rule.sure);
                }
            }
        }
        match &mut self.reference_point {
            Some(ReferencePointRule::PrismOrPlace(rule)) => sures.push(&mut rule.sure),
            Some(ReferencePointRule::ByPower(rule)) => sures.push(&mut rule.sure),
            None => {}
        }
        for sure in sures {
            *sure = Sure::Unverified;
        }
        self
    }
}

/// Every edition that is known.
#[derive(Debug, Clone, PartialEq)]
pub struct Standards(pub Vec<Standard>);

impl Standards {
    /// The edition of an id.
    #[must_use]
    pub fn edition(&self, id: &str) -> Option<&Standard> {
        self.0.iter().find(|standard| standard.id == id)
    }

    /// The edition that judges an uncut lens of a kind, where the rules name `id`: itself, or the one it leaves that to.
    #[must_use]
    pub fn for_uncut(&self, id: &str, kind: LensType) -> Option<&Standard> {
        let named = self.edition(id)?;
        match (&named.uncut_by, kind) {
            (None, _) => Some(named),
            (Some(by), LensType::SingleVision | LensType::Multifocal) => self.edition(&by.single),
            (Some(by), LensType::ProgressivePower) => self.edition(&by.progressive),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mills(n: i32) -> Amount {
        Amount::thousandths(n)
    }

    #[test]
    fn an_edge_belongs_to_one_band() {
        let bands = Bands(vec![
            Band { begins: Edge::From(mills(120)), to: Some(mills(2000)), limit: Limit::Amount(mills(130)) },
            Band { begins: Edge::Above(mills(2000)), to: None, limit: Limit::Permille(20) },
        ]);
        for (ordered, limit) in [(119, None), (120, Some(130_000)), (-2000, Some(130_000)), (2001, Some(40_020))] {
            let band = bands.of(mills(ordered));
            assert_eq!(band.map(|b| b.limit(mills(ordered)).in_millionths()), limit, "{ordered}");
        }
        let above = Bands(vec![bands.0[1]]);
        assert_eq!((above.of(mills(2000)), above.of(mills(2001))), (None, Some(&bands.0[1])), "the edge lies outside");
        assert_eq!(bands.0[0].words("D", "degrees"), "0.12 to 2.00 D: 0.13 degrees");
        assert_eq!(bands.0[1].words("D", "D"), "above 2.00 D: 2 %");
    }

    #[test]
    fn words_stand_in_the_order_of_their_degrees() {
        for (n, (word, sure)) in Sure::WORDS.iter().enumerate() {
            assert_eq!((sure.word(), *sure as usize), (*word, n));
        }
    }
}
