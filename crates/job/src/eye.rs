//! Right and left: the wearer's, never the viewer's.

use core::fmt;
use core::ops::{Index, IndexMut};

/// One eye of the wearer. The right eye stands on the viewer's left.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Eye {
    /// The wearer's right eye; nose towards +x.
    Right,
    /// The wearer's left eye; nose towards -x.
    Left,
}

impl Eye {
    /// Right first, as the trade reads.
    pub const BOTH: [Self; 2] = [Self::Right, Self::Left];

    /// `right` or `left`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Right => "right",
            Self::Left => "left",
        }
    }

    /// `R` or `L`.
    #[must_use]
    pub const fn letter(self) -> &'static str {
        match self {
            Self::Right => "R",
            Self::Left => "L",
        }
    }

    /// The fellow eye.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Right => Self::Left,
            Self::Left => Self::Right,
        }
    }

    /// +1 for the right eye, -1 for the left: *in* times this is x, and x times this is *in*.
    #[must_use]
    pub const fn nasal(self) -> f64 {
        match self {
            Self::Right => 1.0,
            Self::Left => -1.0,
        }
    }
}

impl fmt::Display for Eye {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// Which eyes a job makes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Eyes {
    /// A pair.
    Both,
    /// The right lens only.
    Right,
    /// The left lens only.
    Left,
}

impl Eyes {
    /// The eyes that are made, right first.
    #[must_use]
    pub const fn made(self) -> &'static [Eye] {
        match self {
            Self::Both => &Eye::BOTH,
            Self::Right => &[Eye::Right],
            Self::Left => &[Eye::Left],
        }
    }

    /// Whether this eye is made.
    #[must_use]
    pub fn makes(self, eye: Eye) -> bool {
        self.made().contains(&eye)
    }
}

/// One value for each eye.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct PerEye<T> {
    /// The right eye's.
    pub right: T,
    /// The left eye's.
    pub left: T,
}

impl<T> PerEye<T> {
    /// Makes both, right first.
    pub fn from_fn(mut make: impl FnMut(Eye) -> T) -> Self {
        Self { right: make(Eye::Right), left: make(Eye::Left) }
    }

    /// Right first, each with its eye.
    pub fn iter(&self) -> impl Iterator<Item = (Eye, &T)> {
        [(Eye::Right, &self.right), (Eye::Left, &self.left)].into_iter()
    }

    /// Borrowed.
    pub const fn as_ref(&self) -> PerEye<&T> {
        PerEye { right: &self.right, left: &self.left }
    }

    /// Each eye's value changed alike.
    pub fn map<U>(self, mut f: impl FnMut(T) -> U) -> PerEye<U> {
        PerEye { right: f(self.right), left: f(self.left) }
    }
}

impl<T> Index<Eye> for PerEye<T> {
    type Output = T;
    fn index(&self, eye: Eye) -> &T {
        match eye {
            Eye::Right => &self.right,
            Eye::Left => &self.left,
        }
    }
}

impl<T> IndexMut<Eye> for PerEye<T> {
    fn index_mut(&mut self, eye: Eye) -> &mut T {
        match eye {
            Eye::Right => &mut self.right,
            Eye::Left => &mut self.left,
        }
    }
}
