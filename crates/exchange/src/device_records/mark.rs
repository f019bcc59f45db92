//! How sure we are of a record.

/// The weakest of what is known of a record's label, of its meaning, and of the code that it holds.
///
/// How angles turn in a trace is from memory too, and one file of real data agrees; traces are written all the same,
/// since without them there is nothing to cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Mark {
    /// A public secondary source.
    Secondary,
    /// The shape of real record data.
    Data,
    /// From memory: over 85 %.
    High,
    /// From memory: 60 to 85 %.
    Medium,
    /// From memory: below 60 %.
    Low,
}

impl Mark {
    /// Whether nothing but memory bears it out.
    #[must_use]
    pub const fn is_from_memory(self) -> bool {
        matches!(self, Self::High | Self::Medium | Self::Low)
    }

    /// In words, as the label table has them.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Secondary => "secondary",
            Self::Data => "data",
            Self::High => "memory high",
            Self::Medium => "memory medium",
            Self::Low => "memory low",
        }
    }
}
