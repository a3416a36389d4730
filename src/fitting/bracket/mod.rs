//! The bracket of one lamp: what to cut, fold and drill, how it is fastened down, and what is wrong with it.
//!
//! Takes a scene, a fit and a lamp of it whose `bracket` field says what is wanted. How high the bracket is and how far
//! it is folded follow from the lamp's place and the deck below, so that the lamp's face comes out where the scene says.
//! Where it cannot be made so, it gives findings and no piece to cut. Must never draw.

pub mod fold;
mod forms;
pub mod holes;
pub mod outline;
pub mod plate;
mod sheet;

use std::fmt;

use glam::DVec2;

pub use fold::Fold;
pub use holes::{Hole, Purpose};
pub use outline::Stroke;
pub use plate::{Flange, Plate};

use super::{Finding, fasteners::Joint};
use crate::{
    boat::{
        Fit, Holding, Lamp, Pose, PosedLamp, Scene,
        bracket::{Fixing, Screws, Standing},
        shape::Shape,
    },
    fitting::fasteners::{Piece as Part, galvanic},
};

/// A bracket worked out.
#[derive(Clone, Debug)]
pub struct Bracket {
    pub boat: String,
    pub fit: String,
    pub lamp: String,
    /// What it is, such as "L of 1.5 mm 5052-H32".
    pub title: String,
    /// What is to be cut, in millimetres; empty where the shape has a fault.
    pub pieces: Vec<Piece>,
    /// How a folded plate stands and folds; `None` for other forms, and where it cannot be told.
    pub folded: Option<(Standing, Plate)>,
    /// The folded bracket seen along its fold, where it is drawn.
    pub profile: Option<Profile>,
    /// What goes through bracket and deck; `None` for a socket.
    pub joint: Option<Joint>,
    /// Figures in words, each under its name.
    pub facts: Vec<(&'static str, String)>,
    /// What to do and to look out for.
    pub notes: Vec<String>,
    pub findings: Vec<Finding>,
    solids: Vec<Shape>,
}

/// Something flat to be cut out or drawn, in millimetres, y up.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    pub name: String,
    /// Closed, anticlockwise.
    pub outline: Vec<Stroke>,
    /// Closed, inside the outline, besides the holes.
    pub inner: Vec<Stroke>,
    pub folds: Vec<FoldMark>,
    pub holes: Vec<Hole>,
    /// Words at places, such as the thickness of a corner.
    pub marks: Vec<(DVec2, String)>,
    /// The middle line that holes are measured from, and the upper edge they are measured down from.
    pub datum: DVec2,
}

impl Piece {
    fn plain(name: &str, outline: Vec<Stroke>, holes: Vec<Hole>) -> Self {
        let (_, high) = outline::bounds(&outline);
        let datum = DVec2::new(0.0, high.y);
        Self { name: name.into(), outline, inner: Vec::new(), folds: Vec::new(), holes, marks: Vec::new(), datum }
    }
}

/// A fold of a flat piece.
#[derive(Clone, Debug, PartialEq)]
pub struct FoldMark {
    /// Where it begins, its middle, and where it ends, each from left to right.
    pub lines: [[DVec2; 2]; 3],
    /// How far each of these lies from the free edge, square to it.
    pub from_edge: [f64; 3],
    /// The flat part that it bends, such as "foot".
    pub part: &'static str,
    /// How far it is bent out of flat, degrees.
    pub degrees: f64,
    /// Whether it is bent toward whoever looks at the drawing.
    pub toward: bool,
}

/// The bracket seen along its fold, to the right the lamp's side, millimetres from the lamp side of the upright.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    /// A closed line.
    pub outline: Vec<DVec2>,
    /// The middle of the lamp's face.
    pub lamp: DVec2,
    /// The middle of where the lamp is screwed on.
    pub held: DVec2,
    /// The top of what it stands on.
    pub seat: [DVec2; 2],
}

/// Why there is no bracket to work out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoBracket {
    /// The fit has no lamp of this index.
    NoSuchLamp,
    /// The lamp, by name, has no `bracket` field.
    NotAsked(String),
}

impl fmt::Display for NoBracket {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoSuchLamp => write!(out, "the fit has no such lamp"),
            Self::NotAsked(lamp) => write!(
                out,
                "nothing is said of the bracket of \"{lamp}\"; add `bracket: Folded(form: L)` to the lamp in the scene"
            ),
        }
    }
}

impl std::error::Error for NoBracket {}

/// What a form of bracket is worked out from.
struct Job<'a> {
    scene: &'a Scene,
    lamp: &'a Lamp,
    posed: &'a PosedLamp,
}

/// What a form of bracket comes to.
#[derive(Default)]
struct Made {
    title: String,
    pieces: Vec<Piece>,
    folded: Option<(Standing, Plate)>,
    profile: Option<Profile>,
    joint: Option<Joint>,
    facts: Vec<(&'static str, String)>,
    notes: Vec<String>,
    /// Of the shape: with a fault among them nothing is cut.
    shape: Vec<Finding>,
    /// Of what it is fastened with, and of its metals.
    fixing: Vec<Finding>,
}

/// The bracket of a lamp, by its index in the fit.
///
/// # Errors
/// When there is no such lamp, or its scene says nothing of a bracket.
pub fn for_lamp(scene: &Scene, fit: &Fit, lamp: usize) -> Result<Bracket, NoBracket> {
    let lamp = fit.lamps.get(lamp).ok_or(NoBracket::NoSuchLamp)?;
    let holding = lamp.bracket.as_ref().ok_or_else(|| NoBracket::NotAsked(lamp.name.clone()))?;
    let posed = scene.posed_lamp(lamp, &Pose::default());
    let job = Job { scene, lamp, posed: &posed };
    let made = match (holding, holding.suits(lamp)) {
        (_, Err(need)) => {
            let what = format!("such a bracket cannot hold \"{}\"", lamp.name);
            Made { title: "No bracket".into(), shape: vec![Finding::fault("mount", what, need)], ..Made::default() }
        }
        (Holding::Folded(plate), _) => sheet::folded(&job, plate),
        (Holding::Wedge(wedge), _) => forms::wedge(&job, wedge),
        (Holding::Socket(socket), _) => forms::socket(&job, socket),
        (Holding::Pad(pad), _) => forms::pad(&job, pad),
    };
    let solids = holding.solids(scene, lamp, &posed, &Pose::default());
    Ok(made.bracket(scene, fit, lamp, solids))
}

impl Made {
    fn bracket(self, scene: &Scene, fit: &Fit, lamp: &Lamp, solids: Vec<Shape>) -> Bracket {
        let faulty = self.shape.iter().any(Finding::is_fault);
        let mut findings: Vec<Finding> = self.shape.into_iter().chain(self.fixing).collect();
        // The worst first, in the order in which they were found.
        findings.sort_by_key(|finding| std::cmp::Reverse(finding.severity));
        // Sizes of what cannot be made so would only mislead.
        let sized = |name: &str| ["fold", "flat", "trim", "corners"].contains(&name);
        let facts = self.facts.into_iter().filter(|(name, _)| !faulty || !sized(name)).collect();
        Bracket {
            boat: scene.name.clone(),
            fit: fit.name.clone(),
            lamp: lamp.name.clone(),
            title: self.title,
            pieces: if faulty { Vec::new() } else { self.pieces },
            folded: self.folded,
            profile: self.profile.filter(|_| !faulty),
            joint: self.joint,
            facts,
            notes: self.notes,
            findings,
            solids,
        }
    }
}

impl Bracket {
    /// Whether any finding is a fault.
    pub fn is_faulty(&self) -> bool {
        self.findings.iter().any(Finding::is_fault)
    }

    /// Its solids in the vessel frame, metres: those that stand in the lamp's light, and that the night draws.
    pub fn shapes(&self) -> &[Shape] {
        &self.solids
    }
}

/// What the metals of a bracket, its fasteners and its deck do to one another.
fn metals(bracket: (&str, &str), fixing: &Fixing, screws: &Screws) -> Vec<Finding> {
    let part = |name, material, small| Part { name, material, small };
    let plate = part(bracket.0, bracket.1, false);
    let deck = part("deck", &fixing.deck.material, false);
    let fasteners = part("fasteners", fixing.metal(), true);
    let screws = part("lamp screws", &screws.metal, true);
    galvanic(&[[plate, fasteners], [fasteners, deck], [plate, screws], [plate, deck]])
}

/// What holds for whatever is cut from sheet or plate.
fn common_notes() -> Vec<String> {
    vec![
        "Print at 100 percent and measure the check bar before marking out.".into(),
        "Measure the lamp's own screws and cable before drilling.".into(),
        "Deburr every hole and edge, on both sides.".into(),
    ]
}
