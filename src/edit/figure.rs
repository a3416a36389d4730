//! The single figures of a scene that can be set: where each is written, how finely, and what it is called.
//!
//! To add one, add a row to `figures!` and read it in [`Figure::of`]. Must never change anything.

use super::Subject;
use crate::boat::{Conditions, HullForm, Joint, Lamp, PartKind, Scene, Vessel};

/// Lengths are written to the millimetre, ...
const MILLIMETRES: usize = 3;
/// ... thin things to a tenth of it, ...
const TENTHS: usize = 4;
/// ... angles, sea miles and knots to the hundredth, ...
const HUNDREDTHS: usize = 2;
/// ... and shares to the thousandth.
const THOUSANDTHS: usize = 3;

macro_rules! figures {
    ($($(#[$doc:meta])* $name:ident: $path:expr, $places:ident, $words:literal;)*) => {
        /// A figure of a lamp, a part or the scene. Lengths are metres, angles degrees, speeds knots, distances nautical
        /// miles. What ranges they keep is the reader's to say.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
        pub enum Figure {
            $($(#[$doc])* $name,)*
        }

        impl Figure {
            pub const ALL: &[Self] = &[$(Self::$name),*];

            /// The fields that lead to it, from its subject.
            pub(super) fn path(self) -> &'static [&'static str] {
                match self {
                    $(Self::$name => &$path,)*
                }
            }

            /// To how many decimal places it is written.
            pub fn places(self) -> usize {
                match self {
                    $(Self::$name => $places,)*
                }
            }

            /// What it is called, such as "rake" or "near ring".
            pub fn in_words(self) -> &'static str {
                match self {
                    $(Self::$name => $words,)*
                }
            }
        }
    };
}

figures! {
    /// Of a lamp or a box: clockwise, seen from above.
    Yaw: ["yaw"], HUNDREDTHS, "turn";
    /// Of a lamp: leant back.
    Tilt: ["tilt"], HUNDREDTHS, "tilt";
    /// Of a lamp: leant to its own starboard.
    Roll: ["roll"], HUNDREDTHS, "roll";
    /// Of a part, as every figure down to `Transmits`.
    Length: ["length"], MILLIMETRES, "length";
    Width: ["width"], MILLIMETRES, "width";
    /// Of a person: standing upright.
    Height: ["height"], MILLIMETRES, "height";
    Diameter: ["diameter"], TENTHS, "diameter";
    Thickness: ["thickness"], TENTHS, "thickness";
    Leg: ["leg"], MILLIMETRES, "leg";
    CowlingLength: ["cowling", "length"], MILLIMETRES, "length of the cowling";
    CowlingWidth: ["cowling", "width"], MILLIMETRES, "width of the cowling";
    CowlingHeight: ["cowling", "height"], MILLIMETRES, "height of the cowling";
    /// Of a windscreen, aft.
    Rake: ["rake"], HUNDREDTHS, "rake";
    /// Of an antenna, aft.
    Lean: ["lean"], HUNDREDTHS, "lean";
    /// Where an outboard is steered to; positive turns the cowling clockwise seen from above.
    Steered: ["steering", "now"], HUNDREDTHS, "steering";
    SteeredMost: ["steering", "most"], HUNDREDTHS, "most steering";
    /// How far an outboard is tilted up.
    TiltedUp: ["tilt", "now"], HUNDREDTHS, "tilt";
    TiltedUpMost: ["tilt", "most"], HUNDREDTHS, "most tilt";
    /// How far a mast is folded aft.
    Folded: ["fold", "now"], HUNDREDTHS, "fold";
    FoldedMost: ["fold", "most"], HUNDREDTHS, "most fold";
    /// Of a windscreen: the share of light it lets through.
    Transmits: ["transmits"], THOUSANDTHS, "share of light let through";
    /// Of the scene, as every figure below.
    Visibility: ["conditions", "visibility"], HUNDREDTHS, "visibility";
    NearRing: ["conditions", "near"], MILLIMETRES, "near ring";
    FarRing: ["conditions", "far"], MILLIMETRES, "far ring";
    Heel: ["conditions", "heel"], HUNDREDTHS, "heel";
    /// What all her outboards are turned in use, to either side.
    SteeringInUse: ["conditions", "steering"], HUNDREDTHS, "steering in use";
    Swell: ["conditions", "swell"], MILLIMETRES, "swell";
    VesselLength: ["vessel", "length"], MILLIMETRES, "length";
    Beam: ["vessel", "beam"], MILLIMETRES, "beam";
    Freeboard: ["vessel", "freeboard"], MILLIMETRES, "freeboard";
    Depth: ["vessel", "depth"], MILLIMETRES, "depth";
    TopSpeed: ["vessel", "top_speed"], HUNDREDTHS, "top speed";
    Sheer: ["vessel", "hull", "sheer"], MILLIMETRES, "sheer";
    Flare: ["vessel", "hull", "flare"], HUNDREDTHS, "flare";
    DeckCamber: ["vessel", "hull", "deck_camber"], MILLIMETRES, "deck camber";
    Bulwark: ["vessel", "hull", "bulwark"], MILLIMETRES, "bulwark";
    Transom: ["vessel", "hull", "transom"], THOUSANDTHS, "share of the beam at the transom";
}

impl Figure {
    /// The sign of its unit: "m", "\u{b0}", "nm", "kn", and nothing for a share.
    pub fn unit(self) -> &'static str {
        match self {
            Self::Visibility | Self::FarRing => "nm",
            Self::TopSpeed => "kn",
            Self::Transmits | Self::Transom => "",
            _ if self.places() == HUNDREDTHS => "\u{b0}",
            _ => "m",
        }
    }

    /// What it is now; `None` where the subject has no such figure or is not there.
    pub fn of(self, scene: &Scene, subject: Subject) -> Option<f64> {
        match subject {
            Subject::Scene => self.of_scene(scene),
            Subject::Part(part) => self.of_part(&scene.parts.get(part)?.kind),
            Subject::Lamp(at) => self.of_lamp(at.of(scene)?),
            Subject::Fit(_) => None,
        }
    }

    fn of_lamp(self, lamp: &Lamp) -> Option<f64> {
        match self {
            Self::Yaw => Some(lamp.yaw.0),
            Self::Tilt => Some(lamp.tilt.0),
            Self::Roll => Some(lamp.roll.0),
            _ => None,
        }
    }

    fn of_scene(self, scene: &Scene) -> Option<f64> {
        let Vessel { length, beam, freeboard, depth, top_speed, hull, .. } = &scene.vessel;
        let HullForm { sheer, flare, deck_camber, bulwark, transom } = hull;
        let Conditions { visibility, near, far, heel, steering, swell, .. } = &scene.conditions;
        Some(match self {
            Self::Visibility => visibility.0,
            Self::NearRing => near.0,
            Self::FarRing => far.0,
            Self::Heel => heel.0,
            Self::SteeringInUse => steering.0,
            Self::Swell => swell.0,
            Self::VesselLength => length.0,
            Self::Beam => beam.0,
            Self::Freeboard => freeboard.0,
            Self::Depth => depth.0,
            Self::TopSpeed => top_speed.0,
            Self::Sheer => sheer.0,
            Self::Flare => flare.0,
            Self::DeckCamber => deck_camber.0,
            Self::Bulwark => bulwark.0,
            Self::Transom => *transom,
            _ => return None,
        })
    }

    fn of_part(self, kind: &PartKind) -> Option<f64> {
        use PartKind as Kind;
        let joint = |joint: &Joint, most: bool| if most { joint.most } else { joint.now };
        Some(match (self, kind) {
            (Self::Length, Kind::Cabin { length, .. } | Kind::Box { length, .. }) => *length,
            (Self::Length, Kind::Fender { length, .. } | Kind::Screen { length, .. }) => *length,
            (Self::Width, Kind::Cabin { width, .. } | Kind::Box { width, .. }) => *width,
            (Self::Width, Kind::Windscreen { width, .. } | Kind::Arch { width, .. }) => *width,
            (Self::Height, Kind::Stanchion { height, .. } | Kind::Cylinder { height, .. }) => *height,
            (Self::Height, Kind::Cabin { height, .. } | Kind::Box { height, .. }) => *height,
            (Self::Height, Kind::Windscreen { height, .. } | Kind::Arch { height, .. }) => *height,
            (Self::Height, Kind::Mast { height, .. } | Kind::Antenna { height, .. }) => *height,
            (Self::Height, Kind::Person { height, .. } | Kind::Screen { height, .. }) => *height,
            (Self::Diameter, Kind::Stanchion { diameter, .. } | Kind::Cylinder { diameter, .. }) => *diameter,
            (Self::Diameter, Kind::Rail { diameter, .. } | Kind::Capsule { diameter, .. }) => *diameter,
            (Self::Diameter, Kind::Mast { diameter, .. } | Kind::Antenna { diameter, .. }) => *diameter,
            (Self::Diameter, Kind::Arch { diameter, .. } | Kind::Fender { diameter, .. }) => *diameter,
            (Self::Thickness, Kind::Screen { thickness, .. }) => *thickness,
            (Self::Leg, Kind::Outboard { leg, .. }) => *leg,
            (Self::CowlingLength, Kind::Outboard { cowling, .. }) => cowling.x,
            (Self::CowlingWidth, Kind::Outboard { cowling, .. }) => cowling.y,
            (Self::CowlingHeight, Kind::Outboard { cowling, .. }) => cowling.z,
            (Self::Rake, Kind::Windscreen { rake, .. }) => rake.0,
            (Self::Lean, Kind::Antenna { lean, .. }) => lean.0,
            (Self::Yaw, Kind::Box { yaw, .. }) => yaw.0,
            (Self::Steered | Self::SteeredMost, Kind::Outboard { steering, .. }) => {
                joint(steering, self == Self::SteeredMost)
            }
            (Self::TiltedUp | Self::TiltedUpMost, Kind::Outboard { tilt, .. }) => {
                joint(tilt, self == Self::TiltedUpMost)
            }
            (Self::Folded | Self::FoldedMost, Kind::Mast { fold, .. }) => joint(fold, self == Self::FoldedMost),
            (Self::Transmits, Kind::Windscreen { transmits, .. }) => *transmits,
            _ => return None,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_angles_distances_speeds_and_shares_have_their_own_units() {
        for (figure, unit) in [
            (Figure::Beam, "m"),
            (Figure::Diameter, "m"),
            (Figure::NearRing, "m"),
            (Figure::FarRing, "nm"),
            (Figure::Visibility, "nm"),
            (Figure::TopSpeed, "kn"),
            (Figure::Heel, "\u{b0}"),
            (Figure::Yaw, "\u{b0}"),
            (Figure::Transmits, ""),
            (Figure::Transom, ""),
        ] {
            assert_eq!(figure.unit(), unit, "{}", figure.in_words());
        }
    }
}
