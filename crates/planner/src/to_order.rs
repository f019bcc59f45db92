//! What to order where the shelf has nothing: powers, least diameter with decentration, thickness.

use std::sync::Arc;

use job::{Blank, BlankState, Finding, IndexLine, LensForm, TorusSide, kinds};
use lens::HalfExponent;
use outline::Point;
use units::{Dioptre, Mm, Working};

use crate::candidate::{Making, Wanted, as_prism, cutting, surfacing};
use crate::choice::edge_ask;
use crate::plan::{EyePlan, OrderThickness, Reason, ToOrder};
use crate::said::{at, mm1, mm2};
use crate::shelf::Shelf;

/// Unusable rim that an ordered blank is taken to have, mm of radius: the shelf's own default.
const RIM_MM: f64 = 1.0;

/// Figures what to ask a supplier for; none where the surfaces of a usual lens do not meet inside the shape.
pub(crate) fn figure(w: &mut Working, want: &Wanted<'_>) -> Option<ToOrder> {
    let minus = want.power.minus_form();
    let placed = &want.spheric;
    let (x, y) = placed.vertex.xy(want.eye);
    let usual = usual_blank(want.order, want.power);
    let curve = lens::assumed_front_curve(want.power.computed(), want.rules.doubt.front_curve_d);
    let index = want.material.n_d;
    let plus = want.power.computed().spherical_equivalent() > Dioptre::ZERO;
    let least_centre = want.material.least_centre.unwrap_or(Mm::new(2.0));
    let edge = want.order.lens.least_edge[want.eye]
        .unwrap_or_else(|| edge_ask(want.order, want.rules, want.material.least_edge_drilled));
    // What decentration cannot give is asked for ground.
    let ground = placed.prism.residual;
    let making = Making {
        blank: &usual,
        turn_deg: 0.0,
        power: want.power,
        index,
        ground: as_prism(want.eye, ground),
        half: HalfExponent::Two,
    };
    let surfacing = surfacing(&making, curve.value);
    let thickness = match want.order.lens.centre[want.eye] {
        Some(centre) => OrderThickness::Centre(centre),
        None if plus => {
            w.figure(want.eye.word(), "to_order.centre_mm");
            let centre =
                lens::centre_for_thinnest_edge(w, &surfacing, Point::new(x, y), &want.rules.block, &want.cut, edge)
                    .ok()?;
            OrderThickness::CentreForEdge { centre: centre.max(Mm::new(1.0)), edge }
        }
        None => OrderThickness::Centre(least_centre),
    };
    let centre = match thickness {
        OrderThickness::Centre(centre) | OrderThickness::CentreForEdge { centre, .. } => centre,
    };
    let held = cutting(want, &making, curve.value, centre.mm(), placed.vertex).ok()?;
    let walls = lens::Walls::of(&held, &want.cut).ok()?;
    let cover = lens::coverage(&held, &want.cut, &walls, Point::ORIGIN, Mm::ZERO, want.rules.blank_allowance);
    Some(ToOrder {
        sphere: minus.sphere(),
        cylinder: minus.cylinder(),
        least_diameter: (cover.greatest_distance + want.rules.blank_allowance + Mm::new(RIM_MM)) * 2.0,
        decentration: placed.vertex,
        thickness,
        prism: ground,
    })
}

impl ToOrder {
    /// The blank that a supplier would send for it: whole millimetres across, hundredths thick, never less than asked.
    pub(crate) fn as_blank(&self, order: &job::Order, eye_plan: &EyePlan, sku: String) -> Blank {
        let centre = match self.thickness {
            OrderThickness::Centre(centre) | OrderThickness::CentreForEdge { centre, .. } => centre,
        };
        Blank {
            sku,
            prism: Some(self.prism),
            nominal: Mm::new((self.least_diameter.mm() - 1e-6).ceil()),
            centre: Some(Mm::new((centre.mm() * 100.0 - 1e-6).ceil() / 100.0)),
            quantity: 1,
            ..usual_blank(order, eye_plan.power)
        }
    }
}

/// A blank as suppliers make it, of which nothing is known but the power.
fn usual_blank(order: &job::Order, power: optics::OrderedPower) -> Blank {
    Blank {
        sku: String::new(),
        material: order.lens.material.clone(),
        series: None,
        lot: None,
        kind: order.lens.kind,
        form: LensForm::Spheric,
        power,
        fixed_axis: None,
        add: None,
        prism: None,
        eye: None,
        nominal: Mm::new(70.0),
        usable: None,
        middle_in: Mm::ZERO,
        middle_up: Mm::ZERO,
        centre: None,
        check: None,
        front_curve: None,
        index: None,
        index_line: IndexLine::D,
        treatments: order.lens.treatments,
        polarised_deg: None,
        for_order: None,
        received: None,
        quantity: 0,
        unit_cost: None,
        place: None,
        state: BlankState::Finished,
        torus: TorusSide::Back,
        front_conic: None,
        back_conic: None,
    }
}

/// The finding that no blank serves: what comes nearest, and what to order.
pub(crate) fn no_blank(want: &Wanted<'_>, shelf: &Shelf, eye_plan: &EyePlan) -> Finding {
    let nearest = eye_plan.near_misses.first();
    let mut sentence = match nearest {
        Some(miss) => format!(
            "no blank on the shelf makes this lens; nearest is {}: {}",
            miss.blank.sku,
            miss.reason.sentence(miss.by)
        ),
        None => "no blank on the shelf comes near this lens".to_owned(),
    };
    let mut mend = eye_plan.to_order.as_ref().map_or_else(
        || "order the lens surfaced".to_owned(),
        |o| {
            let cylinder = o.cylinder.map_or(String::new(), |(c, axis)| format!(" {c} x {axis}"));
            let thickness = match o.thickness {
                OrderThickness::Centre(c) => format!("centre {} mm", mm2(c.mm())),
                OrderThickness::CentreForEdge { centre, edge } => {
                    format!("centre {} mm for an edge of {} mm", mm2(centre.mm()), mm2(edge.mm()))
                }
            };
            format!(
                "order {}{cylinder} in {}, {} mm or more, {thickness}",
                o.sphere,
                want.material.id,
                mm1(o.least_diameter.mm())
            )
        },
    );
    if let Some(rescue) =
        nearest.filter(|m| m.reason == Reason::TooSmall).and_then(|m| rescue_words(want, shelf, &m.blank))
    {
        sentence.push_str(&rescue.0);
        mend.push_str(&rescue.1);
    }
    let value = nearest.map_or_else(|| "none".to_owned(), |m| format!("{} {}", m.reason.word(), mm2(m.by)));
    Finding::new(&kinds::NO_BLANK, "blank.sku", value).of(want.eye).weighs(10.0).says(sentence, mend)
}

/// Where the nearest blank is short, and what a shift would save and cost.
fn rescue_words(want: &Wanted<'_>, shelf: &Shelf, blank: &Arc<Blank>) -> Option<(String, String)> {
    let row = shelf.of_sku(&blank.sku).next()?;
    let fit = crate::candidate::try_blank(want, row, blank, 1, true).ok()?;
    let cover = crate::figures::coverage(want, &fit)?;
    let rescue = cover.rescue?;
    Some((
        format!(" (at {})", at(cover.tightest_deg)),
        format!(
            "; or move its optical centre {}, which costs {} prism dioptres in and {} up",
            crate::placing::place_words(rescue.shift),
            crate::said::signed2(rescue.prism.base_in.cm_per_m()),
            crate::said::signed2(rescue.prism.base_up.cm_per_m())
        ),
    ))
}
