//! The figures of the chosen lens, each the result of its working.

use job::prescription::InUp;
use job::rules::CuttingAxis;
use job::{Eye, Finding};
use lens::{Cutting, EdgeExtremes, EdgePoint, HalfExponent, NoLens, Walls};
use outline::Point;
use std::sync::Arc;
use units::maths::{atan2_deg, hypot};
use units::{Angle, Dioptre, Mm, Working, step};

use crate::blocking;
use crate::candidate::{Fit, Making, Wanted, cutting, lens_of, middle_in_lens};
use crate::holes;
use crate::placing::met;
use crate::plan::{Assumed, CoveragePlan, EdgePlan, EdgeRow, LensPlan, Place, Rescue, Spread, ThicknessPlan};
use crate::shape::Shape;

/// Directions of the edge's rows, degrees.
const ROW_STEP_DEG: u32 = 5;

/// Figures the lens out of its blank.
pub(crate) fn lens(
    w: &mut Working,
    want: &Wanted<'_>,
    fit: &Fit,
    shape: &Shape,
    found: &mut Vec<Finding>,
) -> Result<LensPlan, NoLens> {
    let eye = want.eye;
    let placed = &fit.placed;
    let (curve, centre) = (&fit.figures.front_curve_1530_d, &fit.figures.centre);
    let index = fit.figures.index;

    w.figure(eye.word(), "blank.front_curve_1530_d");
    let stated = curve.value;
    if let Some(assumed) = &curve.assumed {
        w.say(|| format!("Assumed: {}.", assumed.why));
    }
    let front_1530 = step!(w, front_curve_1530 = stated; stated["D"]; "D", "the shelf's row, on index 1.530");
    w.figure(eye.word(), "blank.front_curve_true_d");
    w.uses(eye.word(), "blank.front_curve_1530_d");
    let front_true = optics::curves::true_power_of_marked(w, Dioptre::new(front_1530), index);
    // The surfaces again, this time on paper.
    w.figure(eye.word(), "surfaces");
    w.uses(eye.word(), "blank.front_curve_true_d");
    if w.is_on() {
        // The fit was made with these very figures, so that the surfaces exist.
        let _ = lens_of(w, &fit.making(eye), curve.value, centre.value);
    }

    let held = &fit.cutting;
    let block = blocking::block(w, eye, &want.rules.block, held, &want.cut, shape.boxed.height, found);
    let walls = Walls::of(held, &want.cut)?;
    let extremes = lens::edge_extremes(held, &want.cut, &walls);
    let edge = edge(w, want, held, &extremes)?;
    let thickness = thickness(w, want, held, &extremes, placed.reference)?;
    w.figure(eye.word(), "volume_mm3");
    w.uses(eye.word(), "surfaces");
    w.say(|| "The integral of the thickness over the area, turned into one round the cut outline by Green's theorem and taken by Gauss-Legendre on each of its smooth parts; walls parallel to the cutting axis.".to_owned());
    let volume_mm3 = lens::volume_mm3(held, &want.cut)?;
    w.figure(eye.word(), "mass_g");
    w.uses(eye.word(), "volume_mm3");
    let density = want.material.density_g_cm3;
    let mass_g = step!(w, mass = volume_mm3 * density / 1000.0; volume_mm3["mm3"], density["g/cm3"]; "g", "density of the rules' material");
    if w.is_on() {
        other_axis(w, want, fit, &extremes, mass_g);
    }
    let middle = middle(want, fit);
    let cover = coverage_worked(w, want, fit, &walls);
    let holes = holes::figure(w, want.order, eye, held, want.cut.outline())?;
    let marking = blocking::marking(fit.power, (placed.vertex, placed.prism.ground), &block, middle);
    let (assumed, spread) = assumed(want, fit, &edge, mass_g, &cover);
    Ok(LensPlan {
        blank: Arc::clone(&fit.blank),
        row: fit.row,
        turn_deg: fit.turn_deg % 360.0,
        power: fit.power,
        middle,
        front_curve_true: front_true,
        front_curve_1530: Dioptre::new(front_1530),
        index,
        density_g_cm3: density,
        cut: Arc::clone(&want.cut),
        cutting: fit.cutting,
        block,
        coverage: cover,
        thickness,
        edge_kind: want.order.lens.edge,
        edge,
        edge_line: None,
        volume_mm3,
        mass_g,
        finished: None,
        holes,
        lashes: None,
        marking,
        assumed,
        spread,
    })
}

/// Where the optical centre stands, from the boxed centre; none where a ground prism leaves none on the front.
pub(crate) fn optical_centre(w: &mut Working, eye: Eye, held: &Cutting) -> Option<Place> {
    let vertex = held.vertex();
    if held.lens().back_tilt() == Angle::ZERO {
        return Some(Place::from_xy(eye, vertex.x, vertex.y));
    }
    let (x, y) = held.lens().optical_centre()?;
    let depth = held.lens().front_depth(x, y)?;
    let [cut_x, cut_y, _] = held.from_lens([x, y, depth]);
    let nasal = eye.nasal();
    w.figure(eye.word(), "optical_centre.in_mm");
    w.uses(eye.word(), "surfaces");
    w.say(|| {
        format!("The line through the two centres of curvature pierces the front {x:.4} mm right of the vertex and {y:.4} mm above it.")
    });
    let inwards =
        step!(w, inwards = cut_x * nasal; cut_x["mm"], nasal[""]; "mm", "in the plane square to the cutting axis");
    w.figure(eye.word(), "optical_centre.up_mm");
    let up = step!(w, up = cut_y; cut_y["mm"]; "mm", "in the plane square to the cutting axis");
    Some(Place { inwards: Mm::new(inwards), up: Mm::new(up) })
}

fn usable_radius(fit: &Fit) -> Mm {
    fit.blank.nominal / 2.0 - fit.blank.unusable_rim()
}

/// The blank's middle on the front surface, as seen from the boxed centre.
fn middle(want: &Wanted<'_>, fit: &Fit) -> Place {
    let at = middle_in_lens(want.eye, &fit.blank, fit.turn_deg);
    let depth = fit.cutting.lens().front_depth(at.x, at.y).unwrap_or(0.0);
    let [x, y, _] = fit.cutting.from_lens([at.x, at.y, depth]);
    Place::from_xy(want.eye, x, y)
}

/// What the other setting of `[block] axis` would make of the lens: figures that only a working shows.
fn other_axis(w: &mut Working, want: &Wanted<'_>, fit: &Fit, here: &EdgeExtremes, mass_g: f64) {
    let rules = &want.rules.block;
    let (axis, other) = match rules.axis {
        CuttingAxis::FrontNormal => (CuttingAxis::LensAxis, "the lens axis"),
        CuttingAxis::LensAxis => (CuttingAxis::FrontNormal, "the normal of the front at the block point"),
    };
    let eye = want.eye.word();
    w.figure(eye, "block.other_axis");
    let (x, y) = fit.placed.vertex.xy(want.eye);
    let block = job::rules::Block { axis, ..rules.clone() };
    let there = Cutting::new(*fit.cutting.lens(), Point::new(x, y), &block).and_then(|held| {
        Ok((moved(want, fit, &held).ok_or(NoLens::NotSettled { what: "the edge", residual: f64::NAN })?, held))
    });
    let ([thinnest_there, thickest_there, mass_there, margin_there], held) = match there {
        Ok(there) => there,
        Err(no) => {
            w.say(|| format!("Cut along {other} there would be no lens: {no}."));
            return;
        }
    };
    w.say(|| format!("The same lens cut along {other} instead (the rules' [block] axis):"));
    let (thinnest, thickest) = (here.thinnest.thickness.mm(), here.thickest.thickness.mm());
    let margin = fit.margin.mm();
    const HERE: &str = "cut as the rules say, less cut along the other axis";
    step!(w, thinnest_differs = thinnest - thinnest_there; thinnest["mm"], thinnest_there["mm"]; "mm", HERE);
    step!(w, thickest_differs = thickest - thickest_there; thickest["mm"], thickest_there["mm"]; "mm", HERE);
    step!(w, margin_differs = margin - margin_there; margin["mm"], margin_there["mm"]; "mm", HERE);
    step!(w, mass_differs = mass_g - mass_there; mass_g["g"], mass_there["g"]; "g", HERE);
    let [one, another] = [&fit.cutting, &held].map(Cutting::axis_in_lens);
    let (xx, yy, zz) = (one[0] * another[0], one[1] * another[1], one[2] * another[2]);
    let [sx, sy, sz] = [
        one[1] * another[2] - one[2] * another[1],
        one[2] * another[0] - one[0] * another[2],
        one[0] * another[1] - one[1] * another[0],
    ];
    let (sine, cosine) = (units::maths::sqrt(sx * sx + sy * sy + sz * sz), xx + yy + zz);
    step!(w, axes_differ = atan2_deg(sine, cosine); sine[""], cosine[""]; "degrees", "angle between the two axes");
}

fn edge(w: &mut Working, want: &Wanted<'_>, held: &Cutting, found: &EdgeExtremes) -> Result<EdgePlan, NoLens> {
    let eye = want.eye;
    let extreme = |name: &str, at: EdgePoint, w: &mut Working| {
        w.figure(eye.word(), name);
        w.uses(eye.word(), "surfaces");
        let deg = at.direction.direction_deg();
        w.say(|| {
            format!(
                "Found at {deg:.2} degrees by search along the cut outline, at x {:.4} mm, y {:.4} mm of the cutting plane.",
                at.place.x, at.place.y
            )
        });
        let thickness = held.thickness(w, at.place)?;
        w.say(|| {
            format!(
                "The search itself had {:.9} mm: residual {:.1e} mm.",
                at.thickness.mm(),
                (at.thickness - thickness).mm()
            )
        });
        Ok::<_, NoLens>((thickness, deg))
    };
    let (thinnest, thinnest_deg) = extreme("edge.thinnest_mm", found.thinnest, w)?;
    let (thickest, thickest_deg) = extreme("edge.thickest_mm", found.thickest, w)?;
    let outline = want.cut.outline();
    let around = (0..360 / ROW_STEP_DEG)
        .filter_map(|i| {
            let deg = f64::from(i * ROW_STEP_DEG);
            let wall = held.wall(outline.point(outline.towards(Angle::from_deg(deg))))?;
            Some(EdgeRow { deg, square: wall.thickness(), front_depth: wall.front_depth, back_depth: wall.back_depth })
        })
        .collect();
    Ok(EdgePlan { thinnest, thinnest_deg, thickest, thickest_deg, around })
}

fn thickness(
    w: &mut Working,
    want: &Wanted<'_>,
    held: &Cutting,
    rim: &EdgeExtremes,
    reference: Place,
) -> Result<ThicknessPlan, NoLens> {
    let eye = want.eye;
    let lens = held.lens();
    let is_ground = lens.back_tilt() != Angle::ZERO;
    w.figure(eye.word(), if is_ground { "thickness.vertex_mm" } else { "thickness.optical_centre_mm" });
    let centre = lens.centre().mm();
    let vertex = step!(w, thickness = centre; centre["mm"]; "mm", "the blank's centre thickness, along the lens axis");
    let optical_centre = if is_ground {
        lens.optical_centre().and_then(|(x, y)| lens.thickness_along_axis(x, y)).filter(|&t| t > 0.0).map(Mm::new)
    } else {
        Some(Mm::new(vertex))
    };
    let (x, y) = reference.xy(eye);
    w.figure(eye.word(), "thickness.reference_point_mm");
    w.uses(eye.word(), "reference_point.in_mm");
    w.uses(eye.word(), "reference_point.up_mm");
    let reference_point = held.thickness(w, Point::new(x, y))?;
    let whole = lens::over_lens(held, &want.cut, rim);
    let worked = |name: &str, at: Point, w: &mut Working| {
        w.figure(eye.word(), name);
        w.uses(eye.word(), "surfaces");
        w.say(|| format!("Found by search over the whole lens, rim included, at x {:.4} mm, y {:.4} mm.", at.x, at.y));
        held.thickness(w, at)
    };
    let least = worked("thickness.least_mm", whole.least.place, w)?;
    let greatest = worked("thickness.greatest_mm", whole.greatest.place, w)?;
    Ok(ThicknessPlan {
        optical_centre,
        vertex: Mm::new(vertex),
        reference_point,
        least: (least, blocking::place(eye, whole.least.place)),
        greatest: (greatest, blocking::place(eye, whole.greatest.place)),
    })
}

/// Coverage of a blank, without a working.
pub(crate) fn coverage(want: &Wanted<'_>, fit: &Fit) -> Option<CoveragePlan> {
    let walls = Walls::of(&fit.cutting, &want.cut).ok()?;
    Some(coverage_worked(&mut Working::off(), want, fit, &walls))
}

fn coverage_worked(w: &mut Working, want: &Wanted<'_>, fit: &Fit, walls: &Walls) -> CoveragePlan {
    let eye = want.eye;
    let at = middle_in_lens(eye, &fit.blank, fit.turn_deg);
    let usable = usable_radius(fit);
    let cover = lens::coverage(&fit.cutting, &want.cut, walls, at, usable, want.rules.blank_allowance);
    w.figure(eye.word(), "coverage.margin_mm");
    let tightest_deg = cover.tightest.direction_deg();
    w.say(|| {
        format!(
            "The farthest point of the wall from the blank's middle, square to the lens axis, was found at {tightest_deg:.2} degrees, on the {}.",
            if cover.at_back { "back" } else { "front" }
        )
    });
    let (x, y, middle_x, middle_y) = (cover.point.x, cover.point.y, at.x, at.y);
    let reach = step!(w, reach = hypot(x - middle_x, y - middle_y);
        x["mm"], y["mm"], middle_x["mm"], middle_y["mm"]; "mm", "distance in the lens's own plane");
    let (usable_radius, allowance) = (usable.mm(), want.rules.blank_allowance.mm());
    let margin = step!(w, margin = usable_radius - allowance - reach; usable_radius["mm"], allowance["mm"], reach["mm"];
        "mm", "cut-out margin; allowance per side: common practice, no source");
    w.figure(eye.word(), "coverage.smallest_blank_mm");
    w.uses(eye.word(), "coverage.margin_mm");
    let rim = fit.blank.unusable_rim().mm();
    let smallest = step!(w, smallest = 2.0 * (reach + allowance + rim); reach["mm"], allowance["mm"], rim["mm"]; "mm",
        "same unusable rim as this blank");
    let rescue = if margin < 0.0 { rescue(want, fit, at, usable) } else { None };
    CoveragePlan {
        margin: Mm::new(margin),
        tightest_deg,
        reach: Mm::new(reach),
        allowance: want.rules.blank_allowance,
        usable_radius: usable,
        smallest_blank: Mm::new(smallest),
        rescue,
    }
}

/// The smallest shift of the optical centre that saves a blank, and the prism it costs at the reference point.
fn rescue(want: &Wanted<'_>, fit: &Fit, middle: Point, usable: Mm) -> Option<Rescue> {
    use job::{LensForm, Treatments};
    if fit.blank.form == LensForm::Aspheric || fit.blank.treatments.has(Treatments::GRADIENT) {
        return None;
    }
    let shift =
        lens::smallest_shift(&fit.cutting, &want.cut, middle, usable, want.rules.blank_allowance, &want.rules.block)?;
    let shift = Place::from_xy(want.eye, shift.x, shift.y);
    let placed = &fit.placed;
    let moved = Place { inwards: placed.vertex.inwards + shift.inwards, up: placed.vertex.up + shift.up };
    let met_at = |vertex: Place| met(&mut Working::off(), want.eye, want.matrix, placed.reference, vertex);
    let (before, after) = (met_at(placed.vertex), met_at(moved));
    Some(Rescue {
        shift,
        prism: InUp { base_in: after.base_in - before.base_in, base_up: after.base_up - before.base_up },
    })
}

/// What was assumed, and how far the figures move over its spread.
fn assumed(
    want: &Wanted<'_>,
    fit: &Fit,
    edge: &EdgePlan,
    mass_g: f64,
    cover: &CoveragePlan,
) -> (Vec<Assumed>, Vec<Spread>) {
    let (mut assumed, mut spread) = (Vec::new(), Vec::new());
    let (curve, centre) = (&fit.figures.front_curve_1530_d, &fit.figures.centre);
    let open = [("blank.front_curve_1530_d", curve), ("blank.centre_mm", centre)];
    for (figure, open) in open {
        let Some(assumption) = &open.assumed else { continue };
        assumed.push(Assumed { figure, value: assumption.value, why: assumption.why.clone() });
        let ends = [assumption.low, assumption.high].into_iter().filter_map(|value| {
            let (front, mid) = if figure == "blank.centre_mm" { (curve.value, value) } else { (value, centre.value) };
            let held = cutting(want, &fit.making(want.eye), front, mid, fit.placed.vertex).ok()?;
            moved(want, fit, &held)
        });
        let here = [edge.thinnest.mm(), edge.thickest.mm(), mass_g, cover.margin.mm()];
        spread.extend(spread_of(here, ends, figure));
    }
    if fit.making(want.eye).correction().is_some() {
        let ends = [HalfExponent::One, HalfExponent::Three].into_iter().filter_map(|half| {
            let making = Making { half, ..fit.making(want.eye) };
            let held = cutting(want, &making, curve.value, centre.value, fit.placed.vertex).ok()?;
            moved(want, fit, &held)
        });
        let here = [edge.thinnest.mm(), edge.thickest.mm(), mass_g, cover.margin.mm()];
        spread.extend(spread_of(here, ends, "check-thickness"));
    }
    (assumed, spread)
}

/// The figures that move with a lens, from the lowest to the highest of their values.
fn spread_of(here: [f64; 4], ends: impl Iterator<Item = [f64; 4]>, cause: &str) -> Vec<Spread> {
    let (mut low, mut high) = (here, here);
    for end in ends {
        for i in 0..here.len() {
            (low[i], high[i]) = (low[i].min(end[i]), high[i].max(end[i]));
        }
    }
    let names = ["edge.thinnest_mm", "edge.thickest_mm", "mass_g", "coverage.margin_mm"];
    let spread = |i: usize| Spread { figure: names[i], low: low[i], high: high[i], cause: cause.to_owned() };
    (0..names.len()).map(spread).collect()
}

/// Thinnest and thickest edge, mass and margin of the blank with another figure.
fn moved(want: &Wanted<'_>, fit: &Fit, held: &Cutting) -> Option<[f64; 4]> {
    let at = middle_in_lens(want.eye, &fit.blank, fit.turn_deg);
    let walls = Walls::of(held, &want.cut).ok()?;
    let edge = lens::edge_extremes(held, &want.cut, &walls);
    let cover = lens::coverage(held, &want.cut, &walls, at, usable_radius(fit), want.rules.blank_allowance);
    let mass_g = lens::volume_mm3(held, &want.cut).ok()? * want.material.density_g_cm3 / 1000.0;
    Some([edge.thinnest.thickness.mm(), edge.thickest.thickness.mm(), mass_g, cover.margin.mm()])
}
