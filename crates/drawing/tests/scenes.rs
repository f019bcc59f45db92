//! Holds every view of every test plan against what a drawing on the bench must do.

mod plans;

use std::collections::BTreeSet;
use std::sync::OnceLock;

use drawing::{EdgeRow, Frame, Ink, Item, Path, Scene, Spot, Text};
use job::Eye;
use job::rules::Lies;
use planner::{LensPlan, Plan};
use resvg::usvg;

const FACES: [&[u8]; 3] = [
    include_bytes!("../../../assets/fonts/RimwrightCondensed-Regular.ttf"),
    include_bytes!("../../../assets/fonts/RimwrightCondensed-Medium.ttf"),
    include_bytes!("../../../assets/fonts/RimwrightCondensed-SemiBold.ttf"),
];

/// Every scene, with the name of its plan; blockers' cards both ways up.
fn scenes() -> &'static [(String, Scene)] {
    static SCENES: OnceLock<Vec<(String, Scene)>> = OnceLock::new();
    SCENES.get_or_init(drawn)
}

fn drawn() -> Vec<(String, Scene)> {
    let mut all = Vec::new();
    for job in plans::jobs() {
        let plan = job.plan();
        all.extend(job.drawn(&[]).into_iter().map(|(stem, scene)| (format!("{} {stem}", job.name), scene)));
        for eye in Eye::BOTH {
            let cards = [Lies::FrontUp, Lies::BackUp].into_iter().filter_map(|lies| {
                Some((format!("{} blocking {}", job.name, lies.word()), drawing::blocking(&plan, eye, lies)?))
            });
            all.extend(cards);
            // Sections all round, a sheet with one, and one with many.
            for at in [&[225][..], &[0, 45, 90, 135, 180, 315, 359]] {
                let scenes = drawing::sections(&plan, eye, &job.order(), &job.rules(), at).into_iter();
                all.extend(scenes.map(|scene| (format!("{} {} at {at:?}", job.name, scene.name), scene)));
            }
        }
        all.push((format!("{} outline", job.name), drawing::outline(&job.frame())));
        let read = drawing::measured(&job.measured(plans::READINGS));
        all.extend(read.map(|scene| (format!("{} measured", job.name), scene)));
        for many in [1, 2, 12] {
            // A dozen of every job would only take longer.
            if many < 12 || matches!(job.name, "plain" | "wide") {
                let scenes = plans::beside(&job, many).into_iter();
                all.extend(scenes.map(|scene| (format!("{} {many} {}", job.name, scene.name), scene)));
            }
        }
        all.extend(
            Eye::BOTH.into_iter().filter_map(|eye| {
                long_names(&plan, eye).map(|scene| (format!("{} long names {eye}", job.name), scene))
            }),
        );
    }
    assert!(all.len() > 80, "{} scenes", all.len());
    all
}

/// A plan's edge twice beneath itself, none of them ordered, with names that are too long for their column.
fn long_names(plan: &Plan, eye: Eye) -> Option<Scene> {
    let lens = plan.eyes[eye].as_ref()?.lens.as_ref()?;
    let row = EdgeRow {
        title: "a frame with a name that is too long for its column".to_owned(),
        details: vec!["a word about it that is too long for its column as well, and then some".to_owned()],
        lens,
        otherwise: None,
        chosen: false,
    };
    drawing::strips("0142", eye, &[row.clone(), row])
}

fn options() -> usvg::Options<'static> {
    let mut options = usvg::Options::default();
    for face in FACES {
        options.fontdb_mut().load_font_data(face.to_vec());
    }
    options
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

#[test]
fn no_text_covers_another_and_none_leaves_the_sheet() {
    let mut faults = Vec::new();
    for (name, scene) in scenes() {
        let texts: Vec<(&Text, Frame)> = scene.texts().map(|t| (t, t.frame())).collect();
        for (i, (text, frame)) in texts.iter().enumerate() {
            let on = frame.left >= 0.0
                && frame.top >= 0.0
                && frame.right <= scene.width.mm()
                && frame.bottom <= scene.height.mm();
            if !on {
                faults.push(format!("{name}: `{}` leaves the sheet: {frame:?}", text.words()));
            }
            for (other, covered) in &texts[..i] {
                if frame.overlaps(covered) {
                    faults.push(format!("{name}: `{}` covers `{}`", text.words(), other.words()));
                }
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// The same by a layout that is not ours: resvg sets the texts in the real typeface and measures their glyphs.
#[test]
fn no_text_covers_another_as_a_renderer_sets_them() {
    fn collect(group: &usvg::Group, found: &mut Vec<(String, Frame)>) {
        for node in group.children() {
            match node {
                usvg::Node::Group(group) => collect(group, found),
                usvg::Node::Text(text) => {
                    let b = text.flattened().abs_bounding_box();
                    let words = text.chunks().iter().map(usvg::TextChunk::text).collect();
                    let frame = Frame {
                        left: f64::from(b.left()),
                        top: f64::from(b.top()),
                        right: f64::from(b.right()),
                        bottom: f64::from(b.bottom()),
                    };
                    found.push((words, frame));
                }
                _ => {}
            }
        }
    }
    let options = options();
    let mut faults = Vec::new();
    let mut seen = 0;
    for (name, scene) in scenes() {
        let tree = usvg::Tree::from_str(&drawing::svg(scene), &options).unwrap_or_else(|e| panic!("{name}: {e}"));
        let scale = f64::from(tree.size().width()) / scene.width.mm();
        // 96 pixels an inch: CSS Values and Units 3, section 6.2.
        assert!((scale - 96.0 / 25.4).abs() < 1e-4, "{name}: {scale} pixels a millimetre");
        let mut texts = Vec::new();
        collect(tree.root(), &mut texts);
        assert_eq!(texts.len(), scene.texts().count(), "{name}: every text is found");
        seen += texts.len();
        for (i, (words, frame)) in texts.iter().enumerate() {
            for (other, covered) in &texts[..i] {
                if frame.overlaps(covered) {
                    faults.push(format!("{name}: `{words}` covers `{other}`"));
                }
            }
        }
        // Widths by the renderer against our table.
        for (text, (_, frame)) in scene.texts().zip(&texts).filter(|(t, _)| !t.upwards) {
            let (ours, theirs) = (text.length(), (frame.right - frame.left) / scale);
            assert!((ours - theirs).abs() < 0.2 * text.size, "{name}: `{}` {ours} {theirs}", text.words());
        }
    }
    assert!(seen > 2000, "{seen} texts");
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn nothing_is_drawn_beyond_the_sheet() {
    for (name, scene) in scenes() {
        for path in paths(scene) {
            for run in &path.runs {
                let f = extent(&run.spots);
                assert!(
                    f.left >= 0.0 && f.top >= 0.0 && f.right <= scene.width.mm() && f.bottom <= scene.height.mm(),
                    "{name}: {f:?} on {:?} x {:?}",
                    scene.width,
                    scene.height
                );
            }
        }
    }
}

#[test]
fn every_sheet_carries_a_bar_of_exactly_50_mm() {
    for (name, scene) in scenes() {
        let bars: Vec<Frame> = paths(scene)
            .filter(|p| {
                p.fill == Some(Ink::Ink) && p.stroke.is_none() && p.runs.len() == 1 && p.runs[0].spots.len() == 4
            })
            .map(|p| extent(&p.runs[0].spots))
            .filter(|f| f.right - f.left > 20.0)
            .collect();
        assert_eq!(bars.len(), 1, "{name}");
        assert!((bars[0].right - bars[0].left - 50.0).abs() < 1e-9, "{name}: {bars:?}");
        assert!(scene.texts().any(|t| t.words() == "50 mm"), "{name}");
    }
}

#[test]
fn no_text_is_smaller_than_16_pixels_on_a_page_of_1216_nor_than_1_8_mm_on_paper() {
    for (name, scene) in scenes() {
        for text in scene.texts() {
            let pixels = text.size * 1216.0 / scene.width.mm();
            assert!(pixels >= 16.0, "{name}: `{}` {pixels:.1} px", text.words());
            // Cap height of the typeface: 0.698 of its size.
            assert!(text.size * 0.698 >= 1.8, "{name}: `{}`", text.words());
        }
    }
}

#[test]
fn the_edge_is_as_long_as_its_outline_and_as_thick_as_its_plan() {
    for job in plans::jobs() {
        let plan = job.plan();
        let Some(scene) = drawing::edge(&plan) else { continue };
        let eyes: Vec<_> = plan.planned().filter(|e| e.lens.is_some()).collect();
        let tints: Vec<&Path> = paths(&scene).filter(|p| p.fill == Some(Ink::Water)).collect();
        assert_eq!(tints.len(), eyes.len(), "{}", job.name);
        for (strip, eye) in tints.iter().zip(&eyes) {
            let lens = eye.lens.as_ref().expect("filtered");
            let spots = &strip.runs[0].spots;
            let f = extent(spots);
            let round = lens.cut.outline().circumference().mm();
            assert!((f.right - f.left - round).abs() < 1e-6, "{} {}", job.name, eye.eye);
            // The first half of the area is the front edge from the left, the second the back edge from the right; every
            // row of the plan must be found between them, where its arc length says.
            let (front, back) = spots.split_at(spots.len() / 2);
            let lengths = lens.cut.outline().lengths();
            for row in &lens.edge.around {
                let up_to = |deg: f64| lengths.up_to(deg.to_radians()).mm();
                let along = match eye.eye {
                    job::Eye::Right => up_to(row.deg),
                    job::Eye::Left => (up_to(180.0) - up_to(row.deg)).rem_euclid(round),
                };
                let at = |edge: &[Spot]| {
                    let near = edge
                        .iter()
                        .min_by(|a, b| (a.x - f.left - along).abs().total_cmp(&(b.x - f.left - along).abs()));
                    near.copied().expect("an edge")
                };
                let (a, b) = (at(front), at(back));
                assert!((b.y - a.y - row.square.mm()).abs() < 1e-6, "{} {} at {}", job.name, eye.eye, row.deg);
            }
        }
    }
}

/// Every mark of the apex (of a groove's middle) stands where the plan's line runs at its own length along the edge: between
/// the surfaces, each as far off as the row of that place says.
#[test]
fn the_line_on_the_edge_runs_where_the_plan_has_it() {
    let mut marks_seen = 0;
    for job in plans::jobs() {
        let plan = job.plan();
        let Some(scene) = drawing::edge(&plan) else { continue };
        let eyes: Vec<_> = plan.planned().filter(|e| e.lens.is_some()).collect();
        let tints: Vec<&Path> = paths(&scene).filter(|p| p.fill == Some(Ink::Water)).collect();
        for (strip, eye) in tints.iter().zip(&eyes) {
            let lens = eye.lens.as_ref().expect("filtered");
            let Some(line) = &lens.edge_line else { continue };
            let f = extent(&strip.runs[0].spots);
            let outline = lens.cut.outline();
            let (lengths, round) = (outline.lengths(), outline.circumference().mm());
            let half = lengths.up_to(std::f64::consts::PI).mm();
            let highest = lens.edge.around.iter().map(|r| r.front_depth.mm()).fold(f64::INFINITY, f64::min);
            for mark in paths(&scene).filter(|p| p.fill == Some(Ink::Mark)) {
                let m = extent(&mark.runs[0].spots);
                let y = if line.edge == job::EdgeKind::Groove { 0.5 * (m.top + m.bottom) } else { m.top + 0.5 };
                if m.top < f.top - 1.0 || m.bottom > f.bottom + 1.0 {
                    continue;
                }
                let along = 0.5 * (m.left + m.right) - f.left;
                let up_to = if eye.eye == job::Eye::Right { along } else { (half - along).rem_euclid(round) };
                let deg = lengths.at(units::Mm::new(up_to)).to_degrees().round() as u32 % 360;
                let row = line.row(deg).expect("every degree");
                // Rows of the plan stand every 5 degrees: the highest of them is the strip's top to some hundredths.
                assert!((y - f.top + highest - row.depth.mm()).abs() < 0.03, "{} {} {deg}", job.name, eye.eye);
                marks_seen += 1;
            }
        }
    }
    assert!(marks_seen > 200, "{marks_seen}");
}

/// Every edge that is laid beside others is as long as its outline and twice as thick as its plan, whatever it lies beside.
#[test]
fn edges_side_by_side_are_on_one_scale() {
    let mut seen = 0;
    for job in plans::jobs() {
        let plans: Vec<Plan> = plans::MATERIALS[..4].iter().map(|material| job.plan_in(material)).collect();
        for scene in plans::beside(&job, 4) {
            let eye = if scene.name == "strips-right" { Eye::Right } else { Eye::Left };
            let lenses: Vec<&LensPlan> = plans.iter().filter_map(|p| p.eyes[eye].as_ref()?.lens.as_ref()).collect();
            let tints: Vec<&Path> = paths(&scene).filter(|p| p.fill == Some(Ink::Water)).collect();
            assert_eq!(tints.len(), lenses.len(), "{} {eye}", job.name);
            for (tint, lens) in tints.iter().zip(lenses) {
                let f = extent(&tint.runs[0].spots);
                let round = lens.cut.outline().circumference().mm();
                assert!((f.right - f.left - round).abs() < 1e-6, "{} {eye}", job.name);
                // Its deepest corner is the thickest of the places drawn, a degree apart: no deeper than the plan's thickest.
                let deep = 0.5 * (f.bottom - f.top);
                let most = lens.edge.thickest.mm();
                assert!(deep <= most + 1e-9 && deep > most - 0.01, "{} {eye}: {deep} {most}", job.name);
                // Where the plan has a row the edge is that thick: the first two corners are the front.
                let lengths = lens.cut.outline().lengths();
                for row in &lens.edge.around {
                    let up_to = |deg: f64| lengths.up_to(deg.to_radians()).mm();
                    let along = match eye {
                        Eye::Right => up_to(row.deg),
                        Eye::Left => (up_to(180.0) - up_to(row.deg)).rem_euclid(round),
                    };
                    let off = |spot: &Spot| (spot.x - f.left - along).abs();
                    let back = tint.runs[0].spots[2..].iter().min_by(|a, b| off(a).total_cmp(&off(b)));
                    let mm = 0.5 * (back.expect("an edge").y - f.top);
                    assert!((mm - row.square.mm()).abs() < 1e-6, "{} {eye} at {}: {mm}", job.name, row.deg);
                }
                seen += 1;
            }
        }
    }
    assert!(seen > 60, "{seen}");
}

/// The one that is ordered is named so and has a bar; every other of the same outline has its edge over it, broken.
#[test]
fn the_ordered_edge_is_told_from_the_others_without_colour() {
    let job = &plans::jobs()[0];
    let ordered = job.plan();
    for many in [1, 2, 12] {
        for scene in plans::beside(job, many) {
            let eye = if scene.name == "strips-right" { Eye::Right } else { Eye::Left };
            assert_eq!(scene.texts().filter(|t| t.words().ends_with(", ordered")).count(), 1);
            let bars = paths(&scene).filter(|p| p.stroke.is_some_and(|s| s.width == 1.2)).count();
            assert_eq!(bars, 1, "{many}");
            let broken: Vec<&Path> = paths(&scene)
                .filter(|p| p.stroke.is_some_and(|s| s.dashes == [2.4, 0.8]) && p.runs[0].spots.len() > 300)
                .collect();
            assert_eq!(broken.len(), many - 1);
            let tints: Vec<Frame> =
                paths(&scene).filter(|p| p.fill == Some(Ink::Water)).map(|p| extent(&p.runs[0].spots)).collect();
            let most = ordered.eyes[eye].as_ref().and_then(|e| e.lens.as_ref()).expect("a blank").edge.thickest.mm();
            for (line, tint) in broken.iter().zip(&tints[1..]) {
                let deep = 0.5 * (extent(&line.runs[0].spots).bottom - tint.top);
                assert!(deep <= most + 1e-9 && deep > most - 0.01, "{deep} {most}");
            }
        }
    }
}

/// Each figure that moved stands there from the label's to the one as measured, and both edges at four times their
/// thickness; the readings themselves are the outside.
#[test]
fn what_was_measured_lies_over_the_label() {
    let job = &plans::jobs()[0];
    let both = job.measured(plans::READINGS);
    let scene = drawing::measured(&both).expect("both have their blanks");
    for words in ["centre thickness 1.50 \u{2192} 1.90 mm", "centre thickness 1.50 \u{2192} 1.70 mm"] {
        assert_eq!(scene.texts().filter(|t| t.words() == words).count(), 1, "{words}");
    }
    // The right blank was not measured across: its margin stays; the left one is 1.6 mm smaller than its packet says.
    let margins: Vec<String> = scene.texts().map(Text::words).filter(|w| w.starts_with("cut-out margin")).collect();
    let [right, left] = margins.as_slice() else { panic!("{margins:?}") };
    assert!(!right.contains('\u{2192}'), "{right}");
    let numbers: Vec<f64> = left.split(' ').filter_map(|w| w.parse().ok()).collect();
    assert!((numbers[0] - numbers[1] - 0.8).abs() < 0.011, "{left}");
    let tints: Vec<Frame> =
        paths(&scene).filter(|p| p.fill == Some(Ink::Water)).map(|p| extent(&p.runs[0].spots)).collect();
    let broken: Vec<Frame> = paths(&scene)
        .filter(|p| p.stroke.is_some_and(|s| s.dashes == [2.4, 0.8]) && p.runs[0].spots.len() > 300)
        .map(|p| extent(&p.runs[0].spots))
        .collect();
    for (i, eye) in Eye::BOTH.into_iter().enumerate() {
        let most = |plan: &Plan| plan.eyes[eye].as_ref().and_then(|e| e.lens.as_ref()).expect("a blank").edge.thickest;
        for (bottom, plan) in [(tints[i].bottom, &both.read), (broken[i].bottom, &both.label)] {
            let deep = 0.25 * (bottom - tints[i].top);
            let most = most(plan).mm();
            assert!(deep <= most + 1e-9 && deep > most - 0.01, "{eye}: {deep} {most}");
        }
    }
}

/// Both sections on one scale, each as wide as its superellipse at its level, and ending in the walls there.
/// Source: the superellipse's own equation, |x/25|^2.7 + |y/19|^2.7 = 1.
#[test]
fn sections_are_as_wide_as_their_outline_and_end_in_its_walls() {
    let plan = plans::jobs()[0].plan();
    let scene = drawing::balance(&plan).expect("both have their blanks");
    let tints: Vec<&Path> = paths(&scene).filter(|p| p.fill == Some(Ink::Water)).collect();
    assert_eq!(tints.len(), 2);
    let mut lefts = Vec::new();
    for (tint, eye) in tints.iter().zip(plan.planned()) {
        let lens = eye.lens.as_ref().expect("both have their blanks");
        let level = eye.vertex.expect("placed").up.mm();
        let half = 25.0 * libm::pow(1.0 - libm::pow(level.abs() / 19.0, 2.7), 1.0 / 2.7);
        let spots = &tint.runs[0].spots;
        let f = extent(spots);
        assert!((f.right - f.left - 1.5 * 2.0 * half).abs() < 1e-6, "{f:?} {half}");
        let (front, back) = spots.split_at(spots.len() / 2);
        let ends = [(-half, front[0], back[back.len() - 1]), (half, front[front.len() - 1], back[0])];
        for (x, a, b) in ends {
            let wall = lens.cutting.wall(outline::Point::new(x, level)).expect("a wall").thickness().mm();
            assert!((b.y - a.y - 1.5 * wall).abs() < 1e-6, "{} at {x}: {wall}", eye.eye);
            let words = format!("{wall:.2}");
            assert!(scene.texts().any(|t| t.words() == words), "{words}");
        }
        lefts.push(f.left);
    }
    assert!(lefts[0] < lefts[1], "the right eye stands on the left");
}

/// Of every line of the map the lens itself has the thickness that the line says, at its points and between them; its name
/// says the same; it closes or ends on the outline; and no line is left out.
#[test]
fn lines_of_the_map_have_their_thickness() {
    let (mut seen, mut named) = (0, 0);
    for job in plans::jobs() {
        let plan = job.plan();
        for eye in Eye::BOTH {
            let Some(scene) = drawing::thickness_map(&plan, eye) else { continue };
            let lens = plan.eyes[eye].as_ref().and_then(|e| e.lens.as_ref()).expect("a map has a lens");
            let rim = paths(&scene).find(|p| p.fill == Some(Ink::Water)).expect("a lens");
            let f = extent(&rim.runs[0].spots);
            let boxed = lens.cut.outline().boxed();
            // Twice as large as life, by its box; a course of straight pieces is a hair smaller.
            assert!((f.right - f.left - 2.0 * boxed.width.mm()).abs() < 1e-3, "{}", job.name);
            let middle = f.middle();
            let back = |s: Spot| outline::Point::new(0.5 * (s.x - middle.x), 0.5 * (middle.y - s.y));
            let thick = |s: Spot| lens.cutting.wall(back(s)).expect("a wall").thickness().mm();
            let equal: Vec<(f64, &[Spot])> = paths(&scene)
                .filter(|p| p.stroke.is_some_and(|s| s.ink == Ink::Ink2 && (s.width == 0.3 || s.width == 0.16)))
                .map(|p| (p.stroke.expect("filtered").width, p.runs[0].spots.as_slice()))
                .filter(|(_, spots)| spots.len() > 2)
                .collect();
            let mut levels = BTreeSet::new();
            for (width, spots) in &equal {
                let level = (2.0 * thick(spots[1])).round();
                assert_eq!(*width == 0.3, level % 2.0 == 0.0, "{} {eye}: {level}", job.name);
                levels.insert(level as i64);
                let between = |w: &[Spot]| Spot { x: 0.5 * (w[0].x + w[1].x), y: 0.5 * (w[0].y + w[1].y) };
                for at in spots.iter().copied().chain(spots.windows(2).map(between)) {
                    let off = thick(at) - 0.5 * level;
                    assert!(off.abs() < 0.002, "{} {eye} {level}: {off} at {at:?}", job.name);
                    seen += 1;
                }
                let (first, last) = (spots[0], spots[spots.len() - 1]);
                let on_rim = |s: Spot| {
                    let p = back(s);
                    let radius = lens.cut.outline().radius(p.direction().rad()).0;
                    (p.from_origin().length() - radius).abs() < 1e-3
                };
                assert!(first == last || (on_rim(first) && on_rim(last)), "{} {eye} {level}", job.name);
            }
            // Between the extremes of the plan, found another way; next to one a line shrinks to a point.
            let (least, most) = (lens.thickness.least.0.mm(), lens.thickness.greatest.0.mm());
            let wanted = |near: f64| ((2.0 * (least + near)).ceil() as i64)..=((2.0 * (most - near)).floor() as i64);
            assert!(wanted(0.02).all(|level| levels.contains(&level)), "{} {eye}: {levels:?}", job.name);
            assert!(levels.iter().all(|level| wanted(0.0).contains(level)), "{} {eye}: {levels:?}", job.name);
            for text in scene.texts().filter(|t| t.ink == Ink::Ink2 && t.frame().overlaps(&f)) {
                let Ok(mm) = text.words().parse::<f64>() else { continue };
                let at = text.frame().middle();
                let off = |s: &Spot| (s.x - at.x).abs() + (s.y - at.y).abs();
                let near = equal.iter().flat_map(|(_, spots)| spots.iter()).min_by(|a, b| off(a).total_cmp(&off(b)));
                assert!((thick(*near.expect("a line")) - mm).abs() < 0.002, "{} {eye}: {mm}", job.name);
                named += 1;
            }
        }
    }
    assert!(seen > 10_000 && named > 100, "{seen} {named}");
}

/// Thinnest and thickest of a map are flagged with the plan's figures, and where there is no line the map says so.
#[test]
fn a_map_without_lines_says_so() {
    let mut without = 0;
    for job in plans::jobs() {
        let plan = job.plan();
        for eye in Eye::BOTH {
            let Some(scene) = drawing::thickness_map(&plan, eye) else { continue };
            let lens = plan.eyes[eye].as_ref().and_then(|e| e.lens.as_ref()).expect("a map has a lens");
            let (least, most) = (lens.thickness.least.0.mm(), lens.thickness.greatest.0.mm());
            for words in [format!("thinnest {least:.2}"), format!("thickest {most:.2}")] {
                assert_eq!(scene.texts().filter(|t| t.words() == words).count(), 1, "{} {eye}: {words}", job.name);
            }
            let says = scene.texts().any(|t| t.words().starts_with("No lines: from"));
            let none = (2.0 * least).ceil() > (2.0 * most).floor();
            assert_eq!(says, none, "{} {eye}: {least} {most}", job.name);
            without += usize::from(none);
        }
    }
    assert!(without > 0);
}

/// An ellipse's circumference by the Gauss-Kummer series, which has nothing to do with our quadrature.
/// Source: NIST Digital Library of Mathematical Functions, 19.30.5 with 19.5.2 transformed; h = ((a - b) / (a + b))^2.
fn ellipse_round(a: f64, b: f64) -> f64 {
    let h = (a - b) * (a - b) / ((a + b) * (a + b));
    let mut term = 1.0;
    let mut sum = 1.0;
    for n in 1..30 {
        // Square of the binomial coefficient of one half over n.
        term *= (1.5 - f64::from(n)) / f64::from(n);
        let mut power = 1.0;
        for _ in 0..n {
            power *= h;
        }
        sum += term * term * power;
    }
    std::f64::consts::PI * (a + b) * sum
}

#[test]
fn a_strip_of_an_ellipse_is_as_long_as_the_ellipse() {
    let job = plans::jobs().into_iter().find(|j| j.name == "ellipse").expect("there");
    let scene = drawing::edge(&job.plan()).expect("a blank");
    let strips: Vec<Frame> =
        paths(&scene).filter(|p| p.fill == Some(Ink::Water)).map(|p| extent(&p.runs[0].spots)).collect();
    assert_eq!(strips.len(), 2);
    for strip in strips {
        assert!((strip.right - strip.left - ellipse_round(25.0, 19.0)).abs() < 1e-6, "{strip:?}");
    }
}

#[test]
fn nose_top_temple_and_bottom_of_both_eyes_stand_under_one_another() {
    let scene = drawing::edge(&plans::jobs()[0].plan()).expect("a blank");
    for word in ["nose", "top", "temple", "bottom"] {
        let at: Vec<f64> = scene.texts().filter(|t| t.words() == word).map(|t| t.at.x).collect();
        let half = at.len() / 2;
        assert!(half >= 1 && at.len() == 2 * half, "{word}: {at:?}");
        for i in 0..half {
            assert!((at[i] - at[half + i]).abs() < 1e-6, "{word}: {at:?}");
        }
    }
}

#[test]
fn a_lens_that_lies_on_its_face_is_drawn_mirrored_and_says_so() {
    let plan = plans::jobs()[0].plan();
    for eye in job::Eye::BOTH {
        let x = |lies: Lies, word: &str| {
            let scene = drawing::blocking(&plan, eye, lies).expect("a blank");
            let tint = scene.items.iter().find_map(|i| match i {
                Item::Circle(c) if c.fill == Some(Ink::Water) => Some(c.centre.x),
                _ => None,
            });
            let at = scene.texts().find(|t| t.words() == word).map(|t| t.frame().middle().x);
            (at.expect("written") - tint.expect("a blank"), scene)
        };
        let ((front, _), (back, scene)) = (x(Lies::FrontUp, "nose"), x(Lies::BackUp, "nose"));
        assert!(front * eye.nasal() > 3.0 && back * eye.nasal() < -3.0, "{eye}: {front} {back}");
        assert!(scene.texts().any(|t| t.words().contains("mirrored")));
        assert!(scene.description.contains("mirrored"));
    }
}

#[test]
fn files_are_well_formed_named_and_the_same_twice() {
    let options = options();
    for ((name, scene), (_, again)) in scenes().iter().zip(drawn()) {
        let svg = drawing::svg(scene);
        assert_eq!(svg, drawing::svg(&again), "{name}");
        let document = usvg::roxmltree::Document::parse(&svg).unwrap_or_else(|e| panic!("{name}: {e}"));
        let root = document.root_element();
        assert_eq!(
            root.attribute("width"),
            Some(format!("{}mm", root.attribute("viewBox").and_then(|v| v.split(' ').nth(2)).expect("a box")).as_str())
        );
        let child = |tag: &str| root.children().find(|n| n.has_tag_name(("http://www.w3.org/2000/svg", tag)));
        for tag in ["title", "desc"] {
            let text = child(tag).and_then(|n| n.text()).unwrap_or_default();
            assert!(text.len() > 10, "{name}: {tag} `{text}`");
        }
        let ids: Vec<&str> = document.descendants().filter_map(|n| n.attribute("id")).collect();
        assert_eq!(ids.len(), ids.iter().collect::<BTreeSet<_>>().len(), "{name}");
        for number in document.descendants().flat_map(|n| n.attributes()).filter(|a| a.name() == "d") {
            assert!(!number.value().contains("NaN") && !number.value().contains("inf"), "{name}");
        }
        usvg::Tree::from_str(&svg, &options).unwrap_or_else(|e| panic!("{name}: {e}"));
    }
}

/// Thin rules may be crossed where there is no other room; the outline of a lens may not.
#[test]
fn no_text_lies_on_an_outline() {
    let mut faults = Vec::new();
    for (name, scene) in scenes() {
        let outlines: Vec<&Path> =
            paths(scene).filter(|p| p.stroke.is_some_and(|s| s.width > 0.5 && s.ink == Ink::Ink)).collect();
        for text in scene.texts() {
            let frame = text.frame();
            let on = |run: &drawing::Run| {
                let back = run.closed.then(|| (run.spots.last(), run.spots.first()));
                run.spots.windows(2).any(|w| frame.meets(w[0], w[1]))
                    || matches!(back, Some((Some(a), Some(b))) if frame.meets(*a, *b))
            };
            if outlines.iter().any(|p| p.runs.iter().any(on)) {
                faults.push(format!("{name}: `{}`", text.words()));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn the_title_names_what_is_drawn() {
    // Sheets of one view are counted from the second on.
    let view = |name: &str| match name.rsplit_once('-') {
        Some((view, count)) if count.parse::<u32>().is_ok_and(|count| count > 1) => view.to_owned(),
        _ => name.to_owned(),
    };
    let names: BTreeSet<String> = scenes().iter().map(|(_, s)| view(&s.name)).collect();
    let wanted = [
        "above",
        "balance",
        "blank-left",
        "blank-right",
        "blocking-left",
        "blocking-right",
        "edge",
        "gap",
        "measured",
        "outline",
        "pair",
        "section-left",
        "section-right",
        "strips-left",
        "strips-right",
        "thickness-left",
        "thickness-right",
    ];
    assert_eq!(names.iter().map(String::as_str).collect::<Vec<_>>(), wanted);
}

/// The broken line from the blank's middle to the tightest place is as long as the plan says, in the lens's own plane.
#[test]
fn the_reach_is_drawn_as_long_as_it_is() {
    let mut seen = 0;
    for job in plans::jobs() {
        let plan = job.plan();
        for eye in job::Eye::BOTH {
            let Some(scene) = drawing::blank(&plan, eye) else { continue };
            let lens = plan.eyes[eye].as_ref().and_then(|e| e.lens.as_ref()).expect("a scene has a lens");
            let reaches: Vec<f64> = paths(&scene)
                .filter(|p| p.stroke.is_some_and(|s| s.dashes == [1.2, 0.9]))
                .map(|p| &p.runs[0].spots)
                .map(|s| ((s[1].x - s[0].x) * (s[1].x - s[0].x) + (s[1].y - s[0].y) * (s[1].y - s[0].y)).sqrt())
                .collect();
            assert_eq!(reaches.len(), 1, "{} {eye}", job.name);
            assert!((reaches[0] - lens.coverage.reach.mm()).abs() < 1e-6, "{} {eye}: {reaches:?}", job.name);
            seen += 1;
        }
    }
    assert!(seen > 20, "{seen}");
}

/// Pupils, drawn 4 mm wide, stand as far apart as the pupillary distances say, and as high above the lowest tangent.
#[test]
fn pupils_stand_where_they_were_measured() {
    let scene = drawing::pair(&plans::jobs()[0].plan()).expect("a plan");
    let pupils: Vec<Spot> = scene
        .items
        .iter()
        .filter_map(|i| match i {
            Item::Circle(c) if (c.radius - 2.0).abs() < 1e-9 => Some(c.centre),
            _ => None,
        })
        .collect();
    let [right, left] = pupils.as_slice() else { panic!("{pupils:?}") };
    // 31.5 + 32.0, both 21.0 high, as the order has them.
    assert!((left.x - right.x - 63.5).abs() < 1e-6 && (left.y - right.y).abs() < 1e-6, "{pupils:?}");
    let outline = paths(&scene).find(|p| p.fill == Some(Ink::Water)).expect("a lens");
    let lowest = extent(&outline.runs[0].spots).bottom;
    assert!((lowest - right.y - 21.0).abs() < 1e-3, "{lowest} {right:?}");
}
