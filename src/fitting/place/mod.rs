//! Places for lamps: searched all over the boat, ranked by how far each is from any fault, and proposed with reasons.
//!
//! Takes a scene and a [`Wish`]; gives [`Proposals`]: the best few places or whole fits, each judged, and where nothing
//! passes, what would have to change. Thousands of places are looked at coarsely by the survey's own panorama; the few that
//! are proposed are surveyed and judged as any fit is, so that no verdict is this module's own. Must never draw, nor write
//! a scene.
//!
//! ```no_run
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! use lampwalk::{boat::read::scene_file, fitting::place::{Wish, proposals}, rules::international};
//!
//! let scene = scene_file(std::path::Path::new("scenes/sandpiper.ron"))?.scene;
//! let wish = Wish::for_all(&scene, 0, international());
//! for proposal in proposals(&scene, &wish).proposals {
//!     println!("band {}, {} faults", proposal.band, proposal.faults.len());
//! }
//! # Ok(())
//! # }
//! ```

mod choose;
pub mod figures;
mod ground;
mod help;
mod judged;
mod region;
mod search;

use glam::DVec3;

pub use ground::{Ground, Spot};
pub use help::Help;
pub use judged::{Placed, Proposal};
pub use region::Region;

use crate::{
    boat::{Fit, PartKind, Role, Scene, Status},
    rules::Rules,
};

/// What is looked for.
#[derive(Clone, Debug)]
pub struct Wish<'a> {
    /// The fit to start from: index into [`Scene::fits`].
    pub fit: usize,
    /// The lamps to find places for: indices into [`Fit::lamps`].
    pub lamps: Vec<usize>,
    /// Only here.
    pub region: Option<Region>,
    /// Where cables start.
    pub panel: Panel,
    pub rules: &'a Rules,
    /// How many proposals are wanted at most.
    pub few: usize,
}

impl<'a> Wish<'a> {
    /// For one lamp of a fit.
    pub fn for_lamp(scene: &Scene, fit: usize, lamp: usize, rules: &'a Rules) -> Self {
        Self { fit, lamps: vec![lamp], region: None, panel: Panel::usual(scene), rules, few: 3 }
    }

    /// For every lamp of a fit that is lit in a status that she needs.
    pub fn for_all(scene: &Scene, fit: usize, rules: &'a Rules) -> Self {
        let lit = |lamp: &crate::boat::Lamp| lamp.lit.iter().any(|status| scene.vessel.statuses.contains(status));
        let all = scene.fits.get(fit).map_or(&[][..], |fit| &fit.lamps);
        let lamps = (0..all.len()).filter(|index| lit(&all[*index])).collect();
        Self { fit, lamps, region: None, panel: Panel::usual(scene), rules, few: 3 }
    }

    fn from<'s>(&self, scene: &'s Scene) -> Option<&'s Fit> {
        scene.fits.get(self.fit)
    }
}

/// Where the switch panel is, for the length of cables.
#[derive(Clone, Debug, PartialEq)]
pub struct Panel {
    /// Vessel frame.
    pub at: DVec3,
    /// Where that is, in words.
    pub words: String,
}

impl Panel {
    /// At the helm; where nobody is aboard, midships on deck.
    pub fn usual(scene: &Scene) -> Self {
        let helm = scene.helm.as_ref().and_then(|name| scene.part(name));
        let person = helm.or_else(|| scene.parts.iter().find(|part| matches!(part.kind, PartKind::Person { .. })));
        match person.map(|part| (&part.name, &part.kind)) {
            Some((name, PartKind::Person { at, .. })) => {
                Self { at: scene.vessel.locate(at), words: format!("taken to be where {name} is") }
            }
            _ => {
                let forward = scene.vessel.length.0 / 2.0;
                let at = DVec3::new(forward, 0.0, scene.vessel.deck_height(forward, 0.0));
                Self { at, words: "taken to be midships, on deck".into() }
            }
        }
    }

    /// How long a cable to a point is that runs along her, athwart and up.
    pub fn cable(&self, to: DVec3) -> f64 {
        (to - self.at).abs().element_sum()
    }
}

/// What became of one place that was looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Solids take what must be seen.
    Hidden,
    /// Nothing is in the way; not taken further.
    Clear,
    /// Part of the proposal of this number, from 0.
    Proposed(usize),
}

/// A place that was looked at, to be shown where it is.
#[derive(Clone, Debug, PartialEq)]
pub struct Ghost {
    /// Index into [`Fit::lamps`].
    pub lamp: usize,
    /// Middle of the luminous face, vessel frame.
    pub centre: DVec3,
    /// How clear it is, from 0 upward; see `clear_bands` in the figures.
    pub band: usize,
    pub verdict: Verdict,
}

/// See the module.
#[derive(Clone, Debug)]
pub struct Proposals {
    /// How many places were looked at.
    pub looked_at: usize,
    /// The best first.
    pub proposals: Vec<Proposal>,
    pub ghosts: Vec<Ghost>,
    /// The statuses that every proposal was judged in.
    pub statuses: Vec<Status>,
    /// What would let one pass, where none does; each was tried.
    pub help: Vec<Help>,
}

impl Proposals {
    /// Whether a proposal has no fault in what was asked for.
    pub fn passes(&self) -> bool {
        self.proposals.first().is_some_and(Proposal::passes)
    }
}

/// Looks for places. Gives none where the fit or a lamp is not there.
pub fn proposals(scene: &Scene, wish: &Wish) -> Proposals {
    let mut found = without_help(scene, wish);
    if !found.passes() && !wish.lamps.is_empty() {
        found.help = help::help(scene, wish, &found);
    }
    found
}

/// The same, and nothing is tried where nothing passes.
fn without_help(scene: &Scene, wish: &Wish) -> Proposals {
    let nothing =
        Proposals { looked_at: 0, proposals: Vec::new(), ghosts: Vec::new(), statuses: Vec::new(), help: Vec::new() };
    let Some(fit) = wish.from(scene).filter(|fit| wish.lamps.iter().all(|lamp| *lamp < fit.lamps.len())) else {
        return nothing;
    };
    let statuses = statuses(scene, fit, &wish.lamps);
    let search = search::Search::of(scene, fit, wish, &statuses);
    let units = search::units(&search);
    let states = choose::states(&search, &units);
    let proposals = judged::judged(&search, &units, states);
    let ghosts = ghosts(&units, &proposals);
    Proposals { looked_at: units.iter().map(|unit| unit.looked_at).sum(), proposals, ghosts, statuses, ..nothing }
}

/// Every status that she needs and one of these lamps is lit in.
fn statuses(scene: &Scene, fit: &Fit, lamps: &[usize]) -> Vec<Status> {
    let needed = scene.vessel.statuses.iter().copied();
    needed.filter(|status| lamps.iter().any(|lamp| fit.lamps[*lamp].lit.contains(status))).collect()
}

fn ghosts(units: &[search::Unit], proposals: &[Proposal]) -> Vec<Ghost> {
    let proposed = |lamp: usize, spot: &Spot| {
        proposals.iter().position(|one| one.placed.iter().any(|placed| placed.lamp == lamp && placed.spot == *spot))
    };
    let mut ghosts = Vec::new();
    for unit in units {
        for place in &unit.places {
            for (lamp, spot) in unit.lamps.iter().zip(&place.spots) {
                let verdict = match (proposed(*lamp, spot), place.clear) {
                    (Some(number), _) => Verdict::Proposed(number),
                    (None, Some(_)) => Verdict::Clear,
                    (None, None) => Verdict::Hidden,
                };
                ghosts.push(Ghost { lamp: *lamp, centre: spot.centre, band: place.band, verdict });
            }
        }
    }
    ghosts
}

/// Whether two lamps are a pair of sidelights, one for each side.
fn is_pair(one: Role, other: Role) -> bool {
    matches!(
        (one, other),
        (Role::StarboardSidelight, Role::PortSidelight) | (Role::PortSidelight, Role::StarboardSidelight)
    )
}
