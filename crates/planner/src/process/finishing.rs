//! Once the lenses are in: the frame true, the pair read, the pair clean.

use units::maths::abs;

use super::source::{ALIGNMENT, COMMON, SOAP};
use super::{Job, Line, Made, Step};

/// Truing, reading, cleaning.
pub(super) fn steps(job: &Job<'_>, steps: &mut Vec<Line>) {
    let minutes = &job.rules.process.minutes;
    steps.push(job.of_pair(
        Step::TrueUp,
        "bridge, end pieces, sides; four-point touch, both ways up",
        minutes.true_up,
        &[ALIGNMENT],
    ));
    let first = match &job.lenses[..] {
        [one, other] if strength(one) != strength(other) => {
            let first = if strength(one) > strength(other) { one } else { other };
            format!("{} first, the stronger: ", first.eye.letter())
        }
        _ => String::new(),
    };
    let says = format!("{first}power, axis, optical centres, prism; then looks");
    steps.push(job.of_pair(Step::Verify, says, minutes.verify, &[COMMON]));
    steps.push(job.of_pair(
        Step::Clean,
        "rinse, neutral soap, rinse, soft cloth; never wipe it dry",
        minutes.clean,
        &[SOAP],
    ));
}

/// The power of the stronger principal meridian, D.
fn strength(made: &Made<'_>) -> f64 {
    let power = made.plan.made_power().computed();
    f64::max(abs(power.sphere.dioptres()), abs(power.across().dioptres()))
}
