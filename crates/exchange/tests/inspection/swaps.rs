//! A right/left swap is named, and nothing else is.

use exchange::{built_in_rules, standards};
use inspection::{Swap, Wanted, swapped};
use job::prescription::InUp;
use job::{Eye, PerEye, Uncut};
use optics::OrderedPower;
use proptest::prelude::*;

use super::{power, prism, wanted};

fn orders(right: OrderedPower, left: OrderedPower) -> PerEye<Option<Wanted>> {
    PerEye { right: Some(wanted(right)), left: Some(Wanted { eye: Eye::Left, ..wanted(left) }) }
}

fn read(power: OrderedPower, prism: Option<InUp>) -> Option<Uncut> {
    Some(Uncut { power: Some(power), cylinder_read: true, prism, ..Uncut::default() })
}

fn found(orders: &PerEye<Option<Wanted>>, right: Option<Uncut>, left: Option<Uncut>, edition: &str) -> Option<Swap> {
    swapped(orders, &PerEye { right, left }, standards().edition(edition).unwrap(), &built_in_rules().readings)
}

const EDITIONS: [&str; 3] = ["ansi-z80.1-2015", "ansi-z80.1-1999", "iso-8980-1"];

#[test]
fn a_swap_is_named() {
    let (right, left) = (power(-4250, Some((-1000, 340))), power(-3750, Some((-500, 20))));
    for edition in EDITIONS {
        let orders = orders(right, left);
        assert_eq!(found(&orders, read(right, None), read(left, None), edition), None, "as ordered");
        let swap = found(&orders, read(left, None), read(right, None), edition).expect("a swap");
        assert_eq!((swap.eyes.as_slice(), swap.crossed), (&[Eye::Right, Eye::Left][..], 0.0), "{edition}");
        // By hand: sphere and cylinder 0.50 off at 0.03 each, both lenses; the axes add to it.
        assert!(swap.own > 4.0 * (0.5f64 / 0.03) * (0.5f64 / 0.03), "{swap:?}");
        // Read in plus form, a little off.
        let noisy = |p: OrderedPower, s: i32, c: i32| {
            let (cylinder, axis) = p.cylinder().unwrap();
            power(p.sphere().thousandths() + s, Some((cylinder.thousandths() + c, axis.half_degrees()))).transposed()
        };
        assert!(found(&orders, read(noisy(left, 30, -20), None), read(noisy(right, -20, 40), None), edition).is_some());
        // One lens in the hand: it fails its own order and fits the other's.
        let swap = found(&orders, read(left, None), None, edition).expect("a swap");
        assert_eq!(swap.eyes, [Eye::Right]);
        assert_eq!(found(&orders, None, read(left, None), edition), None);
        // Both lenses are the left one: the right one is wrong, but nothing was exchanged.
        assert_eq!(found(&orders, read(left, None), read(left, None), edition), None);
        // A wrong pair is not an exchanged one.
        let wrong = power(-2000, None);
        assert_eq!(found(&orders, read(wrong, None), read(wrong, None), edition), None);
        // Nearer to one another's orders, but a quarter dioptre off those too.
        let near = |p: OrderedPower| {
            power(p.sphere().thousandths() - 250, p.cylinder().map(|(c, a)| (c.thousandths(), a.half_degrees())))
        };
        assert_eq!(found(&orders, read(near(left), None), read(near(right), None), edition), None);
        // With no power read, or an order for one eye, there is nothing to say.
        assert_eq!(found(&orders, Some(Uncut::default()), Some(Uncut::default()), edition), None);
        let single = PerEye { left: None, ..orders };
        assert_eq!(found(&single, read(left, None), read(right, None), edition), None);
    }
}

/// An eighth apart, each lens passes in either eye; read crosswise they fit better by 2 (0.125/0.03)² for each eye.
#[test]
fn a_swap_within_tolerance_is_named_where_it_fits_clearly_better() {
    let (right, left) = (power(-2000, None), power(-2120, None));
    let orders = orders(right, left);
    let swap = found(&orders, read(left, None), read(right, None), "ansi-z80.1-2015").expect("a swap");
    assert!((swap.own - 2.0 * (0.12f64 / 0.03) * (0.12 / 0.03)).abs() < 1e-9, "{swap:?}");
    // Half way between is nobody's.
    let between = power(-2060, None);
    assert_eq!(found(&orders, read(between, None), read(between, None), "ansi-z80.1-2015"), None);
    // A lone lens that passes is left alone.
    assert_eq!(found(&orders, read(left, None), None, "ansi-z80.1-2015"), None);
}

/// Mirrored axes alone give a swap away; and so does prism, whose base in is the other eye's base out.
#[test]
fn axes_and_bases_tell_too() {
    let (right, left) = (power(-2000, Some((-1000, 20))), power(-2000, Some((-1000, 340))));
    let pair = orders(right, left);
    assert!(found(&pair, read(left, None), read(right, None), "ansi-z80.1-2015").is_some());
    let same = power(-2000, None);
    let mut pair = orders(same, same);
    assert_eq!(found(&pair, read(same, None), read(same, None), "ansi-z80.1-2015"), None, "alike, and indifferent");
    for eye in Eye::BOTH {
        let up = if eye == Eye::Right { 2.0 } else { -2.0 };
        pair[eye] = pair[eye].map(|w| Wanted { prism: prism(0.0, up), ..w });
    }
    let held = |up: f64| read(same, Some(prism(0.0, up)));
    assert_eq!(found(&pair, held(2.0), held(-2.0), "ansi-z80.1-2015"), None);
    assert!(found(&pair, held(-2.0), held(2.0), "ansi-z80.1-2015").is_some());
    // Base in at both, exchanged and read as the eyes they lie at: base out at both.
    for eye in Eye::BOTH {
        pair[eye] = pair[eye].map(|w| Wanted { prism: prism(2.0, 0.0), ..w });
    }
    let held = |inwards: f64| read(same, Some(prism(inwards, 0.0)));
    assert_eq!(found(&pair, held(2.0), held(2.0), "ansi-z80.1-2015"), None);
    assert!(found(&pair, held(-2.0), held(-2.0), "ansi-z80.1-2015").is_some());
}

fn any_power() -> impl Strategy<Value = OrderedPower> {
    (-24i32..=24, -12i32..=0, 1u16..=36).prop_map(|(s, c, a)| power(250 * s, Some((250 * c, 10 * a))))
}

proptest! {
    /// Lenses as ordered are never called exchanged; exchanged ones are, wherever the orders differ by a quarter dioptre.
    #[test]
    fn only_exchanged_lenses_are(right in any_power(), left in any_power(), n in 0usize..3) {
        let orders = orders(right, left);
        prop_assert_eq!(found(&orders, read(right, None), read(left, None), EDITIONS[n]), None);
        let swap = found(&orders, read(left, None), read(right, None), EDITIONS[n]);
        let cylinder = |p: OrderedPower| p.cylinder().map_or(0, |(c, _)| c.thousandths());
        if right.sphere() != left.sphere() || cylinder(right) != cylinder(left) {
            prop_assert!(swap.is_some());
        }
        if right == left {
            prop_assert_eq!(swap, None);
        }
    }
}
