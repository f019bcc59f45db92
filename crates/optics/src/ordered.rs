//! An ordered power, exact, in the form it was written in.

use units::{Axis, Power};

use crate::SpheroCylinder;

/// A sphere, or a sphere with a cylinder, in whole thousandths of a dioptre and half degrees.
///
/// It keeps the form in which it was written; two forms of one power are [`OrderedPower::same_power_as`] one another,
/// though not `==`. A cylinder of zero is no cylinder, and its axis says nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct OrderedPower {
    sphere: Power,
    cylinder: Option<(Power, Axis)>,
}

impl OrderedPower {
    /// A sphere with a cylinder, or with none. A cylinder of zero is dropped together with its axis.
    #[must_use]
    pub fn new(sphere: Power, cylinder: Option<(Power, Axis)>) -> Self {
        Self { sphere, cylinder: cylinder.filter(|(power, _)| *power != Power::ZERO) }
    }

    /// The sphere as written.
    #[must_use]
    pub const fn sphere(self) -> Power {
        self.sphere
    }

    /// The cylinder as written, never zero, with its axis.
    #[must_use]
    pub const fn cylinder(self) -> Option<(Power, Axis)> {
        self.cylinder
    }

    /// The other form of the same power: sphere plus cylinder, cylinder with the other sign, axis turned by 90 degrees.
    ///
    /// Source: NFOS course OPT 11 module 8c, <http://www.nfos.org/degree/opt11/module_08c.html>.
    #[must_use]
    pub fn transposed(self) -> Self {
        match self.cylinder {
            None => self,
            Some((cylinder, axis)) => {
                Self { sphere: self.sphere + cylinder, cylinder: Some((-cylinder, axis.crossed())) }
            }
        }
    }

    /// The form whose cylinder is negative.
    #[must_use]
    pub fn minus_form(self) -> Self {
        match self.cylinder {
            Some((cylinder, _)) if cylinder > Power::ZERO => self.transposed(),
            _ => self,
        }
    }

    /// The form whose cylinder is positive.
    #[must_use]
    pub fn plus_form(self) -> Self {
        match self.cylinder {
            Some((cylinder, _)) if cylinder < Power::ZERO => self.transposed(),
            _ => self,
        }
    }

    /// Whether both are the same power, whichever form each is written in; to the thousandth and the half degree.
    #[must_use]
    pub fn same_power_as(self, other: Self) -> bool {
        self.minus_form() == other.minus_form()
    }

    /// The powers of the two principal meridians: first along the axis, then across it; both the sphere where there is
    /// no cylinder.
    #[must_use]
    pub fn principal_powers(self) -> [Power; 2] {
        [self.sphere, self.cylinder.map_or(self.sphere, |(cylinder, _)| self.sphere + cylinder)]
    }

    /// As computed quantities, in the written form; the axis of a sphere is 180 degrees.
    #[must_use]
    pub fn computed(self) -> SpheroCylinder {
        match self.cylinder {
            None => SpheroCylinder::spherical(self.sphere.dioptre()),
            Some((cylinder, axis)) => SpheroCylinder::new(self.sphere.dioptre(), cylinder.dioptre(), axis.angle()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn power(thousandths: i32) -> Power {
        Power::from_thousandths(thousandths)
    }

    fn axis(half_degrees: u16) -> Axis {
        Axis::from_half_degrees(half_degrees).unwrap()
    }

    #[test]
    fn transposes_as_the_course_does() {
        // NFOS course OPT 11 module 8c: +1.50 -0.50 x 125 is +1.00 +0.50 x 35.
        let minus = OrderedPower::new(power(1500), Some((power(-500), axis(250))));
        let plus = OrderedPower::new(power(1000), Some((power(500), axis(70))));
        assert_eq!(minus.plus_form(), plus);
        assert_eq!(plus.minus_form(), minus);
        assert!(plus.same_power_as(minus));
        assert_ne!(plus, minus);
    }

    #[test]
    fn a_cylinder_of_zero_is_none() {
        let sphere = OrderedPower::new(power(-2000), None);
        let zero = OrderedPower::new(power(-2000), Some((power(0), axis(90))));
        assert!(sphere.same_power_as(zero));
        assert_eq!(zero.cylinder(), None);
        assert_eq!(sphere.minus_form(), sphere.plus_form());
    }

    #[test]
    fn an_eighth_or_half_a_degree_is_another_power() {
        let one = OrderedPower::new(power(1500), Some((power(-500), axis(250))));
        assert!(!one.same_power_as(OrderedPower::new(power(1500), Some((power(-500), axis(251))))));
        assert!(!one.same_power_as(OrderedPower::new(power(1501), Some((power(-500), axis(250))))));
        assert!(!one.same_power_as(OrderedPower::new(power(1500), None)));
    }

    fn any_power() -> impl Strategy<Value = OrderedPower> {
        (-20_000i32..=20_000, -10_000i32..=10_000, 1u16..=360)
            .prop_map(|(s, c, a)| OrderedPower::new(power(s), Some((power(c), axis(a)))))
    }

    proptest! {
        #[test]
        fn transposing_twice_is_the_identity(p in any_power()) {
            prop_assert_eq!(p.transposed().transposed(), p);
        }

        #[test]
        fn both_forms_are_one_power(p in any_power()) {
            prop_assert!(p.same_power_as(p.transposed()));
            prop_assert_eq!(p.minus_form(), p.transposed().minus_form());
            prop_assert!(p.minus_form().cylinder().is_none_or(|(c, _)| c < Power::ZERO));
            prop_assert!(p.plus_form().cylinder().is_none_or(|(c, _)| c > Power::ZERO));
            let [along, across] = p.principal_powers();
            prop_assert_eq!(p.transposed().principal_powers(), [across, along]);
        }

        #[test]
        fn the_exact_form_and_the_computed_one_agree(p in any_power()) {
            let exact = p.transposed().computed();
            let computed = p.computed().transposed();
            prop_assert!((exact.sphere - computed.sphere).abs().dioptres() < 1e-12);
            prop_assert!((exact.cylinder - computed.cylinder).abs().dioptres() < 1e-12);
            if p.cylinder().is_some() {
                prop_assert!((exact.axis - computed.axis).rad().abs() < 1e-12);
            }
        }
    }
}
