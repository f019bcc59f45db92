//! Vectors in the lens's axes: x to the viewer's right, y up, depth towards the eye; mm.

/// x, y, depth. Every figure here is a dot product or a distance, so that no handedness enters.
pub(crate) type Vec3 = [f64; 3];

#[inline]
pub(crate) fn dot(a: Vec3, b: Vec3) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

#[inline]
pub(crate) fn minus(a: Vec3, b: Vec3) -> Vec3 {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

/// a + k b.
#[inline]
pub(crate) fn plus(a: Vec3, k: f64, b: Vec3) -> Vec3 {
    [a[0] + k * b[0], a[1] + k * b[1], a[2] + k * b[2]]
}

/// Three directions square to one another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Basis {
    pub(crate) x: Vec3,
    pub(crate) y: Vec3,
    pub(crate) depth: Vec3,
}

impl Basis {
    /// The lens's own axes.
    pub(crate) const LENS: Self = Self { x: [1.0, 0.0, 0.0], y: [0.0, 1.0, 0.0], depth: [0.0, 0.0, 1.0] };

    /// The lens's axes after the least turn, without twist, that brings the depth axis onto `depth`, a unit vector
    /// within less than half a turn of it (Rodrigues' formula with the axis depth x `depth`, multiplied out).
    pub(crate) fn least_turn_to(depth: Vec3) -> Self {
        let [ax, ay, az] = depth;
        let k = 1.0 / (1.0 + az);
        Self { x: [1.0 - ax * ax * k, -ax * ay * k, -ax], y: [-ax * ay * k, 1.0 - ay * ay * k, -ay], depth }
    }
}

/// The unit vector of this direction.
pub(crate) fn unit(a: Vec3) -> Vec3 {
    let k = 1.0 / dot(a, a).sqrt();
    a.map(|x| x * k)
}
