//! Which lights the rules ask of a vessel for what she does: in words, as a drawing and as JSON, every lawful display.
//!
//! Takes rules, a vessel's figures and a status; gives text. Every figure comes from the rules' data. Must never look at a
//! fit, nor judge one.

mod columns;
mod drawing;
mod json;
mod labels;
mod limits;
mod places;
mod plan;
mod stack;
mod text;
mod views;

pub use drawing::drawing;
pub use json::json;
pub use text::{overview, text};

use crate::{
    boat::{HullForm, Propulsion, Status, Vessel},
    measure::{Candela, Knots, Metres, NauticalMiles, trimmed},
    rules::{Display, Exemption, LightKind, Rules, SectorRow},
};

/// What is looked up.
#[derive(Clone, Copy)]
pub struct Lookup<'a> {
    pub rules: &'a Rules,
    pub vessel: &'a Vessel,
    pub status: Status,
    /// Names of special waters that she uses.
    pub waters: &'a [String],
}

impl<'a> Lookup<'a> {
    /// Every lawful display, in the order of the rules.
    pub fn lawful(&self) -> Vec<&'a Display> {
        self.rules.displays(self.vessel, self.status, self.waters)
    }

    /// Why there is none, in a sentence; nothing where there is one.
    pub fn why_none(&self) -> Option<String> {
        if !self.lawful().is_empty() {
            return None;
        }
        let impossible = self.rules.impossible(self.vessel, self.status);
        Some(impossible.unwrap_or_else(|| self.rules.not_held(self.vessel, self.status)))
    }

    fn length(&self) -> f64 {
        self.vessel.length.0
    }

    /// "15 m long, power-driven, at most 20 kn".
    fn vessel_in_words(&self) -> String {
        vessel_in_words(self.vessel)
    }

    fn status_in_words(&self) -> &'static str {
        self.status.by_means(self.vessel).in_words()
    }

    /// The exemption of a display that holds for her.
    fn exemption<'d>(&self, display: &'d Display) -> Option<&'d Exemption> {
        let exempt = display.exempt.as_ref()?;
        let here = exempt.waters.as_ref().is_none_or(|name| self.waters.contains(name));
        (self.length() < exempt.under && here).then_some(exempt)
    }

    /// The same look-up by the rules that a waiver relieves from; nothing where no waiver holds.
    fn without_waiver(&self) -> Option<Self> {
        let holds = self.rules.waiver.as_ref().is_some_and(|waiver| !waiver.expired);
        if holds { self.rules.base.map(|rules| Self { rules, ..*self }) } else { None }
    }

    /// Whether a display is lawful only by the waiver: the rules it relieves from hold none with these lights for her.
    fn only_by_waiver(&self, display: &Display) -> bool {
        self.without_waiver().is_some_and(|base| !base.lawful().iter().any(|one| asks_no_more(one, display)))
    }

    /// Whether she is exempt from a display only by the waiver.
    fn exempt_only_by_waiver(&self, display: &Display) -> bool {
        let exempt = |base: Self| {
            let same = base.lawful().into_iter().filter(|one| asks_no_more(one, display));
            same.into_iter().any(|one| base.exemption(one).is_some())
        };
        self.exemption(display).is_some() && self.without_waiver().is_some_and(|base| !exempt(base))
    }

    /// The lights that a display asks for: lines from the top down, the others, and those owed where practicable.
    fn lights(&self, display: &Display) -> Vec<Light<'a>> {
        let in_lines = display
            .lines
            .iter()
            .enumerate()
            .flat_map(|(line, kinds)| kinds.iter().map(move |kind| (*kind, Some(line))));
        let must = in_lines.chain(display.lights.iter().map(|kind| (*kind, None)));
        let owed = must.map(|(kind, line)| (kind, line, true));
        let practicable = display.if_practicable.iter().map(|kind| (*kind, None, false));
        let known =
            owed.chain(practicable).filter_map(|(kind, line, must)| Some((kind, self.rules.sector(kind)?, line, must)));
        let numbered = known.enumerate();
        numbered
            .map(|(index, (kind, sector, line, must))| {
                let tag = format!("{}{}", sector.colour.letter(), index + 1);
                Light { tag: if must { tag } else { format!("({tag})") }, kind, sector, line, must }
            })
            .collect()
    }

    /// The range a light must reach, and the intensity for it.
    fn strength(&self, kind: LightKind) -> Option<(NauticalMiles, Candela)> {
        let range = self.rules.range(kind, self.length())?;
        Some((range, self.rules.intensity(range)?))
    }
}

/// Whether a display is kept by showing what another asks for: the same lights that must show, and none besides that is
/// owed if practicable.
fn asks_no_more(one: &Display, other: &Display) -> bool {
    let all = |display: &Display, kind| {
        display.required().chain(display.if_practicable.iter().copied()).filter(|one| *one == kind).count()
    };
    one.one_lantern == other.one_lantern
        && one.lines == other.lines
        && LightKind::ALL.iter().all(|kind| one.count(*kind) == other.count(*kind))
        && LightKind::ALL.iter().all(|kind| all(one, *kind) <= all(other, *kind))
        && (one.ready.is_none() || other.ready.is_some())
}

/// One light of a display.
struct Light<'a> {
    /// The letter of its colour with a number, the same in words and drawing: "W1"; in brackets where it is owed only
    /// if practicable.
    tag: String,
    kind: LightKind,
    sector: &'a SectorRow,
    /// Which of the display's vertical lines it stands in.
    line: Option<usize>,
    /// Whether it must show, or only where practicable.
    must: bool,
}

/// A vessel of which no more is known than what her lights turn on. Breadth and depth are round figures, for the
/// drawing only.
pub fn vessel_of(length: Metres, propulsion: Propulsion, also: Vec<Propulsion>, top_speed: Knots) -> Vessel {
    // Common practice, no source: 2.2 m on 6 m, 4.4 m on 15 m, 12 m on 60 m.
    let beam = 0.62 * length.0.powf(0.72);
    Vessel {
        length,
        beam: Metres(beam),
        freeboard: Metres(beam / 4.0),
        depth: Metres(beam / 2.5),
        propulsion,
        statuses: Vessel::usual_statuses(propulsion, &also),
        also,
        top_speed,
        high_speed: false,
        hull: HullForm::default(),
    }
}

fn vessel_in_words(vessel: &Vessel) -> String {
    let means = |means: Propulsion| match means {
        Propulsion::Power => "power-driven",
        Propulsion::Sail => "sailing",
        Propulsion::Oars => "rowed",
    };
    let also: Vec<String> = vessel.also.iter().map(|other| format!(", also {}", means(*other))).collect();
    let speed = if vessel.moves_by(Propulsion::Power) {
        format!(", at most {} knots", trimmed(vessel.top_speed.0, 1))
    } else {
        String::new()
    };
    format!("{} m long, {}{}{speed}", trimmed(vessel.length.0, 2), means(vessel.propulsion), also.concat())
}

/// "one light", "a second masthead light": lights that may be shown besides, or are owed if practicable.
fn besides(display: &Display, kinds: &[LightKind]) -> String {
    let words = |kind: &LightKind| match display.count(*kind) {
        0 => format!("{} {}", kind.article(), kind.in_words()),
        1 => format!("a second {}", kind.in_words()),
        _ => format!("another {}", kind.in_words()),
    };
    joined(&kinds.iter().map(words).collect::<Vec<_>>())
}

/// "a, b and c".
fn joined(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}
