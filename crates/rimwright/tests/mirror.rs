//! Mirroring the world mirrors the plan: right and left exchanged, outline, axis, bases and decentration reflected.
//!
//! A property of the geometry, not of the code: an order and its mirror image, planned apart, must give the same figures
//! with the eyes exchanged, in every setting of the block.

use job::{Eye, PerEye};
use planner::{Bench, FrameShapes, Plan, Shape, Shelf, plan};
use proptest::prelude::*;
use std::sync::Arc;
use units::{Mm, Working};

/// What an eye is given; the mirror image has the axis at 180 less it, the base angle likewise.
#[derive(Debug, Clone)]
struct Given {
    sphere: i32,
    cylinder: i32,
    axis: u16,
    pd: f64,
    height: f64,
    base_in: i32,
}

fn given() -> impl Strategy<Value = Given> {
    (-24i32..=16, -12i32..=0, 1u16..=180, 28.0f64..34.0, 17.0f64..23.0, -3i32..=3).prop_map(
        |(sphere, cylinder, axis, pd, height, base_in)| Given {
            // At least a dioptre everywhere, so that the prism can come from decentration.
            sphere: if sphere < 0 { sphere * 25 - 100 } else { sphere * 25 + 400 },
            cylinder: cylinder * 25,
            axis,
            pd,
            height,
            base_in,
        },
    )
}

fn eye_text(g: &Given, mirrored: bool) -> String {
    let axis = if mirrored && g.axis != 180 { 180 - g.axis } else { g.axis };
    let cylinder = if g.cylinder == 0 {
        "cylinder_d = \"none\"".to_owned()
    } else {
        format!("cylinder_d = \"{:+.2}\", axis_deg = {axis}", f64::from(g.cylinder) / 100.0)
    };
    let prism = match g.base_in {
        0 => String::new(),
        n => format!(
            ", prism = [{{ cm_per_m = \"{:.2}\", base = \"{}\" }}]",
            f64::from(n.abs()) / 4.0,
            if n > 0 { "in" } else { "out" }
        ),
    };
    format!("{{ sphere_d = \"{:+.2}\", {cylinder}{prism} }}", f64::from(g.sphere) / 100.0)
}

fn order_text(right: &Given, left: &Given, mirrored: bool) -> String {
    format!(
        "number = \"1\"\ntaken = 2026-03-02\neyes = \"both\"\n[wearer]\n\
         monocular_pd_mm = {{ right = {:.3}, left = {:.3} }}\npupil_height_mm = {{ right = {:.3}, left = {:.3} }}\n\
         [prescription]\nrefraction_vertex_mm = 12\nright = {}\nleft = {}\n[frame]\noutline = \"x.txt\"\n\
         mounting = \"full-rim\"\ndistance_between_lenses_mm = 18\nface_form_deg = 4\npantoscopic_deg = 8\nframe_curve_d = 5\n[lens]\n\
         type = \"single-vision\"\nmaterial = \"adc-1.498\"\nedge = \"bevel\"\n",
        right.pd,
        left.pd,
        right.height,
        left.height,
        eye_text(right, mirrored),
        eye_text(left, mirrored)
    )
}

/// One blank that serves either eye for each of the two powers; their middles lie off the optical centre.
fn shelf_text(givens: [&Given; 2]) -> String {
    let mut text = "sku,material,form,sphere_d,cylinder_d,nominal_mm,middle_in_mm,middle_up_mm,centre_mm,front_curve_d,front_curve_index,quantity\n".to_owned();
    for (i, g) in givens.into_iter().enumerate() {
        let cylinder =
            if g.cylinder == 0 { "none".to_owned() } else { format!("{:+.2}", f64::from(g.cylinder) / 100.0) };
        let centre = if g.sphere < 0 { 2.0 } else { 7.0 };
        text.push_str(&format!(
            "b{i},adc-1.498,spheric,{:+.2},{cylinder},78,0.5,0.25,{centre},{},1.530,9\n",
            f64::from(g.sphere) / 100.0,
            if g.sphere < 0 { 4.0 } else { 8.0 },
        ));
    }
    text
}

fn shapes(right: &outline::Outline, left: &outline::Outline) -> FrameShapes {
    let shape = |o: &outline::Outline| Arc::new(Shape::exact(o.clone()));
    FrameShapes {
        eyes: PerEye { right: shape(right), left: shape(left) },
        between_lenses: Some(Mm::new(18.0)),
        doubts: Vec::new(),
        difference: None,
    }
}

/// Figures that must be the same when the eyes change places.
fn figures(plan: &Plan, eye: Eye) -> Option<Vec<f64>> {
    let e = plan.eyes[eye].as_ref()?;
    let lens = e.lens.as_ref()?;
    let (reference, centre) = (e.reference_point?, e.optical_centre?);
    let [horizontal, vertical] =
        [e.prism.from_centration.base_in, e.prism.from_centration.base_up].map(|p| p.cm_per_m());
    Some(vec![
        reference.inwards.mm(),
        reference.up.mm(),
        centre.inwards.mm(),
        centre.up.mm(),
        horizontal,
        vertical,
        lens.block.tilt_in_deg,
        lens.block.tilt_up_deg,
        lens.thickness.reference_point.mm(),
        lens.thickness.least.0.mm(),
        lens.thickness.greatest.0.mm(),
        lens.edge.thinnest.mm(),
        lens.edge.thickest.mm(),
        lens.volume_mm3,
        lens.mass_g,
    ])
}

/// How the lens lies in the rim: the same, but that the turn about the vertical changes its sense.
fn seated(plan: &Plan, eye: Eye) -> Option<Vec<f64>> {
    let e = plan.eyes[eye].as_ref()?;
    let lens = e.lens.as_ref()?;
    let line = lens.edge_line.as_ref()?;
    let (seat, seated) = (line.seat?, line.sized.seated.as_ref()?);
    Some(vec![
        line.sized.offset.mm(),
        line.sized.line.length().mm(),
        seat.forward.mm(),
        seat.tilt_x.deg(),
        seat.tilt_y.deg() * eye.nasal(),
        seated.gap_rms.mm(),
        seated.gap_least_rms.mm(),
        seated.gap_greatest.mm(),
        seated.mean_front_shoulder.mm(),
        line.frame_curve_d?,
        line.bevel_curve_d?,
        line.visible.as_ref()?.thinnest.mm(),
        lens.finished?.mass_g,
    ])
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]
    #[test]
    fn mirroring_the_world_mirrors_the_plan(
        right in given(), left in given(), exponent in 2.1f64..4.0, wide in 23.0f64..27.0,
        axis in prop::sample::select(vec!["front-normal", "lens-axis"]),
        at in prop::sample::select(vec!["boxed-centre", "optical-centre"]),
    ) {
        let rules = exchange::read_rules(format!("[block]\naxis = \"{axis}\"\nat = \"{at}\"\n").as_bytes()).unwrap();
        // Two different lopsided outlines, so that nothing is symmetrical by itself.
        let lopsided = |tilt: f64| {
            let base = outline::Outline::superellipse(Mm::new(wide), Mm::new(18.0), exponent).unwrap();
            let angles: Vec<units::Angle> = (0..180).map(|i| units::Angle::from_deg(f64::from(i) * 2.0)).collect();
            let radii: Vec<Mm> =
                angles.iter().map(|a| Mm::new(base.radius(a.rad()).0 * (1.0 + 0.03 * (*a - units::Angle::from_deg(tilt)).cos()))).collect();
            outline::Outline::exact(&angles, &radii).unwrap()
        };
        let (r, l) = (lopsided(30.0), lopsided(160.0));
        let shelf = Shelf::new(exchange::read_shelf(shelf_text([&right, &left]).as_bytes(), &rules).unwrap());
        let bench = Bench { shelf: Some(&shelf), left: None, rules: &rules, uncut: job::PerEye::default() };
        let world = exchange::read_order(order_text(&right, &left, false).as_bytes(), &rules).unwrap();
        let mirror = exchange::read_order(order_text(&left, &right, true).as_bytes(), &rules).unwrap();
        let seen = plan(&world, &shapes(&r, &l), &bench, Working::off());
        let reflected = plan(&mirror, &shapes(&l.mirrored(), &r.mirrored()), &bench, Working::off());
        for eye in Eye::BOTH {
            let (one, other) = (figures(&seen, eye), figures(&reflected, eye.other()));
            match (one, other) {
                (Some(one), Some(other)) => {
                    for (i, (a, b)) in one.iter().zip(&other).enumerate() {
                        let scale = a.abs().max(1.0);
                        prop_assert!((a - b).abs() <= 2e-6 * scale, "{eye} figure {i}: {a} {b}");
                    }
                }
                (None, None) => {}
                (one, other) => prop_assert!(false, "{eye}: {one:?} {other:?}"),
            }
            let (one, other) = (seated(&seen, eye), seated(&reflected, eye.other()));
            prop_assert_eq!(one.is_some(), other.is_some());
            for (i, (a, b)) in one.iter().flatten().zip(other.iter().flatten()).enumerate() {
                // Where the rim lies is found by search, to a micrometre.
                prop_assert!((a - b).abs() <= 1e-4, "{eye} seat {i}: {a} {b}");
            }
        }
        // Most of the worlds drawn must give a lens, or nothing was compared.
        prop_assume!(seen.planned().any(|e| e.lens.is_some()));
    }
}
