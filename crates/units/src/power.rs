//! Powers and prisms as people write them: exact, compared in integers.

use core::fmt;

use crate::{CmPerM, Dioptre};

/// An ordered, labelled or read power: whole thousandths of a dioptre, so that equal powers are equal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Power(i32);

/// A power together with the text it was written as.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WrittenPower {
    /// The exact value.
    pub power: Power,
    /// As written: `-1.12` stays `-1.12` while its value is -1.125.
    pub written: String,
}

/// The amount of an ordered prism: whole thousandths of a prism dioptre, never negative.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct PrismAmount(u32);

/// Why a text is no power or prism.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotAPower {
    /// Digits without + or -; only plano may do without.
    NoSign {
        /// What was written.
        given: String,
    },
    /// Not a decimal number with at most three places.
    NotANumber {
        /// What was written.
        given: String,
    },
    /// Beyond what spectacles are made in.
    OutOfRange {
        /// What was written.
        given: String,
        /// The greatest amount taken.
        most: u16,
    },
}

impl fmt::Display for NotAPower {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoSign { given } => write!(f, "`{given}` has no sign"),
            Self::NotANumber { given } => write!(f, "`{given}` is not a number with at most three decimals"),
            Self::OutOfRange { given, most } => write!(f, "`{given}` is beyond {most}"),
        }
    }
}
impl std::error::Error for NotAPower {}

impl NotAPower {
    /// How to mend it.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            Self::NoSign { given } => format!("write +{given} or -{given}, as the prescription has it"),
            Self::NotANumber { .. } => "write sign, digits, point, two decimals: -4.25".to_owned(),
            Self::OutOfRange { given, .. } => format!("is a decimal point missing in {given}?"),
        }
    }
}

impl Power {
    /// Plano.
    pub const ZERO: Self = Self(0);
    /// Greatest amount that is taken as a power, in dioptres.
    pub const MOST_D: u16 = 40;

    /// From whole thousandths of a dioptre.
    #[must_use]
    pub const fn from_thousandths(thousandths: i32) -> Self {
        Self(thousandths)
    }

    /// In whole thousandths of a dioptre.
    #[must_use]
    pub const fn thousandths(self) -> i32 {
        self.0
    }

    /// As a computed power, for formulas.
    #[must_use]
    pub fn dioptre(self) -> Dioptre {
        Dioptre::new(f64::from(self.0) / 1000.0)
    }

    /// Reads a power as it stands: sign, digits, at most three decimals; `plano` and `0.00` need no sign.
    ///
    /// # Errors
    /// [`NotAPower`] where the sign is missing, the text is no decimal, or the amount is over 40 D.
    pub fn parse(text: &str) -> Result<Self, NotAPower> {
        let text = text.trim();
        if text.eq_ignore_ascii_case("plano") || text.eq_ignore_ascii_case("pl") {
            return Ok(Self::ZERO);
        }
        let (negative, digits) = match text.strip_prefix(['-', '\u{2212}']) {
            Some(rest) => (true, rest),
            None => (false, text.strip_prefix('+').unwrap_or(text)),
        };
        let amount = thousandths(digits, Self::MOST_D, text)?;
        if amount != 0 && digits.len() == text.len() {
            return Err(NotAPower::NoSign { given: text.to_owned() });
        }
        Ok(Self(if negative { -amount } else { amount }))
    }

    /// Reads a power that was written in eighths: two decimals cut an eighth short, so `0.12` and `0.13` mean 0.125,
    /// `0.37` and `0.38` 0.375, and so on. Three decimals stand as written. Orders and packets are read so; a
    /// focimeter's reading counts as written.
    ///
    /// # Errors
    /// As [`Power::parse`].
    pub fn parse_eighths(text: &str) -> Result<Self, NotAPower> {
        let power = Self::parse(text)?;
        let two_decimals = text.trim().split_once('.').is_some_and(|(_, decimals)| decimals.len() == 2);
        Ok(if two_decimals { Self(restore_eighth(power.0)) } else { power })
    }

    /// The amount without its sign.
    #[must_use]
    pub const fn abs(self) -> Self {
        Self(self.0.abs())
    }
}

fn restore_eighth(thousandths: i32) -> i32 {
    let sign = thousandths.signum();
    let amount = thousandths.abs();
    let restored = match amount % 250 {
        120 => amount + 5,
        130 => amount - 5,
        _ => amount,
    };
    sign * restored
}

/// Digits with at most three decimals, as thousandths.
fn thousandths(digits: &str, most: u16, given: &str) -> Result<i32, NotAPower> {
    let not_a_number = || NotAPower::NotANumber { given: given.to_owned() };
    let (whole, decimals) = digits.split_once('.').unwrap_or((digits, ""));
    let all_digits = |t: &str| t.bytes().all(|b| b.is_ascii_digit());
    if (whole.is_empty() && decimals.is_empty()) || !all_digits(whole) || !all_digits(decimals) || decimals.len() > 3 {
        return Err(not_a_number());
    }
    let out_of_range = || NotAPower::OutOfRange { given: given.to_owned(), most };
    if whole.len() > 6 {
        return Err(out_of_range());
    }
    let number = |t: &str| t.bytes().fold(0i32, |n, b| n * 10 + i32::from(b - b'0'));
    let scale = [1000, 100, 10, 1][decimals.len()];
    let amount = number(whole) * 1000 + number(decimals) * scale;
    if amount > i32::from(most) * 1000 { Err(out_of_range()) } else { Ok(amount) }
}

impl core::ops::Add for Power {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}
impl core::ops::Sub for Power {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}
impl core::ops::Neg for Power {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

/// Sign, digits, two decimals, three where the power needs them. ASCII minus; a screen may set U+2212.
impl fmt::Display for Power {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { '-' } else { '+' };
        let (whole, rest) = (self.0.abs() / 1000, self.0.abs() % 1000);
        if rest % 10 == 0 { write!(f, "{sign}{whole}.{:02}", rest / 10) } else { write!(f, "{sign}{whole}.{rest:03}") }
    }
}

impl WrittenPower {
    /// Reads an ordered power, eighths restored, and keeps its text.
    ///
    /// # Errors
    /// As [`Power::parse`].
    pub fn parse(text: &str) -> Result<Self, NotAPower> {
        Ok(Self { power: Power::parse_eighths(text)?, written: text.trim().to_owned() })
    }
}

impl PrismAmount {
    /// Greatest amount that is taken as a prism, in prism dioptres.
    pub const MOST_CM_PER_M: u16 = 40;

    /// From whole thousandths of a prism dioptre.
    #[must_use]
    pub const fn from_thousandths(thousandths: u32) -> Self {
        Self(thousandths)
    }

    /// In whole thousandths of a prism dioptre.
    #[must_use]
    pub const fn thousandths(self) -> u32 {
        self.0
    }

    /// As a computed prism, for formulas.
    #[must_use]
    pub fn cm_per_m(self) -> CmPerM {
        CmPerM::new(f64::from(self.0) / 1000.0)
    }

    /// Reads an amount: digits, at most three decimals, no sign.
    ///
    /// # Errors
    /// [`NotAPower`] where the text is no decimal or the amount is over 40 prism dioptres.
    pub fn parse(text: &str) -> Result<Self, NotAPower> {
        let text = text.trim();
        thousandths(text, Self::MOST_CM_PER_M, text).map(|n| Self(n.unsigned_abs()))
    }
}

impl fmt::Display for PrismAmount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (whole, rest) = (self.0 / 1000, self.0 % 1000);
        if rest % 10 == 0 { write!(f, "{whole}.{:02}", rest / 10) } else { write!(f, "{whole}.{rest:03}") }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_what_people_write() {
        for (text, want) in [
            ("-4.25", -4250),
            ("+0.50", 500),
            ("plano", 0),
            ("0.00", 0),
            ("\u{2212}1.00", -1000),
            ("-0.12", -125),
            ("+1.13", 1125),
            ("-0.62", -625),
            ("+0.88", 875),
            ("-0.120", -120),
            ("+3", 3000),
        ] {
            assert_eq!(Power::parse_eighths(text).map(Power::thousandths), Ok(want), "{text}");
        }
        assert_eq!(Power::parse("-0.12").map(Power::thousandths), Ok(-120), "a reading counts as written");
    }

    #[test]
    fn refuses_what_is_no_power() {
        assert!(matches!(Power::parse("4.25"), Err(NotAPower::NoSign { .. })));
        for text in ["", "+", "-", "1,25", "NaN", "+inf", "--1.00", "+1e2", "+0.0001", "none"] {
            assert!(matches!(Power::parse(text), Err(NotAPower::NotANumber { .. })), "{text}");
        }
        for text in ["-425", "+99999999999999999999"] {
            assert!(matches!(Power::parse(text), Err(NotAPower::OutOfRange { .. })), "{text}");
        }
    }

    #[test]
    fn shows_sign_and_two_decimals() {
        for (n, want) in [(-4250, "-4.25"), (0, "+0.00"), (-125, "-0.125"), (12_500, "+12.50")] {
            assert_eq!(Power::from_thousandths(n).to_string(), want);
        }
    }

    proptest::proptest! {
        #[test]
        fn what_is_shown_reads_back(n in -40_000i32..=40_000) {
            let power = Power::from_thousandths(n);
            proptest::prop_assert_eq!(Power::parse(&power.to_string()), Ok(power));
        }
    }
}
