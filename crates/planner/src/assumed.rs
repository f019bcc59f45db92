//! What a shelf row leaves open, and what is taken instead: a named assumption, never a silent one.

use job::rules::Rules;
use job::{Blank, IndexLine, Material};
use optics::OrderedPower;
use units::{Dioptre, Working};

/// A figure of the blank: as labelled, or assumed with its spread.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Figure {
    pub value: f64,
    pub assumed: Option<lens::Assumption>,
}

/// The figures of a blank that the surfaces need.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Figures {
    pub index: f64,
    pub front_curve_1530_d: Figure,
    pub centre: Figure,
}

/// Index, front curve and centre thickness of a blank.
pub(crate) fn figures(blank: &Blank, material: &Material, rules: &Rules, power: OrderedPower) -> Figures {
    let index = index(blank, material);
    let front_curve_1530_d = match blank.front_curve {
        Some(curve) => {
            let marked = if (curve.index - optics::curves::TOOLING_INDEX).abs() < 5e-4 {
                Dioptre::new(curve.curve_d)
            } else {
                optics::curves::marked_curve_of_true(&mut Working::off(), Dioptre::new(curve.curve_d), curve.index)
            };
            Figure { value: marked.dioptres(), assumed: None }
        }
        None => {
            let assumption = lens::assumed_front_curve(power.computed(), rules.doubt.front_curve_d);
            Figure { value: assumption.value, assumed: Some(assumption) }
        }
    };
    let centre = match blank.centre {
        Some(centre) => Figure { value: centre.mm(), assumed: None },
        None => {
            let assumption = lens::assumed_centre(
                power.computed(),
                index,
                Dioptre::new(front_curve_1530_d.value),
                blank.nominal,
                material,
                &rules.doubt,
            );
            Figure { value: assumption.value, assumed: Some(assumption) }
        }
    };
    Figures { index, front_curve_1530_d, centre }
}

/// The row's own index, else the material's on the row's line.
pub(crate) fn index(blank: &Blank, material: &Material) -> f64 {
    blank.index.unwrap_or(match (blank.index_line, material.n_e) {
        (IndexLine::E, Some(n_e)) => n_e,
        (IndexLine::D | IndexLine::E, _) => material.n_d,
    })
}
