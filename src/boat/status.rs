//! What a vessel is doing, as far as her lights tell: the statuses of Rules 23 to 31.
//!
//! Gives each status its words and the name scripts use. Must never know which lights go with it: that is for the rules.

use serde::{Deserialize, Serialize};

use super::{Propulsion, Vessel};

macro_rules! statuses {
    ($($(#[$doc:meta])* $name:ident: $key:literal, $words:literal;)*) => {
        /// See the module.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        pub enum Status {
            $($(#[$doc])* $name,)*
        }

        impl Status {
            /// Every status, in the order of the rules.
            pub const ALL: &[Self] = &[$(Self::$name),*];

            /// The status in words that follow "a vessel".
            pub fn in_words(self) -> &'static str {
                match self {
                    $(Self::$name => $words,)*
                }
            }

            /// The name used on the command line and in JSON.
            pub fn key(self) -> &'static str {
                match self {
                    $(Self::$name => $key,)*
                }
            }

            /// The name used in scene and rule files.
            pub fn name(self) -> &'static str {
                match self {
                    $(Self::$name => stringify!($name),)*
                }
            }
        }
    };
}

statuses! {
    /// Under way by what the scene calls her own propulsion.
    UnderWay: "under-way", "under way";
    /// Under engine, whether or not sails are set as well (Rules 3(c) and 23).
    UnderEngine: "under-engine", "under way by engine";
    /// Under sail alone (Rule 25).
    UnderSail: "under-sail", "under way by sail";
    /// Under oars or paddle (Rule 25(d)(ii)).
    UnderOars: "under-oars", "under way by oars";
    /// An air-cushion vessel in the non-displacement mode (Rule 23(b)).
    AirCushion: "air-cushion", "on her air cushion";
    /// Towing astern, the tow 200 m or less (Rule 24(a)).
    Towing: "towing", "towing astern";
    /// Towing astern, the tow over 200 m (Rule 24(a)(i)).
    TowingLong: "towing-long", "towing astern more than 200 m";
    /// Towing and severely restricted in her ability to leave her course (Rule 27(c)).
    TowingRestricted: "towing-restricted", "towing and unable to leave her course";
    /// Pushing ahead or towing alongside (Rule 24(c)).
    Pushing: "pushing", "pushing ahead or towing alongside";
    /// Towed astern (Rule 24(e)).
    TowedAstern: "towed-astern", "towed astern";
    /// Towed alongside (Rule 24(f)(ii)).
    TowedAlongside: "towed-alongside", "towed alongside";
    /// Pushed ahead, not in a composite unit (Rule 24(f)(i)).
    PushedAhead: "pushed-ahead", "pushed ahead";
    /// Trawling and making way (Rule 26(b)).
    Trawling: "trawling", "trawling and making way";
    /// Trawling and not making way (Rule 26(b)).
    TrawlingStopped: "trawling-stopped", "trawling and not making way";
    /// Fishing other than trawling, making way (Rule 26(c)).
    Fishing: "fishing", "fishing and making way";
    /// Fishing other than trawling, not making way (Rule 26(c)).
    FishingStopped: "fishing-stopped", "fishing and not making way";
    /// Fishing with gear more than 150 m out, making way (Rule 26(c)(ii)).
    FishingGear: "fishing-gear", "fishing with gear over 150 m out, making way";
    /// Fishing with gear more than 150 m out, not making way (Rule 26(c)(ii)).
    FishingGearStopped: "fishing-gear-stopped", "fishing with gear over 150 m out, not making way";
    /// Not under command, making way (Rule 27(a)).
    NotUnderCommand: "not-under-command", "not under command, making way";
    /// Not under command, not making way (Rule 27(a)).
    NotUnderCommandStopped: "not-under-command-stopped", "not under command, not making way";
    /// Restricted in her ability to manoeuvre, making way (Rule 27(b)).
    Restricted: "restricted", "restricted in her ability to manoeuvre, making way";
    /// Restricted in her ability to manoeuvre, not making way (Rule 27(b)).
    RestrictedStopped: "restricted-stopped", "restricted in her ability to manoeuvre, not making way";
    /// Restricted in her ability to manoeuvre, at anchor (Rule 27(b)(iv)).
    RestrictedAtAnchor: "restricted-at-anchor", "restricted in her ability to manoeuvre, at anchor";
    /// Dredging or working under water with an obstruction on one side, making way (Rule 27(d)).
    Dredging: "dredging", "dredging with one side obstructed, making way";
    /// The same, stopped or at anchor (Rule 27(d)).
    DredgingStopped: "dredging-stopped", "dredging with one side obstructed, stopped or at anchor";
    /// Diving from a vessel too small for the lights of Rule 27(d) (Rule 27(e)).
    Diving: "diving", "diving, too small for the lights of dredging";
    /// Constrained by her draught (Rule 28).
    ConstrainedByDraught: "constrained-by-draught", "constrained by her draught";
    /// On pilotage duty, under way (Rule 29).
    Pilot: "pilot", "on pilotage duty, under way";
    /// On pilotage duty, at anchor (Rule 29).
    PilotAtAnchor: "pilot-at-anchor", "on pilotage duty, at anchor";
    /// At anchor (Rule 30).
    AtAnchor: "at-anchor", "at anchor";
    /// Aground (Rule 30(d)).
    Aground: "aground", "aground";
}

impl Status {
    /// Whether the status is being under way by this means and nothing else.
    pub fn means(self) -> Option<Propulsion> {
        match self {
            Self::UnderEngine => Some(Propulsion::Power),
            Self::UnderSail => Some(Propulsion::Sail),
            Self::UnderOars => Some(Propulsion::Oars),
            _ => None,
        }
    }

    /// Whether she is trawling.
    pub fn trawls(self) -> bool {
        matches!(self, Self::Trawling | Self::TrawlingStopped)
    }

    /// Whether she is fishing otherwise than by trawling, with gear more than 150 m out.
    pub fn has_gear_out(self) -> bool {
        matches!(self, Self::FishingGear | Self::FishingGearStopped)
    }

    /// Whether she is fishing, by trawling or otherwise.
    pub fn fishes(self) -> bool {
        self.trawls() || self.has_gear_out() || matches!(self, Self::Fishing | Self::FishingStopped)
    }

    /// Whether she works with an obstruction on one side.
    pub fn obstructs_one_side(self) -> bool {
        matches!(self, Self::Dredging | Self::DredgingStopped)
    }

    /// The status as scenes keep it: being under way by what is the vessel's own propulsion is plainly "under way".
    pub fn plain(self, propulsion: Propulsion) -> Self {
        if self.means() == Some(propulsion) { Self::UnderWay } else { self }
    }

    /// The status in words that are right for a vessel: where she can move in several ways, being under way names hers.
    pub fn told_of(self, vessel: &Vessel) -> &'static str {
        if vessel.also.is_empty() && vessel.propulsion == Propulsion::Power {
            self.plain(vessel.propulsion).in_words()
        } else {
            self.by_means(vessel).in_words()
        }
    }

    /// The status by its means: "under way" becomes under engine, sail or oars.
    pub fn by_means(self, vessel: &Vessel) -> Self {
        match (self, vessel.propulsion) {
            (Self::UnderWay, Propulsion::Power) => Self::UnderEngine,
            (Self::UnderWay, Propulsion::Sail) => Self::UnderSail,
            (Self::UnderWay, Propulsion::Oars) => Self::UnderOars,
            (status, _) => status,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn under_engine_is_plainly_under_way_for_a_boat_without_sails_only() {
        assert_eq!(Status::UnderEngine.plain(Propulsion::Power), Status::UnderWay);
        assert_eq!(Status::UnderEngine.plain(Propulsion::Sail), Status::UnderEngine);
        assert_eq!(Status::AtAnchor.plain(Propulsion::Sail), Status::AtAnchor);
    }

    #[test]
    fn no_two_statuses_share_a_name() {
        let mut keys: Vec<_> = Status::ALL.iter().map(|status| status.key()).collect();
        keys.sort_unstable();
        keys.dedup();
        assert_eq!(keys.len(), Status::ALL.len());
    }
}
