//! Sections through the edge, the pair from above and the gap to the rim against the plan's own rows, the order, and plane
//! geometry.

#![allow(clippy::expect_used, reason = "a test that cannot go on has failed")]

mod plans;

use drawing::{Frame, Ink, Item, Path, Scene, Spot, Text};
use job::{EdgeKind, Eye};
use outline::Point;
use planner::LensPlan;
use planner::edge_line::EdgeLineRow;

fn job(name: &str) -> plans::Job {
    plans::jobs().into_iter().find(|job| job.name == name).expect("a job of this name")
}

fn paths(scene: &Scene) -> impl Iterator<Item = &Path> {
    scene.items.iter().filter_map(|item| match item {
        Item::Path(path) => Some(path),
        _ => None,
    })
}

fn extent(spots: &[Spot]) -> Frame {
    spots.iter().fold(Frame { left: f64::MAX, top: f64::MAX, right: f64::MIN, bottom: f64::MIN }, |f, s| Frame {
        left: f.left.min(s.x),
        top: f.top.min(s.y),
        right: f.right.max(s.x),
        bottom: f.bottom.max(s.y),
    })
}

fn near(a: f64, b: f64, by: f64, what: &str) {
    assert!((a - b).abs() <= by, "{what}: {a} {b}");
}

/// Ten times as large as life, exactly.
const SCALE: f64 = 10.0;

/// A section as it is drawn, in mm of lens: from the cut outline inwards, and down from the front surface there.
struct Drawn {
    /// Round the finished lens.
    area: Vec<(f64, f64)>,
    /// Depth of the back surface at the cut outline.
    back: f64,
}

/// The sections on one sheet, from the top.
fn sections(scene: &Scene) -> Vec<Drawn> {
    let areas = paths(scene)
        .filter(|p| p.fill == Some(Ink::Water))
        .map(|p| &p.runs[0].spots)
        .filter(|spots| extent(spots).right - extent(spots).left > 40.0);
    let squares = paths(scene)
        .filter(|p| p.stroke.is_some_and(|s| s.dashes == [1.2, 0.9]))
        .map(|p| &p.runs[0].spots)
        .filter(|spots| spots.len() > 2);
    areas
        .zip(squares)
        .map(|(area, square)| {
            // The square edge stands at the cut outline, the leftmost of its line, from front to back.
            let x = extent(square).left;
            let at: Vec<f64> = square.iter().filter(|s| (s.x - x).abs() < 1e-9).map(|s| s.y).collect();
            let (front, back) = (at.iter().copied().fold(f64::MAX, f64::min), at.iter().copied().fold(0.0, f64::max));
            let area = area.iter().map(|s| ((s.x - x) / SCALE, (s.y - front) / SCALE)).collect();
            Drawn { area, back: (back - front) / SCALE }
        })
        .collect()
}

/// Every section of a job all round, each with its row and its lens.
fn all_round(job: &plans::Job, mut each: impl FnMut(&str, Option<EdgeLineRow>, &LensPlan, u32, &Drawn)) {
    let (plan, order, rules) = (job.plan(), job.order(), job.rules());
    let wanted: Vec<u32> = (0..360).step_by(35).collect();
    for eye in Eye::BOTH {
        let Some(lens) = plan.eyes[eye].as_ref().and_then(|e| e.lens.as_ref()) else { continue };
        let sheets = drawing::sections(&plan, eye, &order, &rules, &wanted);
        let drawn: Vec<Drawn> = sheets.iter().flat_map(sections).collect();
        assert_eq!(drawn.len(), wanted.len(), "{} {eye}", job.name);
        for (&deg, drawn) in wanted.iter().zip(&drawn) {
            let row = lens.edge_line.as_ref().and_then(|line| line.row(deg));
            each(&format!("{} {eye} at {deg}", job.name), row, lens, deg, drawn);
        }
    }
}

/// Surfaces at a place of the section, from the front at the cut outline: the lens itself, on the outline's normal.
fn surfaces(lens: &LensPlan, deg: u32, inwards: f64) -> (f64, f64) {
    let outline = lens.cut.outline();
    let t = f64::from(deg).to_radians();
    let (at, out) = (outline.point(t), outline.normal(t));
    let zero = lens.cutting.front_depth(at).expect("a front");
    let at = Point::new(at.x - inwards * out.x, at.y - inwards * out.y);
    let wall = lens.cutting.wall(at).expect("a wall");
    (wall.front_depth.mm() - zero, wall.back_depth.mm() - zero)
}

#[test]
fn a_millimetre_of_lens_is_a_centimetre_of_sheet() {
    let mut seen = 0;
    for job in plans::jobs() {
        for (name, scene) in job.drawn(&[]) {
            if !name.starts_with("section") {
                continue;
            }
            let label = scene.texts().find(|t| t.words() == "1 mm of lens").expect("a bar of 1 mm");
            let under = |f: &Frame| label.at.x > f.left && label.at.x < f.right && (f.top - label.at.y).abs() < 2.0;
            let bars: Vec<Frame> = paths(&scene)
                .filter(|p| p.fill == Some(Ink::Ink) && p.stroke.is_none())
                .map(|p| extent(&p.runs[0].spots))
                .filter(under)
                .collect();
            assert_eq!(bars.len(), 1, "{} {name}", job.name);
            near(bars[0].right - bars[0].left, 10.0, 1e-9, &name);
            assert!(scene.texts().any(|t| t.words() == "10:1"), "{} {name}", job.name);
            // Sheets are printed on A4 less its margins of 12 mm.
            assert!(scene.width.mm() <= 186.0 && scene.height.mm() <= 273.0, "{} {name}", job.name);
            seen += 1;
        }
    }
    assert!(seen > 40, "{seen}");
}

/// Apex and shoulders stand where the plan's row has them, 6 mm of the lens are shown, and away from the edge every corner
/// lies on a surface of the lens itself.
#[test]
fn apex_and_surfaces_stand_where_the_plan_has_them() {
    let mut bevels = 0;
    for job in plans::jobs() {
        all_round(&job, |name, row, lens, deg, drawn| {
            let longest = drawn.area.iter().map(|p| p.0).fold(f64::MIN, f64::max);
            near(longest, 6.0, 1e-9, name);
            let (_, back) = surfaces(lens, deg, 0.0);
            near(drawn.back, back, 1e-6, name);
            for &(inwards, depth) in drawn.area.iter().filter(|p| p.0 > 1.7) {
                let (front, back) = surfaces(lens, deg, inwards);
                assert!((depth - front).abs().min((depth - back).abs()) < 1e-6, "{name}: {inwards} {depth}");
            }
            let Some(row) = row else { return };
            near(drawn.back, (row.to_front + row.to_back).mm(), 0.001, name);
            if lens.edge_line.as_ref().is_some_and(|line| line.edge == EdgeKind::Bevel) {
                let apex = drawn.area.iter().copied().fold((f64::MAX, 0.0), |a, b| if b.0 < a.0 { b } else { a });
                near(apex.0, 0.0, 1e-9, name);
                near(apex.1, row.to_front.mm(), 0.001, name);
                near(drawn.back - apex.1, row.to_back.mm(), 0.001, name);
                bevels += 1;
            }
        });
    }
    assert!(bevels > 100, "{bevels}");
}

/// The faces of a bevel by plane geometry: under the rules' 115 degrees they fall off by tan(57.5°) for each millimetre; a face
/// ends at the rules' height, 0.7 mm inwards, or before that on its surface.
#[test]
fn faces_open_under_their_angle_and_end_on_a_surface() {
    let steep = libm::tan(57.5_f64.to_radians());
    let (mut whole, mut lowered) = (0, 0);
    for (name, height) in [("seated", 0.7), ("thin-plus", 0.7), ("gaping", 0.7), ("stepped", 0.7), ("small", 0.4)] {
        all_round(&job(name), |name, row, lens, deg, drawn| {
            let apex_depth = row.expect("seated").to_front.mm();
            let apex = drawn.area.iter().position(|p| p.0.abs() < 1e-9).expect("an apex");
            for (end, side) in [(drawn.area[apex - 1], -1.0), (drawn.area[apex + 1], 1.0)] {
                near(end.1 - apex_depth, side * steep * end.0, 0.001, name);
                let (front, back) = surfaces(lens, deg, end.0);
                let left = if side < 0.0 { end.1 - front } else { back - end.1 };
                if end.0 > height - 1e-9 {
                    near(end.0, height, 1e-9, name);
                    assert!(left > -1e-6, "{name}: {left}");
                    whole += 1;
                } else {
                    near(left, 0.0, 1e-6, name);
                    lowered += 1;
                }
            }
        });
    }
    assert!(whole > 60 && lowered > 60, "{whole} {lowered}");
}

/// A stepped bevel's edge stands 0.5 mm (the rules' step) behind its foot, square to the cutting axis.
#[test]
fn a_step_goes_in_behind_the_foot() {
    let job = job("stepped");
    near(job.rules().bevel.step.mm(), 0.5, 1e-9, "the built-in step");
    let mut seen = 0;
    all_round(&job, |name, _, _, _, drawn| {
        let apex = drawn.area.iter().position(|p| p.0.abs() < 1e-9).expect("an apex");
        let (foot, step) = (drawn.area[apex + 1], drawn.area[apex + 2]);
        if foot.0 > 0.7 - 1e-9 {
            near(step.1, foot.1, 1e-9, name);
            near(step.0 - foot.0, 0.5, 1e-9, name);
            seen += 1;
        }
    });
    assert!(seen > 5, "{seen}");
}

/// Both corners of a square edge are broken by a face 0.3 mm wide, the rules' width, as far along the wall as along the
/// surface.
#[test]
fn the_safety_bevel_is_as_wide_as_the_rules_say() {
    let mut seen = 0;
    all_round(&job("drilled"), |name, _, _, _, drawn| {
        let wall: Vec<usize> = (0..drawn.area.len()).filter(|&i| drawn.area[i].0.abs() < 1e-9).collect();
        let [first, last] = wall.as_slice() else { panic!("{name}: {wall:?}") };
        let far = |a: (f64, f64), b: (f64, f64)| ((a.0 - b.0) * (a.0 - b.0) + (a.1 - b.1) * (a.1 - b.1)).sqrt();
        for (on_wall, on_surface, corner) in [
            (drawn.area[*first], drawn.area[first - 1], (0.0, 0.0)),
            (drawn.area[*last], drawn.area[last + 1], (0.0, drawn.back)),
        ] {
            // The surface bends a little over its leg.
            near(far(on_wall, on_surface), 0.3, 0.003, name);
            near(far(on_wall, corner), far(on_surface, corner), 0.003, name);
            seen += 1;
        }
    });
    assert!(seen > 20, "{seen}");
}

/// The groove of the rules, 0.6 by 0.6, with its middle where the plan's row has it.
#[test]
fn a_groove_stands_between_its_walls() {
    let mut seen = 0;
    all_round(&job("corded"), |name, row, _, _, drawn| {
        let row = row.expect("a groove");
        let bottom: Vec<f64> = drawn.area.iter().filter(|p| (p.0 - 0.6).abs() < 1e-9).map(|p| p.1).collect();
        let [upper, lower] = bottom.as_slice() else { panic!("{name}: {bottom:?}") };
        near(*upper, row.to_front.mm() - 0.3, 0.001, name);
        near(*lower, row.to_front.mm() + 0.3, 0.001, name);
        near(drawn.back - lower, row.to_back.mm() - 0.3, 0.001, name);
        // And its lips stand at the cut outline.
        let lips = drawn.area.iter().filter(|p| p.0.abs() < 1e-9 && (p.1 == *upper || p.1 == *lower)).count();
        assert_eq!(lips, 2, "{name}");
        seen += 1;
    });
    assert_eq!(seen, 22);
}

/// The rim's groove of the order, 0.9 deep and 1.6 wide, round the rim's depth: the apex depth less the gap of its row.
#[test]
fn the_rims_groove_is_as_deep_and_wide_as_the_order_says() {
    let job = job("in-its-rim");
    let (plan, order, rules) = (job.plan(), job.order(), job.rules());
    let mut seen = 0;
    for eye in Eye::BOTH {
        let lens = plan.eyes[eye].as_ref().and_then(|e| e.lens.as_ref()).expect("a lens");
        for deg in [0, 90, 217] {
            let row = lens.edge_line.as_ref().and_then(|line| line.row(deg)).expect("a row");
            let [sheet] = &drawing::sections(&plan, eye, &order, &rules, &[deg])[..] else { panic!("one sheet") };
            let rim = paths(sheet).find(|p| p.fill == Some(Ink::Buff)).expect("a rim");
            let spots = &rim.runs[0].spots;
            let (bottom, upper, lower) = (spots[0], spots[1], spots[spots.len() - 1]);
            near(upper.x - bottom.x, SCALE * 0.9, 1e-6, "depth");
            near(lower.y - upper.y, SCALE * 1.6, 1e-6, "width");
            near(0.5 * (lower.y + upper.y), bottom.y, 1e-6, "symmetric");
            let area = paths(sheet).find(|p| p.fill == Some(Ink::Water)).expect("a lens");
            let apex =
                area.runs[0].spots.iter().copied().reduce(|a, b| if b.x < a.x { b } else { a }).expect("corners");
            near((apex.y - bottom.y) / SCALE, row.gap.expect("seated").mm(), 0.001, "gap");
            // By hand: under 115 degrees 0.8 mm to either side are met 0.8 / tan(57.5°) = 0.5097 mm in.
            near((apex.x - bottom.x) / SCALE, 0.9 - 0.8 / libm::tan(57.5_f64.to_radians()), 1e-6, "short");
            seen += 1;
        }
    }
    assert_eq!(seen, 6);
}

/// What the dimensions say is what the plan's row says, and the place is told in words.
#[test]
fn figures_of_a_section_are_those_of_its_row() {
    let job = job("seated");
    let (plan, order, rules) = (job.plan(), job.order(), job.rules());
    for (eye, place) in [(Eye::Right, "bottom, towards the temple"), (Eye::Left, "bottom, towards the nose")] {
        let lens = plan.eyes[eye].as_ref().and_then(|e| e.lens.as_ref()).expect("a lens");
        let row = lens.edge_line.as_ref().and_then(|line| line.row(225)).expect("a row");
        let [sheet] = &drawing::sections(&plan, eye, &order, &rules, &[225])[..] else { panic!("one sheet") };
        let said: Vec<String> = sheet.texts().map(Text::words).collect();
        for words in [
            format!("A at 225, {place}"),
            format!("{:.2} front shoulder", row.to_front.mm()),
            format!("{:.2} back shoulder", row.to_back.mm()),
            format!("{:.2} square edge", (row.to_front + row.to_back).mm()),
            format!("{:.2}", row.visible.expect("a bevel").mm()),
            "0.70 bevel height".to_owned(),
            "115\u{b0}".to_owned(),
            "safety bevel 0.30".to_owned(),
        ] {
            assert!(said.contains(&words), "{eye}: {words} in {said:?}");
        }
    }
}

/// Without a wish the edge is cut where the plan says it is thinnest, thickest and farthest from the rim.
#[test]
fn unasked_the_edge_is_cut_where_it_tells_most() {
    for job in plans::jobs() {
        let plan = job.plan();
        for eye_plan in plan.planned() {
            let Some(lens) = &eye_plan.lens else { continue };
            let sheets = drawing::sections(&plan, eye_plan.eye, &job.order(), &job.rules(), &[]);
            let said: Vec<String> = sheets.iter().flat_map(Scene::texts).map(Text::words).collect();
            let cut_at = |deg: f64| {
                said.iter().any(|words| {
                    let deg_of = words.split_once(" at ").and_then(|(_, rest)| rest.get(..3)?.parse::<f64>().ok());
                    deg_of.is_some_and(|at| ((at - deg + 180.0).rem_euclid(360.0) - 180.0).abs() < 3.51)
                })
            };
            assert!(cut_at(lens.edge.thinnest_deg), "{}: {said:?}", job.name);
            if let Some(seated) = lens.edge_line.as_ref().and_then(|line| line.sized.seated.as_ref()) {
                assert!(cut_at(lens.edge.thickest_deg), "{}: {said:?}", job.name);
                let gap = seated.gap_greatest.mm().abs();
                assert!(gap < 0.005 || cut_at(seated.gap_greatest_at.direction_deg()), "{}: {said:?}", job.name);
            }
        }
    }
}

/// Where nobody knows the rim's depth a section is square and says why, and nothing speaks of a rim.
#[test]
fn a_bevel_that_nobody_can_place_is_not_drawn() {
    for name in ["plain", "corded", "drilled"] {
        let job = job(name);
        let scenes = job.drawn(&[]);
        assert!(scenes.iter().all(|(view, _)| view != "gap"), "{name}");
        let words: Vec<String> = scenes
            .iter()
            .filter(|(view, _)| view.starts_with("section") || view == "above")
            .flat_map(|(_, scene)| scene.texts().map(Text::words).chain([scene.description.clone()]))
            .collect();
        let unknown = "Square edge: without the rim's depth";
        assert_eq!(words.iter().any(|w| w.contains(unknown)), name == "plain", "{name}: {words:?}");
        for word in ["shoulder", "the rim at", "before the rim", "behind the rim", "groove line"] {
            assert!(!words.iter().any(|w| w.contains(word)), "{name}: {word}");
        }
    }
}

/// The lenses' areas of a view from above, right eye first, and how much larger than life it is.
fn from_above(job: &plans::Job) -> (Scene, Vec<Vec<Spot>>, f64) {
    let scene = drawing::above(&job.plan(), &job.order(), &job.rules()).expect("a lens");
    let areas = paths(&scene).filter(|p| p.fill == Some(Ink::Water)).map(|p| p.runs[0].spots.clone()).collect();
    let scale = if scene.texts().any(|t| t.words() == "2:1") { 2.0 } else { 1.0 };
    (scene, areas, scale)
}

/// How much larger a lens is than its trace, at each end.
fn larger(plan: &planner::Plan, eye: Eye) -> f64 {
    let plan = plan.eyes[eye].as_ref().expect("an eye");
    let cut = plan.lens.as_ref().expect("a lens").cut.outline().boxed().width;
    0.5 * (cut - plan.shape.boxed.width).mm()
}

/// Flat in the front, the apices at the nose stand as far apart as the order's distance between lenses, less what each lens
/// is larger than its trace; each lens is as wide as the superellipse's box and what it is larger.
#[test]
fn lenses_stand_as_far_apart_as_the_front_sets_them() {
    let mut seen = 0;
    for (name, width, between) in
        [("plain", 50.0, 18.0), ("seated", 50.0, 18.0), ("deep", 44.0, 22.0), ("corded", 50.0, 18.0)]
    {
        let job = job(name);
        let (_, areas, scale) = from_above(&job);
        let plan = job.plan();
        let [right, left] = areas.as_slice() else { panic!("{name}: {}", areas.len()) };
        let (right, left) = (extent(right), extent(left));
        let apart = between - larger(&plan, Eye::Right) - larger(&plan, Eye::Left);
        near((left.left - right.right) / scale, apart, 1e-6, name);
        near((right.right - right.left) / scale, width + 2.0 * larger(&plan, Eye::Right), 1e-6, name);
        seen += 1;
    }
    assert_eq!(seen, 4);
}

/// With face form the nasal apices keep their distance (the plane through them is turned about them), and each lens's plane,
/// from the square edge at the nose to that at the temple, is turned back by the order's angle.
#[test]
fn lenses_are_turned_back_by_the_face_form() {
    for (name, between, degrees) in [("in-its-rim", 18.0, 5.0), ("gaping", 18.0, 12.0), ("wrapped", 18.0, 9.0)] {
        let job = job(name);
        let (scene, areas, scale) = from_above(&job);
        let plan = job.plan();
        let mut noses = Vec::new();
        for (area, eye) in areas.iter().zip(Eye::BOTH) {
            let lens = plan.eyes[eye].as_ref().and_then(|e| e.lens.as_ref()).expect("a lens");
            let line = lens.edge_line.as_ref().expect("a line");
            let f = extent(area);
            // The marks of the apex, at the nose first.
            let marks: Vec<Spot> = paths(&scene)
                .filter(|p| p.fill == Some(Ink::Mark) && p.runs[0].spots.len() == 3)
                .map(|p| extent(&p.runs[0].spots))
                .map(|m| Spot { x: 0.5 * (m.left + m.right), y: m.top + 0.5 })
                .filter(|m| m.x > f.left - 2.0 && m.x < f.right + 2.0)
                .collect();
            let [nose, temple] = marks.as_slice() else { panic!("{name} {eye}: {marks:?}") };
            let depth = |deg: u32| line.row(deg).expect("a row").depth.mm();
            let (at_nose, at_temple) = if eye == Eye::Right { (depth(0), depth(180)) } else { (depth(180), depth(0)) };
            let wide = lens.cut.outline().boxed().width.mm();
            // By plane geometry: the chord between the apices leans by face form and by what they differ in depth.
            let leans = degrees + libm::atan2(at_temple - at_nose, wide).to_degrees();
            let drawn = libm::atan2(nose.y - temple.y, (nose.x - temple.x).abs()).to_degrees();
            near(drawn, leans, 0.001, name);
            let chord = ((nose.x - temple.x) * (nose.x - temple.x) + (nose.y - temple.y) * (nose.y - temple.y)).sqrt();
            near(chord / scale, (wide * wide + (at_temple - at_nose) * (at_temple - at_nose)).sqrt(), 1e-6, name);
            assert_eq!(nose.x > temple.x, eye == Eye::Right, "{name}");
            noses.push((*nose, larger(&plan, eye)));
        }
        let [(right, more_right), (left, more_left)] = noses.as_slice() else { panic!("{name}") };
        let apart = between - (more_right + more_left) * libm::cos(f64::to_radians(degrees));
        near((left.x - right.x) / scale, apart, 1e-6, name);
        near(right.y, left.y, 1e-6, name);
    }
}

/// Thicknesses at nose, middle and temple are the plan's rows, drawn and written.
#[test]
fn thicknesses_from_above_are_those_of_the_plan() {
    for job in plans::jobs() {
        let plan = job.plan();
        let Some(scene) = drawing::above(&plan, &job.order(), &job.rules()) else {
            assert!(plan.planned().all(|eye| eye.lens.is_none()), "{}", job.name);
            continue;
        };
        for eye in plan.planned() {
            let Some(lens) = &eye.lens else { continue };
            for deg in [0.0, 180.0] {
                let row = lens.edge.around.iter().find(|row| row.deg == deg).expect("a row");
                let words = format!("{:.2}", row.square.mm());
                assert!(scene.texts().any(|t| t.words() == words), "{} {}: {words}", job.name, eye.eye);
            }
            let middle = lens.cutting.wall(Point::ORIGIN).expect("a middle").thickness().mm();
            let words = format!("boxed centre {middle:.2}");
            assert!(scene.texts().any(|t| t.words() == words), "{} {}: {words}", job.name, eye.eye);
            let leads = if job.face_form_deg().is_some() { "face form" } else { "face form not given: drawn flat" };
            assert!(scene.texts().any(|t| t.words().contains(leads)), "{}", job.name);
        }
    }
}

/// Pupils stand as far apart as the order's distances, 31.5 and 32.0.
#[test]
fn pupils_from_above_stand_where_they_were_measured() {
    for name in ["plain", "in-its-rim"] {
        let (scene, _, scale) = from_above(&job(name));
        let pupils: Vec<Spot> = scene
            .items
            .iter()
            .filter_map(|item| match item {
                Item::Circle(c) if c.fill == Some(Ink::Paper) => Some(c.centre),
                _ => None,
            })
            .collect();
        let [right, left] = pupils.as_slice() else { panic!("{name}: {pupils:?}") };
        near((left.x - right.x) / scale, 63.5, 1e-9, name);
        near(left.y, right.y, 1e-9, name);
    }
}

/// The curve of the gap: at each whole degree as far from the rim's straight line, times the scale that the sheet states, as the
/// plan's row says, where its length along the edge says; behind the rim is down.
#[test]
fn the_gap_is_that_of_the_rows() {
    let mut seen = 0;
    for job in plans::jobs() {
        let plan = job.plan();
        let eyes: Vec<_> = plan
            .planned()
            .filter(|e| {
                e.lens.as_ref().and_then(|l| l.edge_line.as_ref()).is_some_and(|line| line.sized.seated.is_some())
            })
            .collect();
        let Some(scene) = drawing::gap(&plan) else {
            assert!(eyes.is_empty(), "{}", job.name);
            continue;
        };
        let ratio = scene.texts().map(Text::words).find(|w| w.starts_with("1:1 along, ")).expect("a scale");
        let scale: f64 = ratio["1:1 along, ".len()..].split(':').next().expect("a number").parse().expect("a number");
        let rims = paths(&scene).filter(|p| p.stroke.is_some_and(|s| s.dashes.len() == 6)).map(|p| &p.runs[0].spots);
        let rims: Vec<_> = rims.filter(|s| (s[1].x - s[0].x) > 30.0).collect();
        let curves: Vec<_> = paths(&scene).map(|p| &p.runs[0].spots).filter(|s| s.len() == 361).collect();
        assert_eq!((rims.len(), curves.len()), (eyes.len(), eyes.len()), "{}", job.name);
        for ((eye, rim), curve) in eyes.iter().zip(rims).zip(curves) {
            let lens = eye.lens.as_ref().expect("filtered");
            let line = lens.edge_line.as_ref().expect("filtered");
            let outline = lens.cut.outline();
            let (lengths, round) = (outline.lengths(), outline.circumference().mm());
            let up_to = |deg: u32| lengths.up_to(f64::from(deg).to_radians()).mm();
            near(rim[0].y, rim[1].y, 1e-9, job.name);
            near(rim[1].x - rim[0].x, round, 1e-6, job.name);
            for deg in 0..360 {
                let along = match eye.eye {
                    Eye::Right => up_to(deg),
                    Eye::Left => (up_to(180) - up_to(deg)).rem_euclid(round),
                };
                let at = curve
                    .iter()
                    .copied()
                    .min_by(|a, b| (a.x - rim[0].x - along).abs().total_cmp(&(b.x - rim[0].x - along).abs()))
                    .expect("a curve");
                let gap = line.row(deg).and_then(|row| row.gap).expect("seated").mm();
                near(at.x - rim[0].x, along, 1e-6, job.name);
                near((at.y - rim[0].y) / scale, gap, 1e-9, job.name);
                seen += 1;
            }
            let seated = line.sized.seated.as_ref().expect("filtered");
            let words = format!("{:.2}", seated.gap_rms.mm());
            let (frame, bevel) = (line.frame_curve_d.expect("a curve"), line.bevel_curve_d.expect("a curve"));
            let of = if line.edge == EdgeKind::Groove { "groove's curve" } else { "bevel curve" };
            let curves = format!("frame curve {frame:+.2} D, {of} {bevel:+.2} D.");
            let said = scene
                .texts()
                .map(Text::words)
                .any(|w| w.starts_with(&format!("Gap rms {words}")) && w.ends_with(&curves));
            assert!(said, "{} {}: {words} {curves}", job.name, eye.eye);
        }
    }
    assert!(seen >= 10 * 360, "{seen}");
}

/// An order for the other eye with everything mirrored gives the same section and the same view from above, mirrored.
#[test]
fn mirrored_lenses_have_mirrored_views() {
    let job = job("short");
    let (plan, order, rules) = (job.plan(), job.order(), job.rules());
    let one = |eye, at: u32| sections(&drawing::sections(&plan, eye, &order, &rules, &[at])[0]).remove(0).area;
    for (right, left) in [(0, 180), (225, 315), (90, 90)] {
        for (a, b) in one(Eye::Right, right).iter().zip(&one(Eye::Left, left)) {
            near(a.0, b.0, 1e-6, "inwards");
            near(a.1, b.1, 1e-6, "depth");
        }
    }
    let (scene, areas, _) = from_above(&job);
    let middle = 0.5 * scene.width.mm();
    let (right, left) = (extent(&areas[0]), extent(&areas[1]));
    near(middle - right.left, left.right - middle, 1e-6, "temples");
    near(middle - right.right, left.left - middle, 1e-6, "noses");
    near(right.top, left.top, 1e-6, "backs");
}

/// Holes stand on the pair where the order has them from the boxed centre, in mm, in is towards the nose; at their own size.
#[test]
fn holes_stand_where_the_order_has_them() {
    let plan = job("drilled").plan();
    let pair = drawing::pair(&plan).expect("a pair");
    let holes: Vec<Spot> = pair
        .items
        .iter()
        .filter_map(|item| match item {
            Item::Circle(c) if (c.radius - 0.7).abs() < 1e-9 && c.fill == Some(Ink::Paper) => Some(c.centre),
            _ => None,
        })
        .collect();
    let [right, left] = holes[..] else { panic!("{holes:?}") };
    let eye = |eye: Eye| plan.eyes[eye].as_ref().expect("planned");
    // Boxed centres stand half a box and half the distance between the lenses from the middle of the bridge; the right one is
    // on the left of the sheet. Right: 20 out and 4 up; left: 19.5 in and 3 up.
    let half = |of: Eye| 0.5 * eye(of).shape.boxed.width.mm();
    let between = eye(Eye::Right).between_lenses.expect("known").mm();
    near(left.x - right.x, half(Eye::Right) + between + half(Eye::Left) + 20.0 - 19.5, 0.01, "across");
    near(right.y - left.y, -1.0, 0.3, "up, the boxes' own heights apart");
    let left_lens = eye(Eye::Left).lens.as_ref().expect("a blank");
    assert!(left_lens.holes.len() == 1 && left_lens.holes[0].at.inwards.mm() > 0.0);
}
