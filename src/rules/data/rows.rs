//! The rows that a set of rules is made of, as they stand in `assets/rules/*.ron`. Lengths in metres, angles in
//! degrees, ranges in nautical miles, speeds in knots. Every row names the source it was read in.

use serde::Deserialize;

use super::Date;
use crate::{
    boat::{Propulsion, Role, Status},
    light::{Colour, ColourArea},
    measure::{Arc, Bearing, Degrees},
};

macro_rules! light_kinds {
    ($($(#[$doc:meta])* $name:ident: $words:literal;)*) => {
        /// A kind of light, as Rule 21 defines them.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
        pub enum LightKind {
            $($(#[$doc])* $name,)*
        }

        impl LightKind {
            pub const ALL: &[Self] = &[$(Self::$name),*];

            /// The kind in words, as it stands in a sentence.
            pub fn in_words(self) -> &'static str {
                match self {
                    $(Self::$name => $words,)*
                }
            }
        }
    };
}

light_kinds! {
    Masthead: "masthead light";
    StarboardSidelight: "starboard sidelight";
    PortSidelight: "port sidelight";
    Sternlight: "sternlight";
    TowingLight: "towing light";
    AllRoundWhite: "all-round white light";
    AllRoundRed: "all-round red light";
    AllRoundGreen: "all-round green light";
    FlashingYellow: "all-round flashing yellow light";
    /// On United States inland waters only.
    SpecialFlashing: "special flashing light";
}

impl LightKind {
    /// Whether a lamp of this role is there to be this light. A three-colour lantern is there to be any of its three.
    pub fn served_by(self, role: Role) -> bool {
        match self {
            Self::Masthead => role == Role::Masthead,
            Self::StarboardSidelight => {
                matches!(role, Role::StarboardSidelight | Role::CombinedSidelights | Role::ThreeColourLantern)
            }
            Self::PortSidelight => {
                matches!(role, Role::PortSidelight | Role::CombinedSidelights | Role::ThreeColourLantern)
            }
            Self::Sternlight => matches!(role, Role::Sternlight | Role::ThreeColourLantern),
            Self::TowingLight => role == Role::TowingLight,
            Self::AllRoundWhite => role == Role::AllRoundWhite,
            Self::AllRoundRed => role == Role::AllRoundRed,
            Self::AllRoundGreen => role == Role::AllRoundGreen,
            Self::FlashingYellow => role == Role::FlashingYellow,
            Self::SpecialFlashing => role == Role::SpecialFlashing,
        }
    }

    pub fn is_sidelight(self) -> bool {
        matches!(self, Self::StarboardSidelight | Self::PortSidelight)
    }

    /// "a" or "an".
    pub fn article(self) -> &'static str {
        if self.in_words().starts_with('a') { "an" } else { "a" }
    }
}

/// The arc and colour of a kind of light (Rule 21).
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SectorRow {
    pub light: LightKind,
    pub colour: Colour,
    /// Relative bearings, degrees clockwise; 0 and 360 mean all round.
    pub from: f64,
    pub to: f64,
    /// Degrees by which the light may show wider on each side, where the rules leave its arc open.
    #[serde(default)]
    pub wider: f64,
    pub clause: String,
    pub source: String,
}

impl SectorRow {
    pub fn arc(&self) -> Arc {
        Arc::between(self.from, self.to)
    }

    pub fn is_all_round(&self) -> bool {
        self.arc().width >= 360.0
    }
}

/// Vessel lengths from `from` to under `under`, in metres.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Band {
    pub from: f64,
    pub under: f64,
}

impl Default for Band {
    /// Every length.
    fn default() -> Self {
        Self { from: 0.0, under: f64::INFINITY }
    }
}

impl Band {
    pub fn holds(self, length: f64) -> bool {
        (self.from..self.under).contains(&length)
    }

    /// Whether some length lies in both.
    pub fn meets(self, other: Self) -> bool {
        self.from < other.under && other.from < self.under
    }

    /// "any length", "under 12 m", "20 m or more", "12 m to under 20 m".
    pub fn in_words(self) -> String {
        let metres = |length: f64| crate::measure::trimmed(length, 2);
        match (self.from > 0.0, self.under.is_finite()) {
            (false, false) => "any length".into(),
            (false, true) => format!("under {} m", metres(self.under)),
            (true, false) => format!("{} m or more", metres(self.from)),
            (true, true) => format!("{} m to under {} m", metres(self.from), metres(self.under)),
        }
    }
}

/// Required ranges for a band of lengths (Rule 22).
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RangeRow {
    pub length: Band,
    pub masthead: f64,
    pub sidelight: f64,
    pub sternlight: f64,
    pub towing: f64,
    pub all_round: f64,
    /// `None` where the rules know no such light.
    #[serde(default)]
    pub special_flashing: Option<f64>,
    pub clause: String,
    pub source: String,
}

impl RangeRow {
    /// The range a kind of light must reach.
    pub fn range(&self, light: LightKind) -> Option<f64> {
        match light {
            LightKind::Masthead => Some(self.masthead),
            LightKind::StarboardSidelight | LightKind::PortSidelight => Some(self.sidelight),
            LightKind::Sternlight => Some(self.sternlight),
            LightKind::TowingLight => Some(self.towing),
            LightKind::SpecialFlashing => self.special_flashing,
            LightKind::AllRoundWhite
            | LightKind::AllRoundRed
            | LightKind::AllRoundGreen
            | LightKind::FlashingYellow => Some(self.all_round),
        }
    }
}

/// A lawful set of lights for a vessel in a status.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Display {
    pub name: String,
    /// By its means where she is simply under way: `UnderEngine`, `UnderSail`, `UnderOars`, never `UnderWay`.
    pub status: Status,
    /// Only for vessels that can move so; empty for any.
    #[serde(default)]
    pub propulsion: Vec<Propulsion>,
    #[serde(default)]
    pub length: Band,
    /// Only for vessels that cannot go faster.
    #[serde(default)]
    pub top_speed: Option<f64>,
    /// Only on waters of this name, for boats whose scene says that they use them.
    #[serde(default)]
    pub waters: Option<String>,
    /// Groups of lights in a vertical line, each from the top down.
    #[serde(default)]
    pub lines: Vec<Vec<LightKind>>,
    /// The other lights. Two of a kind stand one forward and one abaft.
    #[serde(default)]
    pub lights: Vec<LightKind>,
    /// Lights that may be shown with them.
    #[serde(default)]
    pub may: Vec<LightKind>,
    /// No light need be missing from this display to be lawful, but the rules ask for it where practicable.
    #[serde(default)]
    pub if_practicable: Vec<LightKind>,
    /// Whether sidelights and sternlight are combined in one lantern (Rule 25(b)).
    #[serde(default)]
    pub one_lantern: bool,
    /// What is kept ready to hand and shown in time, in words; nothing in the scene can prove it.
    #[serde(default)]
    pub ready: Option<String>,
    /// Whether it is shown by vessels that need not show this status: the lights say nothing of it.
    #[serde(default)]
    pub unsaid: bool,
    #[serde(default)]
    pub exempt: Option<Exemption>,
    pub clause: String,
    pub source: String,
}

impl Display {
    /// Every light that must show: those in lines first.
    pub fn required(&self) -> impl Iterator<Item = LightKind> + '_ {
        self.lines.iter().flatten().chain(&self.lights).copied()
    }

    /// How many lights of a kind must show.
    pub fn count(&self, kind: LightKind) -> usize {
        self.required().filter(|one| *one == kind).count()
    }

    /// Whether a lamp of a role may be a light of a kind in this display: three colours come from one lantern only
    /// where the display says so, and then from nothing else.
    pub fn serves(&self, kind: LightKind, role: Role) -> bool {
        let from_lantern = self.one_lantern && (kind.is_sidelight() || kind == LightKind::Sternlight);
        kind.served_by(role) && (role == Role::ThreeColourLantern) == from_lantern
    }
}

/// Where a display need not be shown.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Exemption {
    /// For vessels shorter than this.
    pub under: f64,
    pub clause: String,
    /// Where or when, in words that follow "not required".
    pub place: String,
    /// Only on waters of this name.
    #[serde(default)]
    pub waters: Option<String>,
    pub source: String,
}

/// The least intensity for a range (Annex I section 8).
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct IntensityRow {
    pub range: f64,
    pub candela: f64,
}

/// What a share of practical cut-off is taken of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub enum CutOf {
    /// The average intensity inside the sector.
    Average,
    /// The least intensity due there.
    Minimum,
}

/// The intensity below which a light counts as cut off.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CutRow {
    #[serde(default)]
    pub length: Band,
    pub share: f64,
    pub of: CutOf,
    pub source: String,
}

/// Limits of sectors (Annex I section 9).
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cutoff {
    /// Sidelights ahead reach the practical cut-off at least and ...
    pub forward_least: f64,
    /// ... at most this many degrees outside.
    pub forward_outside: f64,
    /// Other edges: full intensity to this many degrees inside, ...
    pub aft_inside: f64,
    /// ... this share of it to the edge, ...
    pub aft_share: f64,
    /// ... and the practical cut-off at most this many degrees outside.
    pub aft_outside: f64,
    /// An all-round light may be hidden over this many degrees.
    pub all_round_hidden: f64,
    /// Where that is impracticable, two lights that look like one at this range.
    pub pair_range: f64,
    /// Minutes of arc below which two lights look like one.
    pub pair_minutes: f64,
    pub clause_forward: String,
    pub clause_edges: String,
    pub clause_all_round: String,
    pub clause_pair: String,
    pub source: String,
}

/// The vertical sector of a light (Annex I section 10).
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct VerticalRow {
    /// Whether it is for sailing vessels under way, or for all others.
    pub sailing: bool,
    /// All of the least intensity to this elevation, up and down, ...
    pub full: f64,
    /// ... and this share of it ...
    pub share: f64,
    /// ... to this elevation.
    pub wide: f64,
    pub clause_full: String,
    pub clause_wide: String,
    pub source: String,
}

impl VerticalRow {
    /// The elevation, up and down, to which her own solids are looked for on a bearing. The wide vertical sector of sailing
    /// vessels is for their heel, which raises and lowers the horizon on the beam and not ahead or astern, where every
    /// hull hides what stands far down over it.
    pub fn reach(&self, bearing: Bearing) -> Degrees {
        if !self.sailing {
            return Degrees(self.wide);
        }
        let by_heel = self.wide * bearing.degrees().to_radians().sin().abs();
        Degrees(by_heel.max(self.full))
    }
}

/// The corners of a signal colour (Annex I section 7), CIE 1931.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ColourRow {
    pub colour: Colour,
    pub corners: ColourArea,
    pub clause: String,
    pub source: String,
}

/// Something that can be measured of lights in place, for a row of limits to hold against a figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
pub enum Asks {
    /// Height of the forward or only masthead light above the hull beneath it.
    ForwardMastheadAboveHull,
    /// Height of the after masthead light above the forward one.
    AfterAboveForwardMasthead,
    /// Angle by which the after masthead light stands above the forward one, seen at sea level from `at` metres
    /// ahead of the stem, in minutes of arc; the least over all normal trim.
    MastheadsApartFromAhead,
    /// Height of the masthead light above the gunwale.
    MastheadAboveGunwale,
    /// Height of the white light shown with sidelights above the higher of them.
    WhiteAboveSidelights,
    /// Height of the masthead light above sidelights combined in one lantern.
    MastheadAboveCombined,
    /// Height of a masthead light above the highest other light, those of Rules 27 and 28 apart.
    MastheadAboveOthers,
    /// Height of the higher sidelight above the hull, as a share of that of the forward masthead light.
    SidelightShareOfMasthead,
    /// Height of the forward masthead light above the higher sidelight.
    SidelightsBelowMasthead,
    /// Gap between neighbours in a vertical line.
    LineGap,
    /// How much the gaps of three lights in a vertical line differ, as a share of their mean.
    LineUnevenness,
    /// How far lights in a vertical line stand aside of one another, as a share of the gap.
    LineAside,
    /// Height of the lowest light of a vertical line above the hull beneath it; lines with a towing light apart.
    LowestOfLineAboveHull,
    /// The same above the gunwale.
    LowestOfLineAboveGunwale,
    /// Where a towing vessel carries masthead lights abaft the forward one in a line, height of the lowest of them
    /// above the forward one.
    TowLineAboveForwardMasthead,
    /// Height of the lower fishing light above the higher sidelight, in gaps of the pair.
    FishingAboveSidelights,
    /// Height of the forward anchor light above the after one.
    ForwardAnchorAboveAfter,
    /// Height of the forward anchor light above the hull.
    ForwardAnchorAboveHull,
    /// Distance fore and aft between two masthead lights, as a share of her length.
    MastheadsApart,
    /// How far abaft the stem the forward masthead light stands, as a share of her length.
    ForwardMastheadFromStem,
    /// How far abaft the stem the only masthead light stands, as a share of her length.
    OnlyMastheadFromStem,
    /// How far the sidelights stand forward of the forward masthead light.
    SidelightsBeforeMasthead,
    /// How far abaft the stem the after sidelight stands, as a share of her length.
    SidelightsFromStem,
    /// How far inboard of the side the sidelights stand, as a share of her beam.
    SidelightsInboard,
    /// How far off the centreline lights of Rules 27(b) and 28 stand that are set between the masthead lights.
    LineOffCentre,
    /// How far below the top of the highest mast the uppermost light stands of a three-colour lantern or of a vertical
    /// line, as a share of the mast's height.
    TopBelowMast,
    /// How far abaft the pair of trawling lights the masthead light stands.
    TrawlMastheadAbaft,
    /// Level distance of the light that shows the way of the gear from the pair of fishing lights.
    GearLightAside,
    /// Height of that light above the white of the pair.
    GearLightAboveWhite,
    /// Height of that light above the higher sidelight.
    GearLightAboveSidelights,
    /// Level distance of the lights of the obstructed and the clear side from the line of red, white and red.
    SideSignalsAside,
    /// Height of the highest of them above the lowest of the three.
    SideSignalsAboveLine,
    /// The lower base angle of the triangle of sidelights and masthead light, seen end on, in degrees.
    TriangleAngle,
}

impl Asks {
    /// Whether it is a height above hull, gunwale or another light, or hangs on one.
    pub fn of_height(self) -> bool {
        !matches!(
            self,
            Self::LineAside
                | Self::MastheadsApart
                | Self::ForwardMastheadFromStem
                | Self::OnlyMastheadFromStem
                | Self::SidelightsBeforeMasthead
                | Self::SidelightsFromStem
                | Self::SidelightsInboard
                | Self::LineOffCentre
                | Self::TrawlMastheadAbaft
                | Self::GearLightAside
                | Self::SideSignalsAside
        )
    }
}

/// A figure that something measured must keep: at least, at most, or both.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LimitRow {
    pub asks: Asks,
    #[serde(default)]
    pub least: Option<f64>,
    #[serde(default)]
    pub most: Option<f64>,
    /// `least` grows with the beam, to no more than this.
    #[serde(default)]
    pub or_beam: Option<f64>,
    /// A distance in metres that is enough whatever share of her length it is.
    #[serde(default)]
    pub enough: Option<f64>,
    /// Where it is seen from, metres ahead of the stem.
    #[serde(default)]
    pub at: Option<f64>,
    #[serde(default)]
    pub length: Band,
    /// In these statuses only; empty for all.
    #[serde(default)]
    pub statuses: Vec<Status>,
    /// For high-speed craft only, or for all others only; `None` for both.
    #[serde(default)]
    pub high_speed: Option<bool>,
    /// Kept "as far as practicable": falling short is a caution.
    #[serde(default)]
    pub if_practicable: bool,
    pub clause: String,
    pub source: String,
}

/// Where lights stand athwartships and lengthwise (Rules 21 and 23(d)(iii)).
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Places {
    /// Metres off the centreline that still count as on it.
    pub centreline: f64,
    /// Under this length a white light may stand off the centreline if the sidelights are combined on one
    /// fore-and-aft line with it; nought where the rules have no such clause.
    pub off_centre_under: f64,
    /// Under this length lights need stand only as near the centreline as practicable.
    pub near_centre_under: f64,
    /// Sidelights may be combined in one lantern under this length.
    pub combined_under: f64,
    /// Share of the length, from the stern, beyond which a sternlight is no longer near the stern.
    pub stern_share: f64,
    pub clause_masthead: String,
    pub clause_off_centre: String,
    pub clause_sides: String,
    pub clause_stern: String,
    pub source: String,
}

/// Screens (Annex I section 5).
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ScreenRow {
    /// Sidelights of vessels this long and longer have inboard screens.
    pub from: f64,
    /// How near a plate must stand to be the screen of a lamp.
    pub near: f64,
    pub clause: String,
    pub source: String,
}

/// Limits on the evenness and the greatest intensity of a light.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Evenness {
    /// Greatest over least intensity within the horizontal sector, and within the vertical one.
    pub most: f64,
    /// For vessels this long and longer.
    pub from: f64,
    /// As a clause: "IMO MSC.253(83) 4.2.2".
    pub clause_horizontal: String,
    pub clause_vertical: String,
    pub source: String,
}

/// What dazzles (Annex I 8, note), and what spoils the lookout from on board (Rule 20(b)).
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Glare {
    /// Greatest intensity as a multiple of the least that is due. The annex gives no figure.
    pub times: f64,
    /// Illuminance at the helm's eyes above which a light hinders the lookout, lux. The rules give no figure.
    pub eye_lux: f64,
    /// The same on the deck in view ahead of the helm.
    pub deck_lux: f64,
    /// Power-driven vessels under this length owe a screen against light on the deck ahead of the helm; nought where
    /// the rules ask for none.
    pub screen_under: f64,
    pub clause_glare: String,
    pub clause_lookout: String,
    /// Empty where there is none.
    pub clause_screen: String,
    pub source: String,
}

/// One clause of a rule set, for the table that says how a boat stands to each.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ClauseRow {
    pub clause: String,
    /// What it asks, in a few words.
    pub about: String,
    /// Whom or what it is for, in words that follow "it is for".
    #[serde(default, rename = "for")]
    pub whom: String,
    /// In these statuses only; empty for all.
    #[serde(default)]
    pub only: Vec<Status>,
    /// Why no program can check it; empty where this one does.
    #[serde(default)]
    pub beyond: String,
}

/// A relief that a local authority gives from a set of rules.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Waiver {
    pub authority: String,
    pub area: String,
    /// Where its text stands.
    pub reference: String,
    /// The last day it holds, as `2027-12-31`.
    pub expires: Date,
    /// Whether that day was past when the file was read.
    #[serde(skip)]
    pub expired: bool,
}
