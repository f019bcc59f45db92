//! Where the eyes cross the lens plane when they look at something near.

use units::{Mm, Working, step};

/// Distance from the mid-line at which a line of sight crosses the lens plane for a near task, mm.
///
/// near = far · task / (task + rotation): similar triangles from the task, on the mid-line, to the eye's centre of
/// rotation. Serves one eye's distance and the pair's alike.
///
/// - `task`: lens to task, mm, above zero; `rotation`: lens to the centre of rotation, usually 27 mm.
/// - Source: practitioners' forum formula,
///   <http://www.optiboard.com/forums/showthread.php/29253-Distance-PD-vs-Near-Pd>; by similar triangles.
pub fn near_pd(w: &mut Working, far: Mm, task: Mm, rotation: Mm) -> Mm {
    let (far, task, rotation) = (far.mm(), task.mm(), rotation.mm());
    Mm::new(step!(w, near_pd = far * task / (task + rotation);
        far["mm"], task["mm"], rotation["mm"];
        "mm", "similar triangles to the centre of rotation"))
}
