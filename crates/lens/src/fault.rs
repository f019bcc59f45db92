//! Why a lens cannot be figured.

use optics::Face;
use units::Mm;

/// What cannot be, with the place where it shows.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum NoLens {
    /// A lens has some thickness at its vertex.
    #[error("a centre thickness of {} mm cannot be", centre.mm())]
    Centre {
        /// What was given.
        centre: Mm,
    },
    /// Index of no lens material.
    #[error("a refractive index of {index} is no lens material's")]
    Index {
        /// What was given.
        index: f64,
    },
    /// No surface of finite power does it.
    #[error("no {} surface gives this power at {} mm of centre thickness", name(*face), centre.mm())]
    Power {
        /// The surface that was sought.
        face: Face,
        /// The centre thickness.
        centre: Mm,
    },
    /// No number.
    #[error("a conic constant of {constant} cannot be")]
    Conic {
        /// What was given.
        constant: f64,
    },
    /// The surface is too small for the shape.
    #[error("{}the {} surface ends before it reaches ({x:.2}, {y:.2}) mm from the boxed centre", why(*face, *cause), name(*face))]
    SurfaceEnds {
        /// Which surface.
        face: Face,
        /// What makes it end.
        cause: Ending,
        /// Place, mm to the viewer's right of the boxed centre.
        x: f64,
        /// Place, mm above the boxed centre.
        y: f64,
    },
    /// The block point would lie beyond the end of the front.
    #[error("the front surface ends before it reaches the block point {:.2} mm from its vertex", away.mm())]
    BlockPoint {
        /// How far the block point would lie from the vertex, square to the cutting axis.
        away: Mm,
    },
    /// A thickness cannot have been measured there.
    #[error("no thickness can be measured {:.2} mm from the vertex", radius.mm())]
    CheckPlace {
        /// The distance that was given.
        radius: Mm,
    },
    /// A search did not settle.
    #[error("the search for {what} stopped {residual:e} short")]
    NotSettled {
        /// What was sought.
        what: &'static str,
        /// How far it is from settled, in the unit of what was sought.
        residual: f64,
    },
}

/// What makes a surface end before the rim of a shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ending {
    /// It is too steep.
    Steep,
    /// The other surface is flatter than the power allows, so that this one curves the wrong way: a back that bulges
    /// towards the eye, a hollow front.
    WrongWay,
    /// Its conic constant: a circle of this curvature would reach.
    Conic,
}

impl NoLens {
    /// How to mend it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::Centre { .. } => "state a centre thickness above zero",
            Self::Index { .. } => "state an index above 1",
            Self::Power { .. } => "check the sign of the power and the given curve, or take a thinner lens",
            Self::Conic { .. } => "write the conic constant as a number, 0 for a circle",
            Self::SurfaceEnds { cause: Ending::Steep, .. } => {
                "take a flatter front curve, a smaller shape, or less decentration"
            }
            Self::SurfaceEnds { cause: Ending::WrongWay, face: Face::Back, .. } => {
                "take a steeper front curve, or check the sign of the power and of the curve"
            }
            Self::SurfaceEnds { cause: Ending::WrongWay, face: Face::Front, .. } => {
                "take a steeper back curve, or check the sign of the power and of the curve"
            }
            Self::SurfaceEnds { cause: Ending::Conic, .. } => {
                "check the conic constant: the greater it is, the sooner the surface ends; a circle would reach"
            }
            Self::BlockPoint { .. } => "take a flatter front curve or less decentration",
            Self::CheckPlace { .. } => "measure inside the blank, away from its middle, and write the distance",
            Self::NotSettled { .. } => "check the figures of the blank: curve, power and thickness do not go together",
        }
    }
}

const fn why(face: Face, cause: Ending) -> &'static str {
    match (cause, face) {
        (Ending::Steep, _) => "",
        (Ending::WrongWay, Face::Back) => "the front is flatter than the power allows: ",
        (Ending::WrongWay, Face::Front) => "the back is flatter than the power allows: ",
        (Ending::Conic, _) => "with its conic constant ",
    }
}

const fn name(face: Face) -> &'static str {
    match face {
        Face::Front => "front",
        Face::Back => "back",
    }
}
