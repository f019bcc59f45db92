//! `[wearer]`: who will wear the pair, and what was measured on the face.

use job::{Eye, FarPd, MeasuredBy, Wearer};

use crate::limits::{self, Limits};
use crate::toml_walk::Table;

/// Year of birth.
const YEAR: Limits = Limits::from_to(1890.0, 2200.0, "");

pub(super) fn read(table: &Table<'_, '_>, made: &[Eye]) -> Wearer {
    let born = table.value("born").and_then(|v| v.whole(YEAR)).and_then(|year| i16::try_from(year).ok());
    let far_pd = far_pd(table);
    let near_pd = table.mm_per_eye("near_pd_mm", limits::PD);
    pd_of_each_eye(table, made);
    let heights = |key: &'static str| table.mm_per_eye(key, limits::HEIGHT);
    let pupil_height = heights("pupil_height_mm");
    let optical_centre_height = heights("optical_centre_height_mm");
    for eye in Eye::BOTH {
        if pupil_height[eye].is_some() && optical_centre_height[eye].is_some() {
            table.fault(
                format!("the {eye} eye has both pupil_height_mm and optical_centre_height_mm"),
                "keep the one that was meant: the optical centre's height is used as it stands",
            );
        }
    }
    let wearer = Wearer {
        born,
        far_pd,
        near_pd,
        pupil_height,
        optical_centre_height,
        segment_height: heights("segment_height_mm"),
        fitting_height: heights("fitting_height_mm"),
        measured_by: table.word("measured_by", MeasuredBy::WORDS),
        worn_vertex: table.mm("worn_vertex_mm", limits::VERTEX),
    };
    table.end();
    wearer
}

/// The far pupillary distance in the one of its three forms that was written.
fn far_pd(table: &Table<'_, '_>) -> Option<FarPd> {
    let given: Vec<&str> = FAR_PD.into_iter().filter(|key| table.has(key)).collect();
    if given.len() > 1 {
        table.fault(
            format!("the far pupillary distance is given {} times: {}", given.len(), given.join(", ")),
            "keep one of them",
        );
    }
    let monocular = table.mm_per_eye("monocular_pd_mm", limits::PD);
    let binocular = table.mm("binocular_pd_mm", limits::PD);
    let at_boxed_centres = table.word("pd", &[("boxed-centres", ())]);
    if monocular.right.is_some() || monocular.left.is_some() {
        return Some(FarPd::Monocular(monocular));
    }
    binocular.map(FarPd::Binocular).or(at_boxed_centres.map(|()| FarPd::BoxedCentres))
}

const FAR_PD: [&str; 3] = ["monocular_pd_mm", "binocular_pd_mm", "pd"];

/// Each eye that is made needs a pupillary distance of its own or of the pair, far or near.
fn pd_of_each_eye(table: &Table<'_, '_>, made: &[Eye]) {
    const HINT: &str = "write monocular_pd_mm = { right = 31.5, left = 32.0 }, or binocular_pd_mm = 63.5";
    if !FAR_PD.into_iter().chain(["near_pd_mm"]).any(|key| table.has(key)) {
        table.missing("a pupillary distance is missing", HINT);
        return;
    }
    if table.has("binocular_pd_mm") || table.has("pd") {
        return;
    }
    let written =
        |key: &'static str, eye: Eye| table.peek(key).is_some_and(|value| !value.is_table() || value.has(eye.word()));
    for &eye in made {
        if !written("monocular_pd_mm", eye) && !written("near_pd_mm", eye) {
            table.missing(format!("the {eye} eye is made, but its pupillary distance is missing"), HINT);
        }
    }
}
