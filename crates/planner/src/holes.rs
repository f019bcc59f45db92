//! The holes of a drilled lens: what stands between each and the edge, how thick the lens is there, what drilling takes off.

use job::rules::Rules;
use job::{Eye, Finding, Mounting, Order, kinds};
use lens::{Cutting, NoLens};
use outline::{Outline, Point};
use units::maths::hypot;
use units::{Mm, Working, step};

use crate::plan::{LensPlan, Place};
use crate::said::{mm1, mm2};

/// One hole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HolePlan {
    /// Where its middle is.
    pub at: Place,
    /// Its diameter.
    pub diameter: Mm,
    /// From its wall to the cut outline; negative where it breaks through the edge or lies outside.
    pub wall: Mm,
    /// Thickness at its middle, along the cutting axis; absent outside the lens.
    pub thickness: Option<Mm>,
    /// What drilling takes off, mm3.
    pub volume_mm3: f64,
}

/// The holes of one eye, in the order's sequence.
///
/// # Errors
/// [`NoLens`] where a surface does not reach a hole that lies within the outline.
pub(crate) fn figure(
    w: &mut Working,
    order: &Order,
    eye: Eye,
    held: &Cutting,
    outline: &Outline,
) -> Result<Vec<HolePlan>, NoLens> {
    let mut holes = Vec::new();
    if order.frame.mounting != Mounting::Drilled {
        return Ok(holes);
    }
    for (i, hole) in order.frame.holes.iter().filter(|hole| hole.eye == eye).enumerate() {
        let at = Place { inwards: hole.inwards, up: hole.up };
        let (x, y) = at.xy(eye);
        let middle = Point::new(x, y);
        let edge = outline.point(outline.towards(middle.direction()));
        let to_outline = outline.nearest(middle).distance.mm();
        let is_inside = x * x + y * y < edge.x * edge.x + edge.y * edge.y;
        let wall = if is_inside { to_outline } else { -to_outline } - hole.diameter.mm() / 2.0;
        let (thickness, volume_mm3) = if is_inside {
            w.figure(eye.word(), &format!("holes.{i}.thickness_mm"));
            w.uses(eye.word(), "surfaces");
            (
                Some(held.thickness(w, middle)?),
                if wall >= 0.0 { drilled(w, eye, i, held, middle, hole.diameter)? } else { 0.0 },
            )
        } else {
            (None, 0.0)
        };
        holes.push(HolePlan { at, diameter: hole.diameter, wall: Mm::new(wall), thickness, volume_mm3 });
    }
    Ok(holes)
}

/// What a hole takes off: its area times the mean thickness, which four places at 1/sqrt 2 of its radius give exactly for
/// surfaces of the second degree.
fn drilled(w: &mut Working, eye: Eye, i: usize, held: &Cutting, at: Point, diameter: Mm) -> Result<f64, NoLens> {
    let radius = diameter.mm() / 2.0;
    let aside = radius * core::f64::consts::FRAC_1_SQRT_2;
    let mut sum = 0.0;
    for (dx, dy) in [(aside, 0.0), (-aside, 0.0), (0.0, aside), (0.0, -aside)] {
        sum += held.thickness(&mut Working::off(), Point::new(at.x + dx, at.y + dy))?.mm();
    }
    w.figure(eye.word(), &format!("holes.{i}.volume_mm3"));
    let (mean, pi) = (sum / 4.0, core::f64::consts::PI);
    Ok(step!(w, volume = pi * radius * radius * mean; pi[""], radius["mm"], mean["mm"]; "mm3",
        "area times the mean thickness, from four places at 1/sqrt 2 of the radius"))
}

/// A hole so near to where the pupil looks through is a slip of the pen, mm: own choice.
const IN_SIGHT_MM: f64 = 8.0;

fn apart(one: Place, other: Place) -> Mm {
    Mm::new(hypot((one.inwards - other.inwards).mm(), (one.up - other.up).mm()))
}

/// Two holes without lens between them.
fn overlapping(eye: Eye, holes: &[HolePlan], found: &mut Vec<Finding>) {
    for (i, one) in holes.iter().enumerate() {
        for other in &holes[i + 1..] {
            let left = apart(one.at, other.at) - (one.diameter + other.diameter) / 2.0;
            if left <= Mm::ZERO {
                found.push(
                    Finding::new(&kinds::HOLES_OVERLAP, "holes.in_mm", mm1(other.at.inwards.mm()))
                        .of(eye)
                        .weighs(10.0)
                        .says(
                            format!(
                                "the holes {} and {} run into one another by {} mm",
                                crate::placing::place_words(one.at),
                                crate::placing::place_words(other.at),
                                mm2(-left.mm())
                            ),
                            "measure both again from the boxed centre; a slot is drilled by hand, not from this plan",
                        ),
                );
            }
        }
    }
}

/// What the holes ask.
pub(crate) fn findings(
    order: &Order,
    rules: &Rules,
    eye: Eye,
    lens: &LensPlan,
    sight: Option<Place>,
    found: &mut Vec<Finding>,
) {
    overlapping(eye, &lens.holes, found);
    if order.frame.mounting == Mounting::Drilled && lens.holes.is_empty() {
        found.push(Finding::new(&kinds::HOLES_NOT_GIVEN, "holes", "none").of(eye).says(
            "the order does not say where this lens is drilled: the edge at the holes is not figured",
            "measure them on the demonstration lens and write [frame] holes",
        ));
    }
    let stated = order.frame.holes.iter().filter(|hole| hole.eye == eye).count();
    if stated > lens.holes.len() {
        found.push(
            Finding::new(&kinds::HOLES_NOT_OF_MOUNTING, "frame.holes", stated.to_string()).of(eye).weighs(1.0).says(
                format!(
                    "the order states holes in this lens, but the frame is {}: none is figured",
                    order.frame.mounting.word()
                ),
                "write mounting = \"drilled\", or take the holes out of the order",
            ),
        );
    }
    for hole in &lens.holes {
        let place = crate::placing::place_words(hole.at);
        if hole.wall < Mm::ZERO {
            let outside = hole.thickness.is_none();
            found.push(
                Finding::new(&kinds::HOLE_OUTSIDE, "holes.wall_mm", mm2(hole.wall.mm()))
                    .of(eye)
                    .limit("0.00")
                    .unit("mm")
                    .weighs(10.0 - hole.wall.mm())
                    .says(
                        format!(
                            "the hole {place} {} by {} mm",
                            if outside { "lies outside the lens" } else { "breaks through the edge" },
                            mm2(-hole.wall.mm())
                        ),
                        "measure it again from the boxed centre: in is towards the nose, up is up",
                    ),
            );
            continue;
        }
        if let Some(off) = sight.map(|sight| apart(sight, hole.at)).filter(|off| off.mm() < IN_SIGHT_MM) {
            found.push(
                Finding::new(&kinds::HOLE_IN_SIGHT, "holes.in_mm", mm1(hole.at.inwards.mm()))
                    .of(eye)
                    .limit(mm1(IN_SIGHT_MM))
                    .unit("mm")
                    .weighs(5.0)
                    .says(
                        format!("the hole {place} stands {} mm from where the pupil looks through", mm1(off.mm())),
                        "measure it again from the boxed centre",
                    ),
            );
        }
        let limits = &rules.least;
        if hole.wall < limits.hole_wall_ask {
            found.push(
                Finding::new(&kinds::HOLE_NEAR_EDGE, "holes.wall_mm", mm2(hole.wall.mm()))
                    .of(eye)
                    .limit(mm2(limits.hole_wall_ask.mm()))
                    .unit("mm")
                    .weighs((limits.hole_wall_ask - hole.wall).mm())
                    .says(
                        format!("{} mm stand between the hole {place} and the edge", mm2(hole.wall.mm())),
                        "measure it again; the hardware fixes the place, so take another mount or a larger shape, or answer if the material bears it",
                    ),
            );
        }
        let Some(thickness) = hole.thickness else { continue };
        let at_hole = |kind, limit: Mm, off: Mm, mend: &str| {
            Finding::new(kind, "holes.thickness_mm", mm2(thickness.mm()))
                .of(eye)
                .limit(mm2(limit.mm()))
                .unit("mm")
                .weighs(off.mm())
                .says(
                    format!(
                        "the lens is {} mm thick at the hole {place}; hardware takes {} to {} mm",
                        mm2(thickness.mm()),
                        mm1(limits.hole_edge_ask.mm()),
                        mm1(limits.drilled_most_ask.mm())
                    ),
                    mend,
                )
        };
        if thickness < limits.drilled_stop {
            let mend = "take a thicker blank, or move the hole to where the lens is thicker";
            found.push(at_hole(&kinds::HOLE_TOO_THIN, limits.drilled_stop, limits.hole_edge_ask - thickness, mend));
        } else if thickness < limits.hole_edge_ask {
            let mend = "take a thicker blank or a tougher material; answer if the hardware may stay so thin";
            found.push(at_hole(&kinds::HOLE_THIN, limits.hole_edge_ask, limits.hole_edge_ask - thickness, mend));
        } else if thickness > limits.drilled_most_ask {
            let mend = "see that the screws are long enough, or take a higher index";
            found.push(at_hole(&kinds::HOLE_THICK, limits.drilled_most_ask, thickness - limits.drilled_most_ask, mend));
        }
    }
}
