//! `thickness-cases.toml`: complete lenses, each held against every figure that the file states for it.
//!
//! The file's cutting axis is the lens axis; its origin is the front vertex, which here stands where the case has it seen
//! from the boxed centre.

use lens::{CutOutline, Cutting, Given, Lens, Surfacing, TorusForm};
use optics::{Face, Prism, SpheroCylinder, curves};
use outline::{Outline, Point};
use toml::{Table, Value};
use units::{Angle, CmPerM, Dioptre, Mm, Working};

use crate::case::{Case, Found, Want, number};
use crate::lenses::block;
use crate::{File, topic};

pub(crate) const FILE: File = File {
    name: "thickness-cases.toml",
    text: include_str!("../../../../reference/thickness-cases.toml"),
    table: "case",
    topic_of,
    wants,
    taken: &[
        topic("sphere behind a sphere", figure),
        topic("tyre torus behind a sphere", figure),
        topic("torus before a sphere", figure),
        topic("ground prism", figure),
    ],
    left_out: &[],
};

/// The places where a thickness is stated, with the formulations that are ours; `g_wedge`, a sloping surface in place of a
/// tilted one, is given in the file for comparison only.
const AT_POINTS: [&str; 3] = ["g", "g_normal", "g_barrel"];

/// A direction at which the edge is as thin (or thick) as anywhere, to this, is as good an answer as the first such one:
/// the file lists one of several. A hundredth of a degree beside an extreme differs by some ten times as much.
const AS_GOOD_MM: f64 = 1e-9;

fn topic_of(case: &Case) -> String {
    let word = |key: &str| case.table[key].as_str().expect("a word");
    let is = |key: &str| input(case, key).is_some_and(|value| value != 0.0);
    let topic = match (is("prism_pd"), word("toric_surface"), is("cyl_d")) {
        (true, ..) => "ground prism",
        (false, "front", _) => "torus before a sphere",
        (false, _, true) => "tyre torus behind a sphere",
        (false, _, false) => "sphere behind a sphere",
    };
    topic.to_owned()
}

fn input(case: &Case, key: &str) -> Option<f64> {
    case.table.get(key).and_then(number)
}

fn given(case: &Case, key: &str) -> f64 {
    input(case, key).unwrap_or_else(|| panic!("{}: `{key}` is missing", case.id))
}

fn expected<'a>(case: &Case<'a>) -> &'a Table {
    case.table["expected"].as_table().expect("a table")
}

fn points<'a>(case: &Case<'a>) -> impl Iterator<Item = &'a Table> {
    expected(case)["points"].as_array().expect("points").iter().map(|p| p.as_table().expect("a table"))
}

/// Every figure of a case at the tolerance that the case states for its kind; the last printed place comes on top of a
/// relative one. A radius of `inf` is a plane.
fn wants(case: &Case) -> Vec<Want> {
    let expected = expected(case);
    let tolerance = |key: &str| number(&expected[key]).expect("a tolerance");
    let (plain, relative, angle) =
        (tolerance("tolerance"), tolerance("tolerance_area_volume_mass_rel"), tolerance("tolerance_angle_deg"));
    let want = |key: String, value: &Value| {
        let figure = number(value).unwrap_or_else(|| panic!("{}: {key} is a number", case.id));
        let tolerance = match &key[..] {
            "area_mm2" | "volume_mm3" | "mass_g" => relative * figure + 5e-7,
            _ if key.ends_with("_at_deg") => angle,
            _ => plain,
        };
        let value = if figure.is_infinite() { Value::String("plane".to_owned()) } else { value.clone() };
        Want { key, value, tolerance, published: false }
    };
    let scalars = expected
        .iter()
        .filter(|(key, _)| *key != "points" && !key.starts_with("tolerance"))
        .map(|(key, value)| want(key.clone(), value));
    let at_points = points(case).enumerate().flat_map(|(n, point)| {
        let keys = AT_POINTS.into_iter().filter(|key| point.contains_key(*key));
        keys.map(move |key| want(format!("points[{n}].{key}"), &point[key]))
    });
    scalars.chain(at_points).collect()
}

fn surfacing(case: &Case, form: TorusForm) -> Surfacing {
    let power = |key: &str| Dioptre::new(given(case, key));
    let on_front = case.table["toric_surface"].as_str() == Some("front");
    Surfacing {
        power: SpheroCylinder::new(power("sphere_d"), power("cyl_d"), axis(case)),
        index: given(case, "index"),
        given: if on_front { Given::Back(power("back_power_d")) } else { Given::Front(power("front_power_d")) },
        form,
        ground: Prism::towards(CmPerM::new(given(case, "prism_pd")), Angle::from_deg(given(case, "prism_base_deg"))),
        conic: [0.0; 2],
    }
}

fn axis(case: &Case) -> Angle {
    Angle::from_deg(given(case, "axis_deg"))
}

fn figure(case: &Case) -> Found {
    let w = &mut Working::off();
    let shape = case.table["outline"].as_table().expect("an outline");
    let of_shape = |key: &str| number(&shape[key]).expect("a number");
    let cut = CutOutline::new(
        Outline::superellipse(Mm::new(of_shape("semi_x_mm")), Mm::new(of_shape("semi_y_mm")), of_shape("exponent"))
            .expect("an outline"),
    );
    let vertex = Point::new(-of_shape("center_x_mm"), -of_shape("center_y_mm"));
    let surfacing_as = |form| surfacing(case, form);
    let centre = match input(case, "min_edge_thickness_mm") {
        Some(edge) => {
            let edge = Mm::new(edge);
            lens::centre_for_thinnest_edge(w, &surfacing_as(TorusForm::Tyre), vertex, &block(), &cut, edge)
                .expect("a centre")
        }
        None => Mm::new(given(case, "center_thickness_mm")),
    };
    let made = |form| surfacing_as(form).lens(&mut Working::off(), centre).expect("a lens");
    let (tyre, barrel) = (made(TorusForm::Tyre), made(TorusForm::Barrel));
    let held = Cutting::new(tyre, vertex, &block()).expect("held");
    let walls = lens::Walls::of(&held, &cut).expect("reaches");
    let edge = lens::edge_extremes(&held, &cut, &walls);
    let far = lens::coverage(&held, &cut, &walls, Point::ORIGIN, Mm::new(40.0), Mm::ZERO);
    let volume = lens::volume_mm3(&held, &cut).expect("a volume");
    let direction = |key: &str, found: lens::EdgePoint| {
        let listed = expected(case).get(key).and_then(number);
        let as_good = |deg: f64| {
            let wall = held.wall(cut.outline().point(deg.to_radians())).expect("a wall");
            (wall.thickness() - found.thickness).abs().mm() < AS_GOOD_MM
        };
        listed.filter(|deg| as_good(*deg)).unwrap_or_else(|| found.direction.direction_deg())
    };
    let mut found = Found::none()
        .length("center_thickness_mm", centre)
        .length("edge_min_mm", edge.thinnest.thickness)
        .length("edge_max_mm", edge.thickest.thickness)
        .number("edge_min_at_deg", direction("edge_min_at_deg", edge.thinnest))
        .number("edge_max_at_deg", direction("edge_max_at_deg", edge.thickest))
        .length("far_radius_mm", far.greatest_distance)
        .number("area_mm2", cut.outline().area())
        .number("volume_mm3", volume)
        .number("mass_g", volume * given(case, "density_g_cm3") / 1000.0)
        .number("tilt_alpha_deg", tyre.back_tilt().deg());
    if let Some((x, y)) = tyre.optical_centre() {
        found = found.number("optical_centre_front_x_mm", x).number("optical_centre_front_y_mm", y);
    }
    found = surfaces(found, case, &tyre);
    for (n, point) in points(case).enumerate() {
        let at = |key: &str| number(&point[key]).expect("a number");
        let (x, y) = (at("x"), at("y"));
        let reaches = |thickness: Option<f64>| thickness.expect("reaches");
        found = found
            .number(&format!("points[{n}].g"), reaches(tyre.thickness_along_axis(x, y)))
            .number(&format!("points[{n}].g_normal"), reaches(tyre.thickness_along_front_normal(x, y)))
            .number(&format!("points[{n}].g_barrel"), reaches(barrel.thickness_along_axis(x, y)));
    }
    found
}

/// Power and radius of both surfaces along the case's axis and across it.
fn surfaces(found: Found, case: &Case, lens: &Lens) -> Found {
    let sides = [("front", Face::Front, lens.front_power()), ("back", Face::Back, lens.back_power())];
    let meridians = [("axis", axis(case)), ("perp", axis(case) + Angle::from_deg(90.0))];
    let mut found = found;
    for (side, face, power) in sides {
        for (meridian, along) in meridians {
            let w = &mut Working::off();
            let power = power.power_in(w, along);
            found = found.power(&format!("{side}_power_{meridian}_d"), power);
            let key = format!("{side}_radius_{meridian}_mm");
            // The file's planes are planes to the rounding of its powers.
            found = match curves::surface_radius(w, face, power, lens.index()) {
                Some(radius) if radius.abs().mm() < 1e9 => found.length(&key, radius),
                Some(_) | None => found.word(&key, "plane"),
            };
        }
    }
    found
}
