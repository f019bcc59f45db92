//! The frames of the demo: invented, named after birds of the shore.

use super::rim::Form;

/// One frame, as the tracer finds it.
pub(crate) struct Frame {
    pub(crate) name: &'static str,
    pub(crate) form: Form,
    pub(crate) distance_between_lenses_mm: f64,
    /// On index 1.530; the rim lies on this sphere, near enough.
    pub(crate) frame_curve_d: f64,
    /// What `FTYP` says: 1 plastic, 2 metal, 3 no rim.
    pub(crate) rim: &'static str,
    pub(crate) taken: Taken,
    /// Radial noise of the tracer, rms.
    pub(crate) noise_mm: f64,
    /// Pole of the trace, seen from the boxed centre.
    pub(crate) pole_mm: (f64, f64),
    pub(crate) heights: Heights,
}

/// How the outline was taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Taken {
    /// Both rims, radii at even angles.
    Both,
    /// Both rims, radii at even steps along the rim, so uneven angles.
    BothUneven,
    /// The right rim alone.
    RightOnly,
    /// Both demonstration lenses, at their edge.
    DemoLenses,
}

/// How the tracer writes heights.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Heights {
    /// Not at all: it states the frame curve.
    None,
    /// Growing towards the face.
    TowardsFace,
    /// Growing towards the viewer.
    TowardsViewer,
}

const fn soft(width_mm: f64, height_mm: f64, square: f64, taper: f64, lift: f64) -> Form {
    Form::Soft { width_mm, height_mm, square, taper, lift }
}

pub(crate) const ALL: &[Frame] = &[
    Frame {
        name: "kestrel-50",
        form: soft(50.0, 36.5, 0.86, 0.05, 0.06),
        distance_between_lenses_mm: 18.0,
        frame_curve_d: 5.0,
        rim: "1",
        taken: Taken::Both,
        noise_mm: 0.014,
        pole_mm: (0.12, -0.08),
        heights: Heights::TowardsFace,
    },
    Frame {
        name: "dunlin-46",
        form: soft(46.0, 40.5, 0.55, 0.04, 0.0),
        distance_between_lenses_mm: 21.0,
        frame_curve_d: 4.0,
        rim: "2",
        taken: Taken::Both,
        noise_mm: 0.011,
        pole_mm: (-0.06, 0.15),
        heights: Heights::TowardsFace,
    },
    Frame {
        name: "teal-54",
        form: Form::Rounded { width_mm: 54.0, height_mm: 34.0, corner_mm: 10.0 },
        distance_between_lenses_mm: 18.0,
        frame_curve_d: 4.5,
        rim: "2",
        taken: Taken::Both,
        noise_mm: 0.010,
        pole_mm: (0.05, 0.04),
        heights: Heights::None,
    },
    Frame {
        name: "plover-43",
        form: soft(43.0, 46.0, 0.50, 0.03, 0.0),
        distance_between_lenses_mm: 20.0,
        frame_curve_d: 3.5,
        rim: "2",
        taken: Taken::BothUneven,
        noise_mm: 0.013,
        pole_mm: (0.21, 0.30),
        heights: Heights::None,
    },
    Frame {
        name: "wren-42",
        form: soft(42.0, 32.5, 0.80, 0.05, 0.03),
        distance_between_lenses_mm: 15.0,
        frame_curve_d: 4.5,
        rim: "1",
        taken: Taken::RightOnly,
        noise_mm: 0.016,
        pole_mm: (-0.18, 0.10),
        heights: Heights::TowardsFace,
    },
    Frame {
        name: "sanderling-52",
        form: soft(52.0, 33.0, 0.90, 0.04, 0.04),
        distance_between_lenses_mm: 17.0,
        frame_curve_d: 5.0,
        rim: "3",
        taken: Taken::DemoLenses,
        noise_mm: 0.012,
        pole_mm: (0.09, 0.02),
        heights: Heights::None,
    },
    Frame {
        name: "curlew-48",
        form: soft(48.0, 23.0, 0.88, 0.05, -0.02),
        distance_between_lenses_mm: 19.0,
        frame_curve_d: 3.5,
        rim: "2",
        taken: Taken::Both,
        noise_mm: 0.012,
        pole_mm: (0.10, -0.12),
        heights: Heights::TowardsViewer,
    },
    Frame {
        name: "fulmar-58",
        form: soft(58.0, 42.0, 0.84, 0.06, 0.05),
        distance_between_lenses_mm: 16.0,
        frame_curve_d: 6.5,
        rim: "1",
        taken: Taken::Both,
        noise_mm: 0.015,
        pole_mm: (0.25, 0.12),
        heights: Heights::TowardsFace,
    },
    Frame {
        name: "godwit-51",
        form: soft(51.0, 33.5, 0.80, 0.05, 0.05),
        distance_between_lenses_mm: 18.0,
        frame_curve_d: 4.5,
        rim: "3",
        taken: Taken::DemoLenses,
        noise_mm: 0.012,
        pole_mm: (-0.04, 0.06),
        heights: Heights::None,
    },
    Frame {
        name: "osprey-57",
        form: soft(57.0, 37.0, 0.82, 0.08, 0.06),
        distance_between_lenses_mm: 17.0,
        frame_curve_d: 8.0,
        rim: "1",
        taken: Taken::Both,
        noise_mm: 0.014,
        pole_mm: (0.10, 0.05),
        heights: Heights::TowardsFace,
    },
];
