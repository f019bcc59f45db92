//! Cases about single lenses: sagitta, edge, centre thickness, volume, the blank that a shape needs.

use job::EdgeRun;
use job::rules::{Block, BlockAt, CuttingAxis, Lies};
use lens::{CutOutline, Cutting, EdgeRoom, Given, Lens, Surfacing, TorusForm};
use optics::curves::{self, Curvature};
use optics::{Face, Prism, SpheroCylinder, vertex};
use outline::{Outline, Point};
use units::{Angle, CmPerM, Dioptre, Mm, Working};

use crate::case::{Case, Found};
use crate::quick_figures::{difference, wedge};
use crate::{outlines, plans};

/// Cases measure along the lens axis.
pub(crate) fn block() -> Block {
    Block {
        axis: CuttingAxis::LensAxis,
        at: BlockAt::BoxedCentre,
        lies: Lies::FrontUp,
        diameters: Vec::new(),
        clear_least: Mm::ZERO,
        clear_wanted: Mm::ZERO,
        clamp_least: Mm::ZERO,
    }
}

fn surfacing(power: SpheroCylinder, index: f64, front: Dioptre) -> Surfacing {
    Surfacing { power, index, given: Given::Front(front), form: TorusForm::Tyre, ground: Prism::NONE, conic: [0.0; 2] }
}

fn made(surfacing: &Surfacing, centre: Mm) -> Lens {
    surfacing.lens(&mut Working::off(), centre).expect("a lens")
}

/// A lens held at its optical centre.
fn held(lens: Lens) -> Cutting {
    Cutting::new(lens, Point::ORIGIN, &block()).expect("held")
}

fn round(radius: Mm) -> CutOutline {
    CutOutline::new(Outline::circle(radius).expect("a circle"))
}

/// The edge of a round lens, which is the same all round.
fn round_edge(lens: Lens, radius: Mm) -> Mm {
    let (held, cut) = (held(lens), round(radius));
    let walls = lens::Walls::of(&held, &cut).expect("reaches");
    let found = lens::edge_extremes(&held, &cut, &walls);
    let (thinnest, thickest) = (found.thinnest.thickness, found.thickest.thickness);
    assert!((thickest - thinnest).abs().mm() < 1e-9, "a sphere has one edge");
    thinnest
}

fn centre_for_round_edge(surfacing: &Surfacing, radius: Mm, edge: Mm) -> Mm {
    let w = &mut Working::off();
    lens::centre_for_thinnest_edge(w, surfacing, Point::ORIGIN, &block(), &round(radius), edge).expect("a centre")
}

fn sphere(case: &Case, bvp: &str, index: &str, front: &str) -> Surfacing {
    surfacing(SpheroCylinder::spherical(case.power(bvp)), case.number(index), case.power(front))
}

/// Both curvatures given: the back vertex power that they make is what the lens is surfaced to.
pub(crate) fn sag_and_edge(case: &Case) -> Found {
    let (w, index) = (&mut Working::off(), 1.5);
    let power = |face, key| curves::surface_power(face, Curvature::per_mm(case.number(key)), index);
    let (front, back) = (power(Face::Front, "c1_per_mm"), power(Face::Back, "c2_per_mm"));
    let centre = case.length("center_thickness_mm");
    let bvp = vertex::back_vertex_power(w, front, back, centre, index);
    let lens = made(&surfacing(SpheroCylinder::spherical(bvp), index, front), centre);
    Found::none().length("edge_thickness_mm", round_edge(lens, case.length("semi_aperture_mm")))
}

pub(crate) fn sagitta(case: &Case) -> Found {
    let (front, index) = (case.power("surface_power_d"), case.number("index"));
    let radius = curves::surface_radius(&mut Working::off(), Face::Front, front, index).expect("curved");
    Found::none()
        .length("radius_mm", radius)
        .length("sag_exact_mm", sag(front, index, case.length("diameter_mm") / 2.0))
        .length("sag_approx_mm", difference(front, case.length("diameter_mm"), index))
}

fn sag(front: Dioptre, index: f64, half_width: Mm) -> Mm {
    let lens = made(&surfacing(SpheroCylinder::PLANO, index, front), Mm::new(2.0));
    Mm::new(lens.front_depth(half_width.mm(), 0.0).expect("reaches"))
}

pub(crate) fn minus_edge(case: &Case) -> Found {
    let lens = made(&sphere(case, "bvp_d", "index", "front_power_d"), case.length("center_thickness_mm"));
    let (centre, diameter) = (case.length("center_thickness_mm"), case.length("diameter_mm"));
    Found::none()
        .length("edge_exact_mm", round_edge(lens, diameter / 2.0))
        .length("edge_approx_mm", centre + difference(case.power("bvp_d"), diameter, case.number("index")))
}

pub(crate) fn plus_centre(case: &Case) -> Found {
    let surfacing = sphere(case, "bvp_d", "index", "front_power_d");
    let (edge, diameter) = (case.length("edge_thickness_mm"), case.length("diameter_mm"));
    Found::none()
        .length("center_exact_mm", centre_for_round_edge(&surfacing, diameter / 2.0, edge))
        .length("center_approx_mm", edge + difference(case.power("bvp_d"), diameter, case.number("index")))
}

pub(crate) fn edge_in_a_meridian(case: &Case) -> Found {
    let surfacing = surfacing(case.sphero_cylinder(), case.number("index"), case.power("front_power_d"));
    let lens = made(&surfacing, case.length("center_thickness_mm"));
    let r = case.number("radius_mm");
    let edge = |x, y| Mm::new(lens.thickness_along_axis(x, y).expect("reaches"));
    Found::none().length("edge_180_mm", edge(r, 0.0)).length("edge_90_mm", edge(0.0, r))
}

/// Plane faces, the back tilted for the prism.
pub(crate) fn plane_prism(case: &Case) -> Found {
    let ground = Prism::towards(CmPerM::new(case.number("prism_pd")), Angle::ZERO);
    let plano = surfacing(SpheroCylinder::PLANO, case.number("index"), Dioptre::ZERO);
    let lens = made(&Surfacing { ground, ..plano }, Mm::new(3.0));
    let half = case.number("width_mm") / 2.0;
    let at = |x| lens.thickness_along_axis(x, 0.0).expect("reaches");
    Found::none().number("exact_plane_faces_mm", at(half) - at(-half)).length("difference_mm", wedge(case, "width_mm"))
}

/// The blank, without unusable rim, that a shape needs whose boxed centre lies at (−x, −y) from the optical centre, which
/// is the blank's middle: twice what is left of a usable radius when the margin is nought.
pub(crate) fn blank_needed(shape: Outline, x: Mm, y: Mm, allowance: Mm) -> Mm {
    let plano = made(&surfacing(SpheroCylinder::PLANO, 1.5, Dioptre::ZERO), Mm::new(2.0));
    let cutting = Cutting::new(plano, Point::new(x.mm(), y.mm()), &block()).expect("held");
    let usable = Mm::new(40.0);
    let cut = CutOutline::new(shape);
    let walls = lens::Walls::of(&cutting, &cut).expect("reaches");
    let found = lens::coverage(&cutting, &cut, &walls, Point::ORIGIN, usable, allowance);
    (usable - found.margin) * 2.0
}

/// `blank.true-need.*`
pub(crate) fn fact_true_need(case: &Case) -> Found {
    let (x, y) = (case.length("x"), case.length("y"));
    let need = blank_needed(outlines::rounded_54_34(), x, y, Mm::ZERO);
    let farthest = outlines::twice_farthest(&outlines::rounded_54_34(), x, y);
    assert!((need - farthest).abs().mm() < 1e-9, "{need:?} {farthest:?}");
    // The rule counts the decentration inwards only.
    let diameter = outlines::rounded_54_34().boxed().effective_diameter;
    Found::none()
        .length("expect", need)
        .length("formula_says_without_allowance", plans::for_a_circle(diameter, x, Mm::ZERO, Mm::ZERO))
        .length("formula_says_with_2mm", plans::for_a_circle(diameter, x, Mm::ZERO, Mm::new(1.0)))
}

/// `thick.minus.*`
pub(crate) fn fact_minus(case: &Case) -> Found {
    let lens = made(&sphere(case, "bvp", "index", "front_curve"), case.length("centre"));
    Found::none()
        .length("expect", round_edge(lens, case.length("half_width")))
        .length("parabola_says", case.length("centre") + fact_difference(case))
}

/// `thick.plus.*`
pub(crate) fn fact_plus(case: &Case) -> Found {
    let surfacing = sphere(case, "bvp", "index", "front_curve");
    Found::none()
        .length("expect", centre_for_round_edge(&surfacing, case.length("half_width"), case.length("edge")))
        .length("parabola_says", case.length("edge") + fact_difference(case))
}

fn fact_difference(case: &Case) -> Mm {
    difference(case.power("bvp"), case.length("half_width") * 2.0, case.number("index"))
}

/// `thick.stock-plus-*`: +3.00, index 1.498, front 7.00, edge 1.0, as the fact's text has it.
pub(crate) fn fact_stock_plus(case: &Case) -> Found {
    let surfacing = surfacing(SpheroCylinder::spherical(Dioptre::new(3.0)), 1.498, Dioptre::new(7.0));
    let centre = centre_for_round_edge(&surfacing, case.length("diameter") / 2.0, Mm::new(1.0));
    let edge = round_edge(made(&surfacing, centre), Mm::new(24.0));
    Found::none().length("centre", centre).length("edge_at_24", edge)
}

/// `thick.centre-to-edge`: the same two surfaces further apart.
pub(crate) fn fact_centre_to_edge(case: &Case) -> Found {
    let (front, back, index) = (Dioptre::new(4.0), Dioptre::new(-8.0), 1.498);
    let edge = |centre: Mm| {
        let bvp = vertex::back_vertex_power(&mut Working::off(), front, back, centre, index);
        round_edge(made(&surfacing(SpheroCylinder::spherical(bvp), index, front), centre), Mm::new(30.0))
    };
    let thin = Mm::new(2.0);
    Found::none().length("expect", edge(thin + case.length("centre_change")) - edge(thin))
}

/// `frame.rim-curve-sag`: a rim curve on the 1.530 scale over a half-width.
pub(crate) fn fact_rim_sag(case: &Case) -> Found {
    case.each_point(|row| sag(Dioptre::new(row[0]), curves::TOOLING_INDEX, Mm::new(row[1])).mm())
}

/// `frame.curve-mismatch.4-6`: both curves over 28 mm, as the fact's text has it.
pub(crate) fn fact_curve_mismatch(_: &Case) -> Found {
    let sag = |curve| sag(Dioptre::new(curve), curves::TOOLING_INDEX, Mm::new(28.0));
    Found::none().length("expect", sag(6.0) - sag(4.0))
}

/// The share of a plate's edge in front of an apex that runs along its front.
fn share_along_the_front(thickness: Mm) -> f64 {
    let plate = held(made(&surfacing(SpheroCylinder::PLANO, 1.5, Dioptre::ZERO), thickness));
    let places = outlines::rounded_54_34().places(36);
    let room = EdgeRoom::of(&plate, &places, Mm::new(0.3), Mm::new(0.3)).expect("reaches");
    let line = room.run(&places, EdgeRun::FRONT).expect("runs").expect("a line of its own");
    let share = line.depths[0] / thickness.mm();
    assert!(line.depths.iter().all(|depth| (depth / thickness.mm() - share).abs() < 1e-12), "a plate is one edge");
    share
}

/// `edge.bevel-split`: a third, written to three places. Edges from 4.5 mm on are thick.
pub(crate) fn fact_bevel_split(_: &Case) -> Found {
    let [share, thicker] = [4.5, 9.0].map(|mm| share_along_the_front(Mm::new(mm)));
    assert!((share - thicker).abs() < 1e-12, "{share} {thicker}");
    Found::none().number("value", (share * 1000.0).round() / 1000.0)
}

/// `edge.bevel-split-thin`
pub(crate) fn fact_bevel_split_thin(_: &Case) -> Found {
    let [share, thinner] = [3.0, 1.2].map(|mm| share_along_the_front(Mm::new(mm)));
    assert!((share - thinner).abs() < 1e-12, "{share} {thinner}");
    Found::none().number("value", share)
}
