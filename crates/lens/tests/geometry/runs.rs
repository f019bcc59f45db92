//! Lines that run as a rule of the trade has it, against the rule itself at every place.

use job::{Beside, EdgeRun};
use lens::{EdgeRules, NoSize, Size, Sized, sized};
use outline::{Depth, Outline, SpaceLine};
use units::Mm;

use crate::numbers::{Numbers, PLATE};

const LEAST: f64 = 0.3;
/// What rounding leaves.
const SAME: f64 = 1e-12;

fn outline() -> Outline {
    Outline::superellipse(Mm::new(26.0), Mm::new(18.0), 2.6).unwrap()
}

/// A minus lens, 1.2 mm at its centre.
fn minus() -> Numbers {
    Numbers { index: 1.53, given_d: 4.0, sphere_d: -5.0, centre_mm: 1.2, ..PLATE }
}

fn running(lens: Numbers, run: EdgeRun, rim_d: Option<f64>) -> Result<Sized, NoSize> {
    let outline = outline();
    let rim = rim_d.map(|d| {
        SpaceLine::of_rim(&outline, &outline.places(360), &Depth::sphere(Mm::new(530.0 / d)).unwrap()).unwrap()
    });
    let least = Mm::new(LEAST);
    let rules = EdgeRules { front_shoulder: least, back_shoulder: least, gap_given: Mm::new(0.03), run };
    sized(&outline, rim.as_ref(), &lens.held(), &rules, Size::Offset(Mm::ZERO))
}

/// Each rule by its own words, wherever the edge has room for it: both shoulders at least the least.
#[test]
fn each_rule_is_kept_where_the_edge_has_room() {
    /// Depth by front, back and thinnest edge.
    type Rule = fn(f64, f64, f64) -> f64;
    let rules: [(EdgeRun, Rule); 4] = [
        (EdgeRun::FromFront(Mm::new(1.1)), |front, _, _| front + 1.1),
        (EdgeRun::Share(0.4), |front, back, _| front + 0.4 * (back - front)),
        // An edge of less than 3 mm at its thinnest: through the middle of that place.
        (EdgeRun::FRONT, |front, _, thinnest| front + thinnest / 2.0),
        (EdgeRun::Along(Beside::Back), |_, back, thinnest| back - thinnest / 2.0),
    ];
    for (run, rule) in rules {
        let sized = running(minus(), run, None).unwrap();
        let (front, back) = (&sized.room.front, &sized.room.back);
        let thinnest = (0..360).map(|i| back[i] - front[i]).fold(f64::INFINITY, f64::min);
        assert!((2.0..3.0).contains(&thinnest), "{thinnest}");
        for i in 0..360 {
            let by_rule = rule(front[i], back[i], thinnest);
            assert!((sized.line.depths()[i] - by_rule).abs() < SAME, "{run}, {i}");
        }
        assert!(sized.run.unwrap().held.mm() < SAME);
    }
}

/// On thick edges a line along the front keeps 1.5 mm from it, and a third of the thinnest place where that is more.
#[test]
fn along_the_front_of_thick_edges() {
    for (centre, behind) in [(4.0, 1.5), (5.4, 1.8)] {
        let plate = Numbers { centre_mm: centre, ..PLATE };
        let sized = running(plate, EdgeRun::FRONT, None).unwrap();
        assert!(sized.line.depths().iter().all(|d| (d - behind).abs() < SAME), "{centre}");
    }
}

/// By hand: from the front by 1.5 mm on a plate of 1.6 mm would leave a back shoulder of 0.1; held at 0.3 it stands 0.2 off.
#[test]
fn a_line_without_room_is_held_and_says_so() {
    let plate = Numbers { centre_mm: 1.6, ..PLATE };
    let sized = running(plate, EdgeRun::FromFront(Mm::new(1.5)), None).unwrap();
    assert!(sized.line.depths().iter().all(|d| (d - 1.3).abs() < SAME));
    assert!((sized.run.unwrap().held.mm() - 0.2).abs() < SAME);
}

/// A curve is a sphere of 530/D about the boxed centre: the line's depths less its sagittas are one number, and it lies as
/// far forward as the least front shoulder lets it.
#[test]
fn a_given_curve_is_a_sphere() {
    let lens = minus();
    for curve_d in [4.0, 5.0] {
        let sized = running(lens, EdgeRun::Curve(curve_d), None).unwrap();
        let r = 530.0 / curve_d;
        let at: Vec<f64> = (0..360)
            .map(|i| {
                let (x, y) = (sized.places.x[i], sized.places.y[i]);
                sized.line.depths()[i] - (r - (r * r - x * x - y * y).sqrt())
            })
            .collect();
        let (least, most) = at.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), &d| (a.min(d), b.max(d)));
        assert!(most - least < 1e-11, "{curve_d}: {least} {most}");
        let shoulder = (0..360).map(|i| sized.line.depths()[i] - sized.room.front[i]).fold(f64::INFINITY, f64::min);
        assert!((shoulder - LEAST).abs() < 1e-11, "{shoulder}");
        // The curve that best follows the line is the one that was given.
        let found = sized.line.nearest_sphere().and_then(|s| s.curve_d()).unwrap();
        assert!((found - curve_d).abs() < 1e-6, "{found}");
    }
}

/// A curve that no edge of this lens can follow is held within it all round; one that ends within the shape is refused.
#[test]
fn a_curve_that_the_lens_cannot_follow() {
    let sized = running(minus(), EdgeRun::Curve(18.0), None).unwrap();
    assert!(sized.run.as_ref().unwrap().held.mm() > 0.5);
    for i in 0..360 {
        let depth = sized.line.depths()[i];
        assert!(depth - sized.room.front[i] > LEAST - SAME && sized.room.back[i] - depth > LEAST - SAME);
    }
    // 530/21 is 25.2 mm, and the shape is 26 mm wide to either side.
    assert!(matches!(running(minus(), EdgeRun::Curve(21.0), None), Err(NoSize::Curve { .. })));
}

/// A size that the shape cannot take: the outline has no parallel curve further inside than its narrowest bend.
#[test]
fn a_size_that_the_shape_cannot_take() {
    let rules =
        EdgeRules { front_shoulder: Mm::ZERO, back_shoulder: Mm::ZERO, gap_given: Mm::ZERO, run: EdgeRun::FRONT };
    let no = sized(&outline(), None, &minus().held(), &rules, Size::Offset(Mm::new(-19.0)));
    assert!(matches!(no, Err(NoSize::Outline { offset, .. }) if offset == Mm::new(-19.0)));
}

/// A rim on a line that runs by a rule is seated as near to it as it can be: in the mean there is no gap; the rim on a line
/// of its own curve has none anywhere.
#[test]
fn the_rim_is_seated_on_the_line_as_it_runs() {
    let sized = running(minus(), EdgeRun::FRONT, Some(2.0)).unwrap();
    let seated = sized.seated.unwrap();
    let mean: f64 = seated.gap.iter().zip(seated.apex.weights()).map(|(g, w)| g * w).sum();
    assert!(mean.abs() < 1e-6, "{mean}");
    assert!((seated.gap_rms - seated.gap_least_rms).abs().mm() < 1e-6);
    assert!(seated.gap_rms.mm() > 0.05, "a rim of 2 D on a front of 4: {:?}", seated.gap_rms);
    let same = running(minus(), EdgeRun::Curve(4.0), Some(4.0)).unwrap().seated.unwrap();
    assert!(same.gap_rms.mm() < 1e-6, "{:?}", same.gap_rms);
    // Best of all is the rim's own line.
    let best = running(minus(), EdgeRun::RIM, Some(2.0)).unwrap().seated.unwrap();
    assert!(best.gap_least_rms < seated.gap_rms);
}
