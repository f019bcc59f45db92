//! Held against a general-purpose ray-tracing library: `reference/rays` says which, how, and what is the script's own.

use std::collections::{BTreeMap, BTreeSet};

use job::rules::{Block, BlockAt, CuttingAxis, Lies};
use lens::{CutOutline, Cutting, Given, HalfExponent, Lens, Surface, Surfacing, TorusForm, volume_mm3};
use optics::{PowerMatrix, Prism, SpheroCylinder};
use outline::{Outline, Point};
use units::{Angle, CmPerM, Dioptre, Mm, Working};

const CASES: &str = include_str!("../../../reference/rays/cases.csv");
const VOLUMES: &str = include_str!("../../../reference/rays/volumes.csv");

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
        given: match row["given"] {
            "front" => Given::Front(given),
            "flatter-front" => Given::FlatterFront(given),
            "back" => Given::Back(given),
            other => panic!("given = `{other}`"),
        },
        form: match row["form"] {
            "tyre" => TorusForm::Tyre,
            "barrel" => TorusForm::Barrel,
            other => panic!("form = `{other}`"),
        },
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
    let half = match row["added_exponent"] {
        "2" => HalfExponent::One,
        "4" => HalfExponent::Two,
        "6" => HalfExponent::Three,
        other => panic!("added_exponent = `{other}`"),
    };
    lens.corrected(check, radius, Some(Angle::ZERO), half).unwrap_or_else(|e| panic!("case {}: {e}", row["case"]))
}

fn held(row: &Row) -> Cutting {
    let block = Block {
        axis: match row["block_axis"] {
            "front-normal" => CuttingAxis::FrontNormal,
            "lens-axis" => CuttingAxis::LensAxis,
            other => panic!("block_axis = `{other}`"),
        },
        at: match row["block_at"] {
            "boxed-centre" => BlockAt::BoxedCentre,
            "optical-centre" => BlockAt::OpticalCentre,
            other => panic!("block_at = `{other}`"),
        },
        lies: Lies::FrontUp,
        diameters: Vec::new(),
        clear_least: Mm::ZERO,
        clear_wanted: Mm::ZERO,
        clamp_least: Mm::ZERO,
    };
    let vertex = Point::new(number(row, "vertex_x_mm"), number(row, "vertex_y_mm"));
    Cutting::new(made(row), vertex, &block).unwrap_or_else(|e| panic!("case {}: {e}", row["case"]))
}

/// The row of each case at its first point: what is said of the whole lens.
fn lenses(rows: &[Row]) -> Vec<&Row> {
    let mut seen = BTreeSet::new();
    rows.iter().filter(|row| seen.insert(row["case"])).collect()
}

fn kind(surface: &Surface) -> &'static str {
    match surface {
        Surface::Sphere(_) => "sphere",
        Surface::Conic(_) => "conic",
        Surface::Biconic(_) => "biconic",
        Surface::Torus(_) => "torus",
    }
}

/// Largest differences by what was compared, and every one beyond its tolerance (or that is no number).
#[derive(Default)]
struct Held {
    worst: BTreeMap<&'static str, f64>,
    faults: Vec<String>,
}

impl Held {
    fn compare(&mut self, row: &Row, name: &'static str, found: f64, tolerance: &str) {
        let off = (found - number(row, name)).abs();
        let worst = self.worst.entry(name).or_default();
        *worst = worst.max(off);
        if off.is_nan() || off > number(row, tolerance) {
            self.faults.push(format!("case {}: {name} is {found}, {off:e} off: {row:?}", row["case"]));
        }
    }

    fn end(&self, what: &str) {
        println!("{what}; largest differences: {:?}", self.worst);
        assert!(self.faults.is_empty(), "{} faults:\n{}", self.faults.len(), self.faults.join("\n"));
    }
}

/// Each kind of surface, with the curvatures at its vertex that a closed form gives.
#[test]
fn the_surfaces_are_those_that_the_table_names() {
    let rows = rows(CASES);
    let lenses = lenses(&rows);
    assert!(lenses.len() >= 60, "{} cases", lenses.len());
    let mut kinds: BTreeMap<&str, usize> = BTreeMap::new();
    for row in &lenses {
        let lens = made(row);
        for (name, surface, columns) in [
            ("front_kind", lens.front(), ["front_along_per_mm", "front_across_per_mm"]),
            ("back_kind", lens.back(), ["back_along_per_mm", "back_across_per_mm"]),
        ] {
            *kinds.entry(row[name]).or_default() += 1;
            assert!(row[name].starts_with(kind(surface)), "case {}: {name} is {surface:?}", row["case"]);
            let by_size = |mut both: [f64; 2]| {
                both.sort_by(f64::total_cmp);
                both
            };
            let found = by_size(surface.radii().map(|radius| radius.map_or(0.0, |r| 1.0 / r.mm())));
            let wanted = by_size(columns.map(|name| number(row, name) + 0.0));
            for (found, wanted) in found.into_iter().zip(wanted) {
                assert!((found - wanted).abs() < 1e-15, "case {}: {name} {found} for {wanted}", row["case"]);
            }
        }
    }
    println!("surfaces: {kinds:?}");
    for name in ["sphere", "conic", "biconic", "torus-tyre", "torus-barrel"] {
        assert!(kinds.get(name).is_some_and(|&n| n >= 10), "{name}: {:?}", kinds.get(name));
    }
}

#[test]
fn rays_meet_both_surfaces_where_the_library_has_them() {
    let rows = rows(CASES);
    let cases = lenses(&rows).len();
    assert!(cases >= 60, "{cases} cases");
    let mut held_to = Held::default();
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
            held_to.compare(row, name, found.unwrap_or(f64::NAN), "tolerance_mm");
        }
    }
    held_to.end(&format!("{} points of {cases} cases, mm", rows.len()));
}

/// The cutting axis leans as the front's normal at the block point does, which another solver found.
#[test]
fn the_cutting_axis_leans_as_the_front_does() {
    let rows = rows(CASES);
    let mut held_to = Held::default();
    let mut leaning = 0;
    for row in lenses(&rows) {
        let [right, up] = held(row).lean_deg(&mut Working::off());
        // A tolerance in mm over 30 mm is less than itself in degrees.
        held_to.compare(row, "lean_right_deg", right, "tolerance_mm");
        held_to.compare(row, "lean_up_deg", up, "tolerance_mm");
        leaning += usize::from(right.abs() + up.abs() > 0.5);
    }
    assert!(leaning >= 60, "{leaning} lean");
    held_to.end(&format!("{leaning} leaning cutting axes, degrees"));
}

/// Rays of the library near the axis say that a lens has its back vertex power, in every meridian.
#[test]
fn rays_near_the_axis_have_the_back_vertex_power() {
    let rows = rows(CASES);
    let mut held_to = Held::default();
    let mut seen = 0;
    for row in lenses(&rows).into_iter().filter(|row| !row["ray_power_xx_d"].is_empty()) {
        let power = PowerMatrix::from(made(row).back_vertex_power());
        for (name, found) in [("ray_power_xx_d", power.xx), ("ray_power_xy_d", power.xy), ("ray_power_yy_d", power.yy)]
        {
            held_to.compare(row, name, found.dioptres(), "power_tolerance_d");
        }
        seen += 1;
    }
    assert!(seen >= 60, "{seen} powers");
    held_to.end(&format!("{seen} back vertex powers, D"));
}

/// The prism that is ground is the prism by which the library's axial ray leaves.
#[test]
fn the_axial_ray_is_turned_by_the_prism_that_is_ground() {
    let rows = rows(CASES);
    let mut held_to = Held::default();
    let mut seen = 0;
    for row in lenses(&rows).into_iter().filter(|row| number(row, "prism_cm_per_m") > 0.0) {
        // The axial ray meets the back at its tilt a and leaves at asin(n sin a) to its normal, a less to the axis.
        let lens = made(row);
        let (tilt, n) = (lens.back_tilt(), number(row, "index"));
        let deviation = libm::asin(n * tilt.sin()) - tilt.rad();
        let prism = Prism::towards(CmPerM::new(100.0 * libm::tan(deviation)), Angle::from_deg(number(row, "base_deg")));
        held_to.compare(row, "axial_prism_x_cm_per_m", prism.x.cm_per_m(), "tolerance_mm");
        held_to.compare(row, "axial_prism_y_cm_per_m", prism.y.cm_per_m(), "tolerance_mm");
        let ground = CmPerM::new(number(row, "prism_cm_per_m"));
        assert!((prism.amount() - ground).abs() < CmPerM::new(1e-9), "case {}: {prism:?}", row["case"]);
        // Towards the base it grows thicker, against the lens that is the same but for the prism.
        let unground = made(&row.iter().map(|(k, v)| (*k, if *k == "prism_cm_per_m" { "0" } else { *v })).collect());
        let base = Angle::from_deg(number(row, "base_deg"));
        let grown = |lens: &Lens| lens.thickness_along_axis(5.0 * base.cos(), 5.0 * base.sin()).unwrap_or(f64::NAN);
        assert!(grown(&lens) > grown(&unground), "case {}", row["case"]);
        seen += 1;
    }
    assert!(seen >= 16, "{seen} lenses with prism");
    held_to.end(&format!("{seen} ground prisms, cm/m"));
}

#[test]
fn volumes_are_those_of_a_quadrature_over_the_area() {
    let rows = rows(VOLUMES);
    assert!(rows.len() >= 12, "{} volumes", rows.len());
    for name in ["conic", "biconic", "torus-tyre", "torus-barrel"] {
        assert!(rows.iter().any(|row| row["front_kind"] == name || row["back_kind"] == name), "no volume of a {name}");
    }
    let mut worst: f64 = 0.0;
    for row in &rows {
        let (x, y) = (Mm::new(number(row, "semi_x_mm")), Mm::new(number(row, "semi_y_mm")));
        let outline = Outline::superellipse(x, y, number(row, "exponent")).unwrap_or_else(|e| panic!("{e}"));
        let found = volume_mm3(&held(row), &CutOutline::new(outline)).unwrap_or_else(|e| panic!("{e}"));
        let off = (found / number(row, "volume_mm3") - 1.0).abs();
        worst = worst.max(off);
        assert!(off < number(row, "tolerance_rel"), "case {}: {found} is {off:e} off", row["case"]);
    }
    println!("{} volumes; largest relative difference {worst:.1e}", rows.len());
}
