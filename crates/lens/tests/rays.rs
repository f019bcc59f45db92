//! Held against a general-purpose ray-tracing library: `reference/rays` says which, how, and what of it is the script's.

use std::collections::BTreeMap;

use job::rules::{Block, BlockAt, CuttingAxis, Lies};
use lens::{CutOutline, Cutting, Given, HalfExponent, Lens, Surfacing, TorusForm, volume_mm3};
use optics::{Prism, SpheroCylinder};
use outline::{Outline, Point};
use units::{Angle, CmPerM, Dioptre, Mm, Working};

/// A row by its columns; the last one, the source, holds commas and is left out.
type Row = BTreeMap<&'static str, &'static str>;

fn rows(text: &'static str) -> Vec<Row> {
    let mut lines = text.lines();
    let head: Vec<&str> = lines.next().unwrap_or_default().split(',').collect();
    lines
        .map(|line| head.iter().copied().zip(line.split(',')).filter(|(name, _)| *name != "source").collect())
        .collect()
}

fn number(row: &Row, name: &str) -> f64 {
    let text = row.get(name).copied().unwrap_or_else(|| panic!("no column {name}"));
    text.parse().unwrap_or_else(|_| panic!("{name} = `{text}`"))
}

fn made(row: &Row) -> Lens {
    let d = |name: &str| Dioptre::new(number(row, name));
    let given = d("given_d");
    let surfacing = Surfacing {
        power: SpheroCylinder::new(d("sphere_d"), d("cylinder_d"), Angle::from_deg(number(row, "axis_deg"))),
        index: number(row, "index"),
        given: if row["given"] == "front" { Given::Front(given) } else { Given::Back(given) },
        form: if row["form"] == "tyre" { TorusForm::Tyre } else { TorusForm::Barrel },
        ground: Prism::towards(CmPerM::new(number(row, "prism_cm_per_m")), Angle::from_deg(number(row, "base_deg"))),
        conic: [number(row, "front_conic"), number(row, "back_conic")],
    };
    let lens = surfacing
        .lens(&mut Working::off(), Mm::new(number(row, "centre_mm")))
        .unwrap_or_else(|e| panic!("case {}: {e}", row["case"]));
    if row["check_mm"].is_empty() {
        return lens;
    }
    let (check, radius) = (Mm::new(number(row, "check_mm")), Mm::new(number(row, "check_radius_mm")));
    lens.corrected(check, radius, Some(Angle::ZERO), HalfExponent::Two)
        .unwrap_or_else(|e| panic!("case {}: {e}", row["case"]))
}

fn held(row: &Row) -> Cutting {
    let block = Block {
        axis: CuttingAxis::FrontNormal,
        at: BlockAt::BoxedCentre,
        lies: Lies::FrontUp,
        diameters: Vec::new(),
        clear_least: Mm::ZERO,
        clear_wanted: Mm::ZERO,
        clamp_least: Mm::ZERO,
    };
    let vertex = Point::new(number(row, "vertex_x_mm"), number(row, "vertex_y_mm"));
    Cutting::new(made(row), vertex, &block).unwrap_or_else(|e| panic!("case {}: {e}", row["case"]))
}

#[test]
fn rays_meet_both_surfaces_where_the_library_has_them() {
    let rows = rows(include_str!("../../../reference/rays/cases.csv"));
    let cases: std::collections::BTreeSet<&str> = rows.iter().map(|row| row["case"]).collect();
    assert!(cases.len() >= 60, "{} cases", cases.len());
    let mut worst = BTreeMap::new();
    let mut faults = Vec::new();
    for row in &rows {
        let cutting = held(row);
        let lens = cutting.lens();
        let (x, y) = (number(row, "x_mm"), number(row, "y_mm"));
        let wall = cutting.wall(Point::new(x, y)).unwrap_or_else(|| panic!("case {} ends", row["case"]));
        let found = [
            ("front_depth_mm", Some(wall.front_depth.mm())),
            ("back_depth_mm", Some(wall.back_depth.mm())),
            ("front_sag_mm", lens.front_depth(x, y)),
            ("axis_thickness_mm", lens.thickness_along_axis(x, y)),
            ("normal_thickness_mm", lens.thickness_along_front_normal(x, y)),
        ];
        for (name, found) in found {
            let off = (found.unwrap_or(f64::NAN) - number(row, name)).abs();
            let most: &mut f64 = worst.entry(name).or_default();
            *most = most.max(off);
            if off.is_nan() || off > number(row, "tolerance_mm") {
                faults.push(format!("case {} at ({x}, {y}): {name} is {off:e} off", row["case"]));
            }
        }
    }
    println!("{} points of {} cases; largest differences, mm: {worst:?}", rows.len(), cases.len());
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
}

/// The prism that is ground is the prism by which the library's axial ray leaves.
#[test]
fn the_axial_ray_is_turned_by_the_prism_that_is_ground() {
    let rows = rows(include_str!("../../../reference/rays/cases.csv"));
    let ground = rows.iter().filter(|row| number(row, "prism_cm_per_m") > 0.0);
    let mut seen = 0;
    for row in ground {
        let prism =
            Prism::towards(CmPerM::new(number(row, "prism_cm_per_m")), Angle::from_deg(number(row, "base_deg")));
        let (x, y) = (number(row, "axial_prism_x_cm_per_m"), number(row, "axial_prism_y_cm_per_m"));
        assert!((prism.x.cm_per_m() - x).abs() < 1e-9 && (prism.y.cm_per_m() - y).abs() < 1e-9, "case {}", row["case"]);
        // And the tilt that the lens was made with is the one of that ray: at the vertex the back leans by it.
        let (tilt, n) = (made(row).back_tilt(), number(row, "index"));
        let deviation = optics::prism::deviation(CmPerM::new(number(row, "prism_cm_per_m")));
        let off = tilt.sin() * (n - deviation.cos()) - tilt.cos() * deviation.sin();
        assert!(off.abs() < 1e-12, "case {}", row["case"]);
        seen += 1;
    }
    assert!(seen >= 60, "{seen} rows with prism");
}

#[test]
fn volumes_are_those_of_a_quadrature_over_the_area() {
    let rows = rows(include_str!("../../../reference/rays/volumes.csv"));
    assert!(rows.len() >= 12, "{} volumes", rows.len());
    let mut worst: f64 = 0.0;
    for row in &rows {
        let (x, y) = (Mm::new(number(row, "semi_x_mm")), Mm::new(number(row, "semi_y_mm")));
        let outline = Outline::ellipse(x, y).unwrap_or_else(|e| panic!("{e}"));
        let found = volume_mm3(&held(row), &CutOutline::new(outline)).unwrap_or_else(|e| panic!("{e}"));
        let off = (found / number(row, "volume_mm3") - 1.0).abs();
        worst = worst.max(off);
        assert!(off < number(row, "tolerance_rel"), "case {}: {found} is {off:e} off", row["case"]);
    }
    println!("{} volumes; largest relative difference {worst:.1e}", rows.len());
}
