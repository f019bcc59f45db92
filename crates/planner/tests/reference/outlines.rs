//! Cases about outlines: effective diameter, circumference, parallel curves.

use outline::{Outline, Point, Samples};
use units::Mm;

use crate::case::{Case, Found};

/// The outline that a case names by `shape` and its box.
pub(crate) fn shape(case: &Case) -> Outline {
    let (a, b) = (case.length("a_mm"), case.length("b_mm"));
    let made = match case.word("shape") {
        "ellipse" => Outline::ellipse(a / 2.0, b / 2.0),
        "superellipse" => Outline::superellipse(a / 2.0, b / 2.0, case.number("exponent")),
        "rectangle" => Outline::rounded_rectangle(a, b, Mm::ZERO),
        other => panic!("{}: `{other}` is no shape", case.id),
    };
    made.expect("a shape")
}

/// The shape of the trade facts: 54 x 34 with corners of 10.
pub(crate) fn rounded_54_34() -> Outline {
    Outline::rounded_rectangle(Mm::new(54.0), Mm::new(34.0), Mm::new(10.0)).expect("a shape")
}

pub(crate) fn effective_diameter(case: &Case) -> Found {
    Found::none().length("ed_mm", shape(case).boxed().effective_diameter)
}

/// Shapes between an ellipse and the sharp rectangle fill the range that the fact gives.
pub(crate) fn effective_diameter_bounds(case: &Case) -> Found {
    let (a, b) = (case.length("A"), case.length("B"));
    let ellipse = Outline::ellipse(a / 2.0, b / 2.0).expect("a shape").boxed().effective_diameter;
    let rectangle = Outline::rounded_rectangle(a, b, Mm::ZERO).expect("a shape").boxed().effective_diameter;
    for exponent in [2.2, 3.0, 4.0, 6.0] {
        let between = Outline::superellipse(a / 2.0, b / 2.0, exponent).expect("a shape").boxed().effective_diameter;
        assert!(ellipse < between && between < rectangle, "exponent {exponent}: {between:?}");
    }
    Found::none().length("min", ellipse).length("max", rectangle)
}

pub(crate) fn rounded_rectangle(case: &Case) -> Found {
    let shape = Outline::rounded_rectangle(case.length("A"), case.length("B"), case.length("corner"));
    let shape = shape.expect("a shape");
    Found::none().length("ED", shape.boxed().effective_diameter).length("circumference", shape.circumference())
}

/// How much longer a parallel curve is, the same for each of several shapes.
fn longer(by: Mm) -> Mm {
    let smooth = Outline::superellipse(Mm::new(26.0), Mm::new(20.0), 2.5).expect("a shape");
    let shapes = [rounded_54_34(), smooth, Outline::circle(Mm::new(25.0)).expect("a shape")];
    let [first, rest @ ..] = shapes.map(|s| s.offset(by).expect("outwards").circumference() - s.circumference());
    for other in rest {
        assert!((first - other).abs().mm() < 1e-6, "{first:?} {other:?}");
    }
    first
}

pub(crate) fn size_per_radius(case: &Case) -> Found {
    Found::none().length("expect", longer(case.length("radius_change")))
}

pub(crate) fn size_per_diameter(case: &Case) -> Found {
    Found::none().length("expect", longer(case.length("diameter_change") / 2.0))
}

pub(crate) fn size_per_mm(_: &Case) -> Found {
    Found::none().length("per_mm_diameter", longer(Mm::new(0.5))).length("per_mm_radius", longer(Mm::new(1.0)))
}

/// Circumference of a circle of radius 25, less the polygon through n of its points.
pub(crate) fn sampling_loss(case: &Case) -> Found {
    let circle = Outline::circle(Mm::new(25.0)).expect("a shape").circumference();
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a count of the file")]
    case.each_point(|row| {
        let samples = Samples::even(&vec![Mm::new(25.0); row[0] as usize]).expect("enough points");
        let smoothed = Outline::smoothed(&samples, None).expect("a shape");
        (circle - smoothed.raw_circumference).mm()
    })
}

/// Twice the longest distance from a point that lies off the boxed centre of the shape by the inputs `x` and `y`.
pub(crate) fn twice_farthest(shape: &Outline, x: Mm, y: Mm) -> Mm {
    shape.farthest(Point::new(x.mm(), y.mm())).distance * 2.0
}
