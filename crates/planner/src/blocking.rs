//! Blocking and marking: what the hands do before the cut.

use job::prescription::InUp;
use job::rules::Block;
use job::{Eye, Finding, Treatments, kinds};
use lens::{CutOutline, Cutting};
use optics::OrderedPower;
use outline::Point;
use units::maths::sin_deg;
use units::{Mm, Working, step};

use crate::plan::{BlockPlan, Marking, Place};
use crate::said::{at, fixed, mm1, mm2};

/// A turn on the block that slips happen by, degrees; what it costs is 2 C sin(turn).
const SLIP_DEG: f64 = 2.0;
/// Cylinders from here on make a slip worth a word, D: common practice, no source.
const SLIP_CYLINDER_D: f64 = 1.0;

/// Block point, lean of the cutting axis, and the largest block that leaves lens around it.
pub(crate) fn block(
    w: &mut Working,
    eye: Eye,
    rules: &Block,
    cutting: &Cutting,
    cut: &CutOutline,
    box_height: Mm,
    found: &mut Vec<Finding>,
) -> BlockPlan {
    w.figure(eye.word(), "block.tilt_in_deg");
    let [right, up] = cutting.lean_deg(w);
    let (lean, nasal) = (right, eye.nasal());
    let tilt_in_deg = step!(w, tilt_in = lean * nasal; lean["deg"], nasal[""]; "deg", "nasal is +1 right, -1 left");
    w.figure(eye.word(), "block.tilt_up_deg");
    w.uses(eye.word(), "block.tilt_in_deg");
    let tilt_up_deg = step!(w, tilt_up = up; up["deg"]; "deg", "as leaned");
    let at_point = cutting.block_point();
    let nearest = cut.outline().nearest(at_point);
    w.figure(eye.word(), "block.clears_mm");
    let shortest = nearest.distance.mm();
    let shortest_deg = cut.outline().direction_of(nearest.t).direction_deg();
    w.say(|| format!("Shortest radius of the cut outline about the block point, at {}.", at(shortest_deg)));
    let least = rules.clear_least.mm();
    let room = step!(w, largest = 2.0 * (shortest - least); shortest["mm"], least["mm"]; "mm",
        "lens left beyond the block: common practice, no source");
    // The largest block that leaves what is wanted, else the largest that leaves the least.
    let largest = |left: Mm| {
        let fits = |d: &&Mm| shortest - d.mm() / 2.0 >= left.mm() - 1e-9;
        rules.diameters.iter().filter(fits).copied().reduce(Mm::max)
    };
    let diameter = largest(rules.clear_wanted).or_else(|| largest(rules.clear_least));
    if diameter.is_none() {
        found.push(
            Finding::new(&kinds::BLOCK_TOO_LARGE, "block.diameter_mm", mm1(room))
                .of(eye)
                .limit(mm1(rules.diameters.first().map_or(0.0, |d| d.mm())))
                .unit("mm")
                .weighs(1.0)
                .says(
                    format!("a block may be {} mm across at the most, {} mm of lens left around it; the smallest here is larger", mm1(room), mm1(least)),
                    "use a smaller block, or block at the boxed centre",
                ),
        );
    }
    if box_height < rules.clamp_least {
        found.push(
            Finding::new(&kinds::SHAPE_NARROW, "box.height_mm", mm1(box_height.mm()))
                .of(eye)
                .limit(mm1(rules.clamp_least.mm()))
                .unit("mm")
                .weighs(0.5)
                .says(
                    format!(
                        "the shape is {} mm high; the clamp likes {} mm",
                        mm1(box_height.mm()),
                        mm1(rules.clamp_least.mm())
                    ),
                    "fit the smallest clamp and pads; cut with less pressure",
                ),
        );
    }
    BlockPlan {
        at: Place::from_xy(eye, at_point.x, at_point.y),
        tilt_in_deg,
        tilt_up_deg,
        diameter,
        shortest_radius: nearest.distance,
        shortest_deg,
    }
}

/// Dots and focimeter: the middle dot is the vertex, where the focimeter shows the ground prism and no other.
pub(crate) fn marking(
    power: OrderedPower,
    (vertex, ground): (Place, InUp),
    block: &BlockPlan,
    middle: Place,
) -> Marking {
    let seen_from = |from: Place| Place { inwards: vertex.inwards - from.inwards, up: vertex.up - from.up };
    Marking {
        focimeter_axis_deg: power.cylinder().map(|(_, axis)| axis.deg()),
        dot_prism: ground,
        dot_from_block: seen_from(block.at),
        dot_from_blank_middle: seen_from(middle),
    }
}

/// A word about slipping, where coat and cylinder make it matter.
pub(crate) fn slip(eye: Eye, power: OrderedPower, treatments: Treatments, found: &mut Vec<Finding>) {
    let Some((cylinder, _)) = power.cylinder() else { return };
    let cylinder = cylinder.abs().dioptre().dioptres();
    if cylinder >= SLIP_CYLINDER_D && treatments.has(Treatments::HYDROPHOBIC) {
        let costs = 2.0 * cylinder * sin_deg(SLIP_DEG);
        found.push(
            Finding::new(&kinds::SLIP_RISK, "marking", mm2(costs)).of(eye).unit("D").weighs(costs).says(
                format!(
                    "a slippery coat on a cylinder of {} D: a slip of {} degrees adds {} D of unwanted cylinder",
                    mm2(cylinder),
                    fixed(SLIP_DEG, 0),
                    mm2(costs)
                ),
                "gripping film on both sides, largest block that clears, two pen lines across block and lens before the cut",
            ),
        );
    }
}

/// Where a place of the viewer's plane lies, as in and up.
pub(crate) fn place(eye: Eye, at: Point) -> Place {
    Place::from_xy(eye, at.x, at.y)
}
