//! The functions that formulas may use: same bits on every machine, and the same names in a printed working.
//!
//! `std`'s sine, power and logarithm depend on the platform's mathematics library; these come from `libm`, and square
//! roots are exact by IEEE 754. Names ending in `_deg` take or give degrees, because a printed working shows degrees.

/// Square root.
#[inline]
#[must_use]
pub fn sqrt(x: f64) -> f64 {
    x.sqrt()
}
/// x squared.
#[inline]
#[must_use]
pub fn sq(x: f64) -> f64 {
    x * x
}
/// Amount without sign.
#[inline]
#[must_use]
pub fn abs(x: f64) -> f64 {
    x.abs()
}
/// Length of the vector (x, y).
#[inline]
#[must_use]
pub fn hypot(x: f64, y: f64) -> f64 {
    // libm's hypot guards against overflow at ten times the cost; lengths here are millimetres.
    (x * x + y * y).sqrt()
}
/// Smaller of two.
#[inline]
#[must_use]
pub fn min(x: f64, y: f64) -> f64 {
    x.min(y)
}
/// Greater of two.
#[inline]
#[must_use]
pub fn max(x: f64, y: f64) -> f64 {
    x.max(y)
}
/// Sine of an angle in degrees.
#[must_use]
pub fn sin_deg(deg: f64) -> f64 {
    libm::sin(deg.to_radians())
}
/// Cosine of an angle in degrees.
#[must_use]
pub fn cos_deg(deg: f64) -> f64 {
    libm::cos(deg.to_radians())
}
/// Tangent of an angle in degrees.
#[must_use]
pub fn tan_deg(deg: f64) -> f64 {
    libm::tan(deg.to_radians())
}
/// Angle in degrees, -90 to 90, whose sine is x.
#[must_use]
pub fn asin_deg(x: f64) -> f64 {
    libm::asin(x).to_degrees()
}
/// Angle in degrees whose tangent is x.
#[must_use]
pub fn atan_deg(x: f64) -> f64 {
    libm::atan(x).to_degrees()
}
/// Direction in degrees, above -180 to 180, of the vector (x, y).
#[must_use]
pub fn atan2_deg(y: f64, x: f64) -> f64 {
    libm::atan2(y, x).to_degrees()
}
