//! What the cases do not cover: what is not read, not ordered, not defined; directions; how sure; which edition.

use exchange::{built_in_rules, read_order, standards};
use inspection::{Against, Amount, Code, Item, Standard, Sure, Value, Verdict, Wanted, overall, powers, uncut};
use job::prescription::InUp;
use job::{Eye, LensType, Uncut};
use optics::OrderedPower;
use proptest::prelude::*;
use units::{Mm, Power};

use super::{power, prism, wanted};

fn standard(id: &str) -> &'static Standard {
    standards().edition(id).unwrap()
}

fn read(power: OrderedPower) -> Uncut {
    Uncut { power: Some(power), cylinder_read: true, ..Uncut::default() }
}

fn verdict(items: &[Item], code: Code) -> Option<Verdict> {
    items.iter().find(|item| item.code == code).map(|item| item.verdict)
}

fn item(items: &[Item], code: Code) -> &Item {
    items.iter().find(|item| item.code == code).unwrap_or_else(|| panic!("{code:?} of {items:?}"))
}

#[test]
fn an_item_says_what_was_compared() {
    let items = uncut(
        &wanted(power(-4250, Some((-1000, 340)))),
        &read(power(-4230, Some((-1200, 336)))),
        standard("ansi-z80.1-2015"),
    );
    let codes: Vec<&str> = items.iter().map(|item| item.code.word()).collect();
    assert_eq!(codes, ["sphere", "cylinder", "axis", "prp"], "nothing else was ordered");
    let cylinder = item(&items, Code::Cylinder);
    assert_eq!((cylinder.eye, cylinder.against), (Some(Eye::Right), Against::Ordered));
    assert_eq!(cylinder.wanted, Value::Power(Power::from_thousandths(-1000)));
    assert_eq!(cylinder.read, Some(Value::Power(Power::from_thousandths(-1200))));
    // Read less wanted; 0.20 over 0.13.
    assert_eq!((cylinder.error, cylinder.limit), (Some(Amount::thousandths(-200)), Some(Amount::thousandths(130))));
    assert!((cylinder.share().unwrap() - 0.20 / 0.13).abs() < 1e-12);
    assert_eq!(
        (cylinder.verdict, cylinder.unit, cylinder.edition.as_str()),
        (Verdict::Outside, "D", "ansi-z80.1-2015")
    );
    assert_eq!(cylinder.clause, "cylinder of single-vision and multifocal lenses, 0.00 to 2.00 D: 0.13 D");
    assert!(cylinder.source.starts_with("Quick Reference Guide") && cylinder.source.ends_with("and 5 more"));
    // 168 for 170 is 2 degrees clockwise.
    let axis = item(&items, Code::Axis);
    assert_eq!((axis.error, axis.verdict), (Some(Amount::thousandths(-2000)), Verdict::Within));
    assert_eq!(verdict(&items, Code::Prp), Some(Verdict::NotChecked));
    assert_eq!(overall(&items), Verdict::Outside);
}

#[test]
fn what_was_not_read_is_not_checked() {
    let want = wanted(power(-4250, Some((-1000, 340))));
    let nothing = uncut(&want, &Uncut::default(), standard("ansi-z80.1-2015"));
    assert!(
        nothing.iter().all(|item| item.verdict == Verdict::NotChecked && item.read.is_none() && item.error.is_none())
    );
    assert_eq!(overall(&nothing), Verdict::NotChecked);
    for edition in ["ansi-z80.1-2015", "ansi-z80.1-1999", "iso-8980-1"] {
        // A sphere alone: neither cylinder nor axis was read, nor the meridian across.
        let alone = Uncut { power: Some(power(-4250, None)), ..Uncut::default() };
        let items = uncut(&want, &alone, standard(edition));
        for code in [Code::Cylinder, Code::Axis] {
            assert_eq!(verdict(&items, code), Some(Verdict::NotChecked), "{edition}");
        }
        // Read as having no cylinder: outside, and there is no axis to read.
        let items = uncut(&want, &read(power(-4250, None)), standard(edition));
        assert_eq!(verdict(&items, Code::Cylinder), Some(Verdict::Outside), "{edition}");
        assert_eq!(verdict(&items, Code::Axis), Some(Verdict::NotChecked), "{edition}");
    }
    // A sphere alone is held against the order's own form, whichever that is.
    for (ordered, alone) in [(want.power, -4250), (want.power.transposed(), -5250)] {
        let alone = Uncut { power: Some(power(alone, None)), ..Uncut::default() };
        let items = uncut(&Wanted { power: ordered, ..want }, &alone, standard("ansi-z80.1-2015"));
        let sphere = item(&items, Code::Sphere);
        assert_eq!((sphere.error, &sphere.other), (Some(Amount::ZERO), &None), "{ordered:?}");
        assert!(sphere.clause.ends_with("a sphere alone was read, held against the sphere as ordered"));
    }
    let alone = Uncut { power: Some(power(-4250, None)), ..Uncut::default() };
    let items = uncut(&want, &alone, standard("iso-8980-1"));
    assert_eq!(verdict(&items, Code::MeridianHigh), Some(Verdict::NotChecked), "-5.25 lies across");
    assert_eq!(verdict(&items, Code::MeridianLow), Some(Verdict::Within));
}

#[test]
fn a_sphere_has_no_axis_to_judge_and_a_faint_cylinder_none_that_is_defined() {
    let items = uncut(&wanted(power(-2000, None)), &read(power(-2000, Some((-30, 14)))), standard("ansi-z80.1-2015"));
    assert_eq!((verdict(&items, Code::Axis), verdict(&items, Code::Cylinder)), (None, Some(Verdict::Within)));
    // 0.125 is the lowest cylinder with an axis in both; an eighth cut to 0.12 is 0.125 in an order.
    for (edition, cylinder, want) in [
        ("ansi-z80.1-2015", -119, Verdict::NotDefined),
        ("ansi-z80.1-2015", -120, Verdict::Within),
        ("ansi-z80.1-2010", -10, Verdict::Within),
        ("ansi-z80.1-1999", -10, Verdict::Within),
        ("iso-8980-1", -124, Verdict::NotDefined),
        ("iso-8980-1", -125, Verdict::Within),
    ] {
        let ordered = power(-2000, Some((cylinder, 80)));
        let items = uncut(&wanted(ordered), &read(power(-2000, Some((cylinder, 92)))), standard(edition));
        let axis = item(&items, Code::Axis);
        let six_degrees = Some(Amount::thousandths(6000));
        assert_eq!((axis.verdict, axis.error), (want, six_degrees), "{edition} {cylinder}");
        assert_eq!(axis.limit.is_none(), want == Verdict::NotDefined);
    }
    // Not defined cannot be missing.
    let unread = uncut(&wanted(power(-2000, Some((-100, 80)))), &Uncut::default(), standard("ansi-z80.1-2015"));
    assert_eq!(verdict(&unread, Code::Axis), Some(Verdict::NotDefined));
}

#[test]
fn what_the_order_states_of_the_lens_is_judged_both_ways() {
    let want = Wanted { centre: Some(Mm::new(1.5)), front_curve_1530_d: Some(6.0), ..wanted(power(0, None)) };
    for (centre, curve, want_centre, want_curve) in [
        (1.8, 6.75, Verdict::Within, Verdict::Within),
        (1.2, 5.25, Verdict::Within, Verdict::Within),
        (1.801, 6.751, Verdict::Outside, Verdict::Outside),
        (1.199, 5.249, Verdict::Outside, Verdict::Outside),
    ] {
        let read = Uncut { centre: Some(Mm::new(centre)), front_curve_1530_d: Some(curve), ..Uncut::default() };
        let items = uncut(&want, &read, standard("ansi-z80.1-2015"));
        assert_eq!(verdict(&items, Code::CentreThickness), Some(want_centre), "{centre}");
        assert_eq!(verdict(&items, Code::BaseCurve), Some(want_curve), "{curve}");
        // ISO: the reference knows a limit on the thickness and none on the curve.
        let items = uncut(&want, &read, standard("iso-8980-1"));
        assert_eq!(verdict(&items, Code::CentreThickness), Some(want_centre), "{centre}");
        assert_eq!(verdict(&items, Code::BaseCurve), Some(Verdict::NotDefined), "{curve}");
    }
}

/// By hand: at -2.00 -2.00 x 180 the horizontal meridian has 2 D, the vertical 4 D; 0.39 cm/m lie 1.95 mm off along the
/// one and 0.975 mm along the other. Ordered prism counts out, and base in of the left eye lies the other way.
#[test]
fn the_prism_at_the_dot_counts_in_any_direction() {
    let want = wanted(power(-2000, Some((-2000, 360))));
    for (ordered, read, verdict, unit, error) in [
        (prism(0.0, 0.0), prism(0.33, 0.0), Verdict::Within, "cm/m", 330),
        (prism(0.0, 0.0), prism(0.198, -0.264), Verdict::Within, "cm/m", 330),
        // 0.75 mm off as well, but the prism alone passes and is what is told.
        (prism(0.0, 0.0), prism(0.0, 0.3), Verdict::Within, "cm/m", 300),
        (prism(0.0, 0.0), prism(0.39, 0.0), Verdict::Outside, "cm/m", 390),
        (prism(0.0, 0.0), prism(0.0, 0.39), Verdict::Within, "mm", 975),
        (prism(2.0, 0.0), prism(2.0, 0.39), Verdict::Within, "mm", 975),
        (prism(2.0, 0.0), prism(-2.0, 0.0), Verdict::Outside, "cm/m", 4000),
    ] {
        for eye in Eye::BOTH {
            let want = Wanted { eye, prism: ordered, ..want };
            let read = Uncut { prism: Some(read), ..Uncut::default() };
            let items = uncut(&want, &read, standard("ansi-z80.1-2015"));
            let prp = item(&items, Code::Prp);
            let told = (prp.verdict, prp.error, prp.limit);
            match unit {
                "mm" => {
                    assert_eq!(told, (verdict, Some(Amount::thousandths(error)), Some(Amount::thousandths(1000))));
                }
                _ if prp.unit == "cm/m" => {
                    assert_eq!(told, (verdict, Some(Amount::thousandths(error)), Some(Amount::thousandths(330))));
                }
                _ => panic!("{prp:?}"),
            }
        }
    }
    // A plano lens shows one prism everywhere: there is no place, and the prism decides.
    let plano = wanted(power(0, None));
    for (base, want) in [(0.33, Verdict::Within), (0.34, Verdict::Outside)] {
        let items =
            uncut(&plano, &Uncut { prism: Some(prism(0.0, base)), ..Uncut::default() }, standard("ansi-z80.1-2015"));
        assert_eq!((verdict(&items, Code::Prp), item(&items, Code::Prp).unit), (Some(want), "cm/m"));
    }
}

/// The reference's formula by hand, Smax 7.00: ordered 3.00 in: horizontal 0.37 + 0.70, vertical 0.37 + 0.35.
#[test]
fn the_iso_prism_goes_by_power_and_ordered_prism() {
    let want = Wanted { prism: prism(3.0, 0.0), ..wanted(power(-7000, Some((2000, 90)))) };
    for (base_in, base_up, limit, verdict) in [
        (4.07, 0.0, 1070, Verdict::Within),
        (4.08, 0.0, 1070, Verdict::Outside),
        (3.0, -0.72, 720, Verdict::Within),
        (3.0, 0.73, 720, Verdict::Outside),
        (4.07, 0.73, 720, Verdict::Outside),
    ] {
        let items =
            uncut(&want, &Uncut { prism: Some(prism(base_in, base_up)), ..Uncut::default() }, standard("iso-8980-1"));
        let prp = item(&items, Code::Prp);
        assert_eq!((prp.limit, prp.verdict), (Some(Amount::thousandths(limit)), verdict), "{base_in} {base_up}");
        assert!(prp.sure.is_provisional(), "from memory");
    }
}

#[test]
fn a_verdict_says_how_sure_its_limit_is() {
    let sure = |edition: &str, ordered: OrderedPower, code: Code| {
        let items = uncut(&wanted(ordered), &read(ordered), standard(edition));
        item(&items, code).sure
    };
    let plain = power(-2000, Some((-500, 180)));
    for (edition, ordered, code, want) in [
        ("ansi-z80.1-2015", plain, Code::Sphere, Sure::Agreed),
        ("ansi-z80.1-2020", plain, Code::Sphere, Sure::Unverified),
        ("ansi-z80.1-2020", plain, Code::Axis, Sure::Unverified),
        // Which basis 2005 and 2010 take could not be seen.
        ("ansi-z80.1-2010", plain, Code::Sphere, Sure::Memory),
        ("ansi-z80.1-2010", plain, Code::Cylinder, Sure::Agreed),
        ("iso-8980-1", plain, Code::MeridianHigh, Sure::OneSource),
        ("iso-8980-1", plain, Code::Cylinder, Sure::OneSource),
        ("iso-8980-1", power(-2000, Some((-1000, 180))), Code::Cylinder, Sure::Memory),
        ("iso-8980-1", power(-4000, None), Code::MeridianHigh, Sure::Memory),
        ("iso-8980-1", plain, Code::Axis, Sure::Memory),
    ] {
        assert_eq!(sure(edition, ordered, code), want, "{edition} {code:?}");
    }
}

/// An edition for mounted lenses leaves uncut ones to its companion; the others judge both.
#[test]
fn an_uncut_lens_has_its_edition() {
    let rules = built_in_rules();
    for (named, kind, want) in [
        (rules.edition.as_str(), LensType::SingleVision, "iso-8980-1"),
        (rules.edition.as_str(), LensType::Multifocal, "iso-8980-1"),
        ("iso-21987-2009", LensType::ProgressivePower, "iso-8980-2"),
        ("ansi-z80.1-2015", LensType::SingleVision, "ansi-z80.1-2015"),
    ] {
        assert_eq!(standards().for_uncut(named, kind).map(|s| s.id.as_str()), Some(want), "{named} {kind:?}");
    }
    for edition in &standards().0 {
        for kind in [LensType::SingleVision, LensType::Multifocal, LensType::ProgressivePower] {
            let standard = standards().for_uncut(&edition.id, kind).unwrap_or_else(|| panic!("{}", edition.id));
            // Part 1 named for a progressive lens, or part 2 for another: nothing is defined, and nothing breaks.
            let named_wrongly = edition.id == "iso-8980-1" || edition.id == "iso-8980-2";
            assert!(standard.power(kind).is_some() || named_wrongly, "{}", edition.id);
        }
    }
    let none = uncut(
        &Wanted { kind: LensType::ProgressivePower, ..wanted(power(-1000, None)) },
        &read(power(-3000, None)),
        standard("iso-8980-1"),
    );
    assert_eq!(verdict(&none, Code::Sphere), Some(Verdict::NotDefined));
    assert!(standards().edition("iso-21987-2018").is_none());
}

#[test]
fn an_order_says_what_is_wanted() {
    let text = include_str!("../data/order.toml");
    let order = read_order(text.as_bytes(), &built_in_rules()).unwrap();
    let right = Wanted::of(&order, Eye::Right).unwrap();
    let want = Wanted { prism: prism(1.0, 0.0), ..wanted(power(-4250, Some((-1000, 340)))) };
    assert_eq!(right, want);
    let text = text
        .replace("[frame]\n", "compensated = { right = { sphere_d = \"-4.12\", cylinder_d = \"none\" } }\n[frame]\n")
        .replace("[lens]\n", "[lens]\ncentre_mm = { left = 1.8 }\nfront_curve_d = { left = 3.0 }\n");
    let order = read_order(text.as_bytes(), &built_in_rules()).unwrap();
    let right = Wanted::of(&order, Eye::Right).unwrap();
    // Eighths are restored in orders: 0.12 is 0.125.
    assert_eq!((right.against, right.power), (Against::Verification, power(-4125, None)));
    let left = Wanted::of(&order, Eye::Left).unwrap();
    assert_eq!((left.against, left.centre, left.front_curve_1530_d), (Against::Ordered, Some(Mm::new(1.8)), Some(3.0)));
}

fn any_power() -> impl Strategy<Value = OrderedPower> {
    (-8000i32..=8000, -5000i32..=5000, 1u16..=360).prop_map(|(s, c, a)| power(s, Some((c, a))))
}

proptest! {
    /// A lens as ordered is within everywhere, and a worse one is never judged better.
    #[test]
    fn a_lens_as_ordered_passes_and_a_worse_one_is_not_judged_better(ordered in any_power(), off in 0i32..400, n in 0usize..9) {
        let standard = &standards().0[n];
        let want = wanted(ordered);
        let shares = |off: i32| {
            let (cylinder, axis) = ordered.minus_form().cylinder().map_or((0, 90), |(c, a)| (c.thousandths(), a.half_degrees()));
            let worse = power(ordered.minus_form().sphere().thousandths() - off, Some((cylinder, axis)));
            powers(&want, &read(worse), standard).iter().map(|i| (i.code, i.verdict, i.share())).collect::<Vec<_>>()
        };
        for (code, verdict, share) in shares(0) {
            prop_assert!(matches!(verdict, Verdict::Within | Verdict::NotDefined), "{code:?} {verdict:?}");
            prop_assert!(share.is_none_or(|share| share == 0.0));
        }
        for ((code, _, before), (_, verdict, share)) in shares(off).into_iter().zip(shares(off + 1)) {
            prop_assert!(before <= share, "{code:?}");
            let over = share.is_some_and(|share| share > 1.0);
            prop_assert!(verdict != Verdict::Outside || over);
            prop_assert!(verdict != Verdict::Within || !over);
        }
    }

    /// Both eyes of a mirrored pair are judged alike.
    #[test]
    fn mirroring_the_face_mirrors_nothing_of_the_verdict(ordered in any_power(), got in any_power(), i in -2.0f64..2.0, u in -2.0f64..2.0, n in 0usize..9) {
        let mirrored = |p: OrderedPower| OrderedPower::new(p.sphere(), p.cylinder().map(|(c, a)| (c, a.mirrored())));
        let standard = &standards().0[n];
        let judge = |eye: Eye, ordered: OrderedPower, got: OrderedPower| {
            let read = Uncut { prism: Some(prism(i, u)), ..read(got) };
            let want = Wanted { eye, prism: InUp::default(), ..wanted(ordered) };
            let told = |item: &Item| (item.code, item.verdict, item.error.map(Amount::abs), item.limit);
            uncut(&want, &read, standard).iter().map(told).collect::<Vec<_>>()
        };
        let (right, left) = (judge(Eye::Right, ordered, got), judge(Eye::Left, mirrored(ordered), mirrored(got)));
        for (right, left) in right.iter().zip(&left) {
            prop_assert_eq!((right.0, right.1, right.3), (left.0, left.1, left.3));
            let apart = right.2.zip(left.2).map_or(0, |(a, b)| (a.in_millionths() - b.in_millionths()).abs());
            prop_assert!(apart <= 2, "{right:?} {left:?}");
        }
    }
}
