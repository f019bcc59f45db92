//! The files of `demo/`, carried inside the program.

/// Name and bytes of each.
pub(super) const DEMO: &[(&str, &[u8])] = &[];
