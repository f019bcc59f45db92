//! The two lenses together: what an error of an input does to their figures, and how they stand to each other.
//!
//! A doubt's two ends, and a lens that evens the pair out, are promises about another plan: here that plan is made, from an
//! order or a shelf row in which the value stands as it was promised, and held against the promise.

mod balance;
mod bench;
mod doubt;
