//! Treatments of a lens: coatings, tints, films.

use core::fmt;

/// A set of treatments, by their place in [`TreatmentNames`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Treatments(u64);

/// The treatments known: nine of the trade, and what the rules add.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TreatmentNames(Vec<String>);

impl Treatments {
    /// None at all.
    pub const NONE: Self = Self(0);
    /// `anti-reflective`.
    pub const ANTI_REFLECTIVE: Self = Self(1);
    /// `hydrophobic`.
    pub const HYDROPHOBIC: Self = Self(1 << 1);
    /// `scratch`.
    pub const SCRATCH: Self = Self(1 << 2);
    /// `tint`.
    pub const TINT: Self = Self(1 << 3);
    /// `gradient`.
    pub const GRADIENT: Self = Self(1 << 4);
    /// `photochromic`.
    pub const PHOTOCHROMIC: Self = Self(1 << 5);
    /// `polarised`.
    pub const POLARISED: Self = Self(1 << 6);
    /// `mirror`.
    pub const MIRROR: Self = Self(1 << 7);
    /// `uv`.
    pub const UV: Self = Self(1 << 8);
    /// What a wearer who did not order it would not mind: clear coats that change neither colour nor light.
    pub const UNNOTICED: Self = Self(Self::ANTI_REFLECTIVE.0 | Self::HYDROPHOBIC.0 | Self::SCRATCH.0 | Self::UV.0);

    /// Both together.
    #[must_use]
    pub const fn with(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    /// Those that `other` lacks.
    #[must_use]
    pub const fn without(self, other: Self) -> Self {
        Self(self.0 & !other.0)
    }

    /// Whether all of `other` are in this set.
    #[must_use]
    pub const fn has(self, other: Self) -> bool {
        self.0 & other.0 == other.0
    }

    /// Whether there are none.
    #[must_use]
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// How many.
    #[must_use]
    pub const fn count(self) -> u32 {
        self.0.count_ones()
    }
}

impl TreatmentNames {
    /// The nine of the trade, in the order of the constants of [`Treatments`].
    pub const TRADE: [&'static str; 9] =
        ["anti-reflective", "hydrophobic", "scratch", "tint", "gradient", "photochromic", "polarised", "mirror", "uv"];
    /// Most names there can be.
    pub const MOST: usize = 64;

    /// The nine, and the shop's own after them. `None` beyond 64 in all.
    #[must_use]
    pub fn with(own: &[String]) -> Option<Self> {
        let mut names: Vec<String> = Self::TRADE.iter().map(|&n| n.to_owned()).collect();
        for name in own {
            if !names.contains(name) {
                names.push(name.clone());
            }
        }
        (names.len() <= Self::MOST).then_some(Self(names))
    }

    /// The set of one name, if it is known.
    #[must_use]
    pub fn find(&self, name: &str) -> Option<Treatments> {
        self.0.iter().position(|n| n == name).map(|i| Treatments(1 << i))
    }

    /// Every name.
    #[must_use]
    pub fn all(&self) -> &[String] {
        &self.0
    }

    /// The names of a set, in their fixed order.
    pub fn of(&self, set: Treatments) -> impl Iterator<Item = &str> {
        self.0.iter().enumerate().filter(move |(i, _)| set.0 >> i & 1 == 1).map(|(_, n)| n.as_str())
    }

    /// A set joined by `+`, as a shelf writes it.
    #[must_use]
    pub fn joined(&self, set: Treatments) -> String {
        self.of(set).collect::<Vec<_>>().join("+")
    }
}

impl fmt::Display for TreatmentNames {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0.join(", "))
    }
}
