//! Turns the tree of a scene file into the boat: vessel, conditions, fits and their lamps.
//!
//! Takes a tree; gives a [`Draft`] of all that could be read and adds a fault for each thing that could not. To add a
//! field, add a line where its struct is filled. Must never look at how the pieces stand to one another.

use std::sync::Arc;

use super::{
    bracket::bracket,
    fault::Span,
    fields::{Desk, Fields, bare, choice_names, filled, found, list, name, nearest, text, word, yes_or_no},
    lamp_file::{colour_of_file, measured_optics},
    limits::{
        beam, bulwark, camber, chromatic, depth, distance, eye, face_size, far, flare, freeboard, heel, near, sheer,
        steering, swell, top_speed, transom, trim, turn, vessel_length, visibility,
    },
    parts::{PartDraft, part},
    supply::supplied,
    switches::{SwitchDraft, switch},
    text::{Node, Value},
    wiring::{WiringDraft, takes, wiring},
};
use crate::{
    boat::{
        Along, Bright, Conditions, Face, Fit, Form, Height, HullForm, Lamp, Measured, Mount, Part, PartKind, Place,
        Propulsion, Role, Scene, Status, Switch, Vessel,
    },
    light::{Chromaticity, Colour, Colours, Optics, library, preset},
    measure::{Degrees, Metres, trimmed},
};

/// All of a scene that could be read, with the nodes it was read from. What had a fault is `None`.
pub(super) struct Draft<'n> {
    pub name: Option<String>,
    pub note: Option<String>,
    pub vessel: Option<Vessel>,
    pub vessel_node: &'n Node,
    pub conditions: Option<Conditions>,
    pub conditions_node: Option<&'n Node>,
    pub parts: Vec<PartDraft<'n>>,
    pub helm: Option<String>,
    pub helm_node: Option<&'n Node>,
    pub fits: Vec<FitDraft<'n>>,
}

pub(super) struct FitDraft<'n> {
    pub node: &'n Node,
    pub name: Option<String>,
    pub note: Option<String>,
    pub lamps: Vec<LampDraft<'n>>,
    pub switches: Vec<SwitchDraft<'n>>,
    pub switches_node: Option<&'n Node>,
    /// `None` where nothing is said.
    pub wiring: Option<WiringDraft<'n>>,
}

pub(super) struct LampDraft<'n> {
    pub node: &'n Node,
    pub name: Option<String>,
    /// Known even where the rest of the lamp has a fault.
    pub mount: Option<Mount>,
    pub lamp: Option<Lamp>,
}

impl Draft<'_> {
    /// The whole scene; `None` when any of it had a fault.
    pub fn scene(self) -> Option<Scene> {
        let parts = self.parts.into_iter().map(|part| part.part).collect::<Option<Vec<Part>>>()?;
        let fits = self.fits.into_iter().map(FitDraft::fit).collect::<Option<Vec<Fit>>>()?;
        Some(Scene {
            name: self.name?,
            note: self.note?,
            vessel: self.vessel?,
            conditions: self.conditions?,
            parts,
            helm: self.helm,
            fits,
        })
    }
}

impl FitDraft<'_> {
    fn fit(self) -> Option<Fit> {
        let switches =
            self.switches.iter().map(|switch| switch.switch(&self.lamps)).collect::<Option<Vec<Switch>>>()?;
        let lamps = self.lamps.into_iter().map(|lamp| lamp.lamp).collect::<Option<Vec<Lamp>>>()?;
        let wiring = match self.wiring {
            Some(draft) => Some(Box::new(draft.wiring?)),
            None => None,
        };
        Some(Fit { name: self.name?, note: self.note?, lamps, switches, wiring })
    }
}

/// Reads a whole scene. `None` when the file holds no scene at all.
pub(super) fn scene<'n>(root: &'n Node, desk: &mut Desk) -> Option<Draft<'n>> {
    let mut fields = Fields::open(root, "Scene", desk)?;
    let name = fields.need("name", name, desk);
    let note = fields.or("note", text, String::new(), desk);
    let vessel = fields.need("vessel", vessel, desk);
    desk.vessel.clone_from(&vessel);
    let conditions_node = fields.node("conditions");
    let mut conditions = conditions_node.map_or_else(|| Some(Conditions::default()), |node| conditions(node, desk));
    let parts: Vec<_> = items(fields.node("parts"), "parts", desk).iter().map(|node| part(node, desk)).collect();
    if let (Some(conditions), false) = (&mut conditions, says_steering(conditions_node)) {
        conditions.steering = usual_steering(&parts);
    }
    let helm_node = fields.node("helm");
    let helm = helm_node.and_then(|node| self::name(node, desk));
    let fits = fits(&mut fields, root, desk);
    let vessel_node = fields.node("vessel").unwrap_or(root);
    fields.finish(desk);
    Some(Draft { name, note, vessel, vessel_node, conditions, conditions_node, parts, helm, helm_node, fits })
}

fn says_steering(conditions: Option<&Node>) -> bool {
    let given = conditions.and_then(|node| bare(node).field("steering"));
    given.is_some_and(|node| node.value != Value::Optional(None))
}

/// What the joints of all her outboards allow to either side; none where one is fixed, or she has none.
fn usual_steering(parts: &[PartDraft]) -> Degrees {
    let kinds = parts.iter().filter_map(|draft| draft.part.as_ref()).map(|part| &part.kind);
    let limits = kinds.filter_map(|kind| match kind {
        PartKind::Outboard { steering, .. } => Some(steering.most.min(-steering.least).max(0.0)),
        _ => None,
    });
    Degrees(limits.min_by(f64::total_cmp).unwrap_or(0.0))
}

fn fits<'n>(fields: &mut Fields<'n>, root: &Node, desk: &mut Desk) -> Vec<FitDraft<'n>> {
    let node = fields.node("fits");
    let fits: Vec<_> = items(node, "fits", desk).iter().map(|node| fit(node, desk)).collect();
    let none_written = node.is_none_or(|node| matches!(&node.value, Value::List(items) if items.is_empty()));
    if none_written && !root.damaged {
        let span = node.map_or(root.head_span(), |node| node.span);
        let mend = "add `fits: [Fit(name: \"as found\", lamps: [...])]`";
        desk.fault(span, "the scene has no fit, so there is nothing to look at", mend);
    }
    fits
}

/// The items of a list that may be left out.
fn items<'n>(node: Option<&'n Node>, what: &str, desk: &mut Desk) -> &'n [Node] {
    match node.map(|node| (node, &node.value)) {
        None => &[],
        Some((_, Value::List(items))) => items,
        Some((node, _)) => {
            desk.wrong(node, &format!("a list of {what}"), "put them in square brackets: `[..., ...]`");
            &[]
        }
    }
}

fn vessel(node: &Node, desk: &mut Desk) -> Option<Vessel> {
    let fields = Fields::open(node, "Vessel", desk)?;
    let [beam_span, depth_span] = ["beam", "depth"].map(|name| fields.span(name));
    let mut vessel = filled!(fields, desk, Vessel {
        length: vessel_length,
        beam: beam,
        freeboard: freeboard,
        depth: depth,
        propulsion: propulsion,
        also: means; or Vec::new(),
        top_speed: top_speed,
        high_speed: yes_or_no; or false,
        statuses: uses; or Vec::new(),
        hull: hull; or HullForm::default(),
    })?;
    if vessel.beam > vessel.length {
        let what = format!("her beam of {} exceeds her length of {}", vessel.beam, vessel.length);
        desk.fault(beam_span, what, "look whether the two are exchanged");
        return None;
    }
    if vessel.depth < vessel.freeboard {
        let what = format!("her depth of {} is less than her freeboard of {}", vessel.depth, vessel.freeboard);
        desk.fault(depth_span, what, "depth is measured from the gunwale down to the keel, freeboard included");
        return None;
    }
    vessel.statuses = plain(std::mem::take(&mut vessel.statuses), vessel.propulsion);
    if vessel.statuses.is_empty() {
        vessel.statuses = Vessel::usual_statuses(vessel.propulsion, &vessel.also);
    }
    Some(vessel)
}

/// Statuses as scenes keep them, each once.
pub(super) fn plain(statuses: Vec<Status>, propulsion: Propulsion) -> Vec<Status> {
    let mut kept: Vec<Status> = Vec::new();
    for status in statuses.into_iter().map(|status| status.plain(propulsion)) {
        if !kept.contains(&status) {
            kept.push(status);
        }
    }
    kept
}

/// What she does in use: at least one status where it is said at all.
fn uses(node: &Node, desk: &mut Desk) -> Option<Vec<Status>> {
    let uses = statuses(node, desk)?;
    if uses.is_empty() {
        let mend = "leave `statuses` out for under way and at anchor, or name what she does";
        desk.fault(node.span, "she is said to do nothing at all", mend);
        return None;
    }
    Some(uses)
}

fn means(node: &Node, desk: &mut Desk) -> Option<Vec<Propulsion>> {
    list(node, desk, "ways to move", propulsion)
}

fn propulsion(node: &Node, desk: &mut Desk) -> Option<Propulsion> {
    let choice = [("Power", Propulsion::Power), ("Sail", Propulsion::Sail), ("Oars", Propulsion::Oars)];
    word(node, desk, "propulsion", &choice)
}

fn hull(node: &Node, desk: &mut Desk) -> Option<HullForm> {
    let fields = Fields::open(node, "Hull", desk)?;
    let usual = HullForm::default();
    filled!(fields, desk, HullForm {
        sheer: sheer; or usual.sheer,
        flare: flare; or usual.flare,
        deck_camber: camber; or usual.deck_camber,
        bulwark: bulwark; or usual.bulwark,
        transom: transom; or usual.transom,
    })
}

fn conditions(node: &Node, desk: &mut Desk) -> Option<Conditions> {
    let fields = Fields::open(node, "Conditions", desk)?;
    let usual = Conditions::default();
    filled!(fields, desk, Conditions {
        visibility: visibility; or usual.visibility,
        eyes: eyes; or usual.eyes,
        near: near; or usual.near,
        far: far; or usual.far,
        trim: trim_range; or usual.trim,
        heel: heel; or usual.heel,
        steering: steering; or usual.steering,
        swell: swell; or usual.swell,
        waters: waters; or usual.waters,
    })
}

fn waters(node: &Node, desk: &mut Desk) -> Option<Vec<String>> {
    list(node, desk, "names of waters", name)
}

fn eyes(node: &Node, desk: &mut Desk) -> Option<Vec<Metres>> {
    let eyes = list(node, desk, "heights of eye", eye)?;
    if eyes.is_empty() {
        desk.fault(node.span, "there is no eye to look from", "give at least one height, such as `eyes: [2.0]`");
        return None;
    }
    Some(eyes)
}

fn trim_range(node: &Node, desk: &mut Desk) -> Option<(Degrees, Degrees)> {
    let mut fields = Fields::open(node, "Trim", desk)?;
    let span = fields.span("least");
    let least = fields.or("least", trim, Degrees(0.0), desk);
    let most = fields.need("most", trim, desk);
    fields.finish(desk);
    let (least, most) = (least?, most?);
    if least > most {
        desk.fault(span, format!("the least trim of {least} exceeds the most of {most}"), "exchange the two");
        return None;
    }
    Some((least, most))
}

fn fit<'n>(node: &'n Node, desk: &mut Desk) -> FitDraft<'n> {
    let mut draft = FitDraft {
        node,
        name: None,
        note: None,
        lamps: Vec::new(),
        switches: Vec::new(),
        switches_node: None,
        wiring: None,
    };
    if let Some(mut fields) = Fields::open(node, "Fit", desk) {
        draft.name = fields.need("name", name, desk);
        draft.note = fields.or("note", text, String::new(), desk);
        draft.lamps = items(fields.node("lamps"), "lamps", desk).iter().map(|node| lamp(node, desk)).collect();
        draft.switches_node = fields.node("switches");
        draft.switches = items(draft.switches_node, "switches", desk).iter().map(|node| switch(node, desk)).collect();
        draft.wiring = fields.node("wiring").map(|node| wiring(node, desk));
        fields.finish(desk);
    }
    draft
}

fn lamp<'n>(node: &'n Node, desk: &mut Desk) -> LampDraft<'n> {
    let mut draft = LampDraft { node, name: None, mount: None, lamp: None };
    if let Some(mut fields) = Fields::open(node, "Lamp", desk) {
        draft.name = fields.need("name", name, desk);
        draft.mount = fields.need("mount", mount, desk);
        draft.lamp = whole_lamp(fields, &draft, desk);
    }
    draft
}

/// The lamp of a draft whose name and mount have been read.
fn whole_lamp(mut fields: Fields, draft: &LampDraft, desk: &mut Desk) -> Option<Lamp> {
    let role = fields.need("role", role, desk);
    let at = lamp_place(&mut fields, draft.node, draft.mount.as_ref(), desk);
    let [yaw, tilt, roll] = ["yaw", "tilt", "roll"].map(|name| fields.or(name, turn, Degrees(0.0), desk));
    let face = fields.or("face", face, Face::column(0.03, 0.03), desk);
    let optics = fields.need("optics", optics, desk);
    let optics = supplied(optics, fields.node("supply"), desk);
    let chromaticity = match fields.node("chromaticity") {
        Some(node) => measurements(node, optics.as_deref(), desk),
        None => Some(optics.as_deref().and_then(colour_of_file).into_iter().collect()),
    };
    let lit = lit(&mut fields, draft.node, role, desk);
    let bracket = bracket(fields.node("bracket"), desk);
    let takes = takes(fields.node("takes"), desk);
    fields.finish(desk);
    let propulsion = desk.vessel.as_ref().map_or(Propulsion::Power, |vessel| vessel.propulsion);
    Some(Lamp {
        name: draft.name.clone()?,
        role: role?,
        at: at?,
        mount: draft.mount.clone()?,
        yaw: yaw?,
        tilt: tilt?,
        roll: roll?,
        face: face?,
        optics: optics?,
        lit: plain(lit?, propulsion),
        chromaticity: chromaticity?,
        bracket: bracket?,
        takes: takes?,
    })
}

/// When a lamp is switched on. Roles that go with no one status must say.
fn lit(fields: &mut Fields, node: &Node, role: Option<Role>, desk: &mut Desk) -> Option<Vec<Status>> {
    if let Some(given) = fields.node("lit") {
        return desk.in_field("lit", |desk| statuses(given, desk));
    }
    let role = role?;
    let usual = usually_lit(role, desk.vessel.as_ref());
    if let (Err(example), false) = (usual.as_ref(), node.damaged) {
        let (first, last) = (Status::ALL.first()?.name(), Status::ALL.last()?.name());
        let what = format!("nothing tells when the {} is lit", role.in_words());
        let mend = format!(
            "say when it is lit, such as `lit: [{}]`; the words are those of Rules 23 to 31, from `{first}` to `{last}`",
            example.name()
        );
        desk.fault(node.head_span(), what, mend);
    }
    usual.ok()
}

/// When a lamp of this role is switched on, unless the file says otherwise; a status it might be lit in where there is
/// nothing usual.
pub(super) fn usually_lit(role: Role, vessel: Option<&Vessel>) -> Result<Vec<Status>, Status> {
    let engine = vessel.is_none_or(|vessel| vessel.propulsion == Propulsion::Power);
    let sails = vessel.is_some_and(|vessel| vessel.moves_by(Propulsion::Sail));
    match role {
        Role::AllRoundWhite if engine => Ok(vec![Status::UnderWay, Status::AtAnchor]),
        Role::AllRoundWhite => Ok(vec![Status::AtAnchor]),
        Role::Masthead => Ok(vec![Status::UnderEngine]),
        Role::ThreeColourLantern if sails => Ok(vec![Status::UnderSail]),
        Role::ThreeColourLantern => Ok(vec![Status::UnderWay]),
        Role::StarboardSidelight | Role::PortSidelight | Role::CombinedSidelights | Role::Sternlight => {
            Ok(under_way_by_all_means(vessel))
        }
        Role::TowingLight => Err(Status::Towing),
        Role::AllRoundRed => Err(Status::NotUnderCommand),
        Role::AllRoundGreen => Err(Status::Trawling),
        Role::FlashingYellow => Err(Status::AirCushion),
        Role::SpecialFlashing => Err(Status::PushedAhead),
    }
}

fn under_way_by_all_means(vessel: Option<&Vessel>) -> Vec<Status> {
    let Some(vessel) = vessel else { return vec![Status::UnderWay] };
    let mut statuses = Vessel::usual_statuses(vessel.propulsion, &vessel.also);
    statuses.retain(|status| *status != Status::AtAnchor);
    statuses
}

/// The measured colours of a lamp, each of one of its beams and given once.
fn measurements(node: &Node, optics: Option<&Optics>, desk: &mut Desk) -> Option<Vec<Measured>> {
    let measured = list(node, desk, "measured colours", measured)?;
    let mut kept: Vec<Measured> = Vec::new();
    for (one, span) in &measured {
        let colour = one.colour;
        let beams = optics.map(|optics| optics.beams.iter().map(|beam| beam.colour).collect::<Colours>());
        if let (Some(optics), Some(beams)) = (optics, beams.filter(|beams| !beams.contains(colour))) {
            let mend = format!("measure what it shows: {}", beams.in_words());
            desk.fault(*span, format!("\"{}\" shows no {colour}", optics.name), mend);
        } else if let Some(told) = optics.filter(|optics| optics.chromaticity.is_some()) {
            let what = format!("\"{}\" tells the colour of its light itself", told.name);
            desk.fault(*span, what, "keep one of the two");
        } else if kept.iter().any(|earlier| earlier.colour == colour) {
            desk.fault(*span, format!("the {colour} of this lamp is given twice"), "keep one of the two");
        } else {
            kept.push(*one);
        }
    }
    (kept.len() == measured.len()).then_some(kept)
}

/// One measured colour, and where its word stands.
fn measured(node: &Node, desk: &mut Desk) -> Option<(Measured, Span)> {
    let mut fields = Fields::open(node, "Measured", desk)?;
    let colour = fields.need("colour", colour, desk);
    let [x, y] = ["x", "y"].map(|name| fields.need(name, chromatic, desk));
    let [colour_span, y_span] = ["colour", "y"].map(|name| fields.span(name));
    fields.finish(desk);
    let measured = Measured { colour: colour?, x: x?, y: y? };
    if !(Chromaticity { x: measured.x, y: measured.y }).lies_in_the_diagram() {
        let what =
            format!("x {} and y {} lie outside the colour diagram", trimmed(measured.x, 6), trimmed(measured.y, 6));
        desk.fault(y_span, what, "x and y are CIE 1931 coordinates; together they are at most 1");
        return None;
    }
    Some((measured, colour_span))
}

pub(super) fn colour(node: &Node, desk: &mut Desk) -> Option<Colour> {
    let choice = [("Red", Colour::Red), ("Green", Colour::Green), ("White", Colour::White), ("Yellow", Colour::Yellow)];
    word(node, desk, "colour", &choice)
}

/// The place of a lamp: needed, but where the mount decides it. The outer `None` is a fault.
#[allow(clippy::option_option)]
fn lamp_place(fields: &mut Fields, node: &Node, mount: Option<&Mount>, desk: &mut Desk) -> Option<Option<Place>> {
    let given = fields.node("at");
    match (mount, given) {
        (Some(Mount::Pole(pole)), Some(at)) => {
            let what = format!("a lamp on a pole has no place of its own: it stands on top of \"{pole}\"");
            desk.fault(at.head_span(), what, "leave `at` out, or choose another mount");
            None
        }
        (Some(Mount::Pole(_)) | None, None) => Some(None),
        (Some(_), None) if node.damaged => None,
        (Some(_), None) => {
            let mend = "add `at: (forward: ..., port: ..., above_deck: ...)`, the middle of its luminous face";
            desk.fault(node.head_span(), "`Lamp` lacks its field `at`", mend);
            None
        }
        (_, Some(at)) => place(at, desk).map(Some),
    }
}

fn role(node: &Node, desk: &mut Desk) -> Option<Role> {
    let choice: Vec<_> = Role::ALL.iter().map(|role| (role.name(), *role)).collect();
    word(node, desk, "role", &choice)
}

fn statuses(node: &Node, desk: &mut Desk) -> Option<Vec<Status>> {
    list(node, desk, "statuses", |node, desk| word(node, desk, "status", &status_words()))
}

fn status_words() -> Vec<(&'static str, Status)> {
    Status::ALL.iter().map(|status| (status.name(), *status)).collect()
}

fn mount(node: &Node, desk: &mut Desk) -> Option<Mount> {
    const MOUNTS: [&str; 5] = ["Bracket", "FlatOnDeck", "Flush", "Pole", "Outboard"];
    match (node.head(), &node.value) {
        (Some("Bracket"), _) => along(node, desk).map(Mount::Bracket),
        (Some("FlatOnDeck"), _) => along(node, desk).map(Mount::FlatOnDeck),
        (Some("Flush"), Value::Word(_)) => Some(Mount::Flush),
        (Some(kind @ ("Pole" | "Outboard")), Value::Tuple { items, .. }) if items.len() == 1 => {
            let part = name(items.first()?, desk)?;
            Some(if kind == "Pole" { Mount::Pole(part) } else { Mount::Outboard(part) })
        }
        (Some(kind @ ("Pole" | "Outboard")), _) => {
            let what = format!("`{kind}` does not say on which part the lamp sits");
            desk.fault(node.head_span(), what, format!("write `{kind}(\"name of the part\")`"));
            None
        }
        (Some("Flush"), _) => {
            desk.fault(node.head_span(), "`Flush` has no fields", "write `Flush` alone");
            None
        }
        _ => {
            let choice: Vec<_> = MOUNTS.iter().map(|mount| (*mount, ())).collect();
            word::<()>(&Node { value: headed(node), ..node.clone() }, desk, "mount", &choice)?;
            None
        }
    }
}

/// A mount that is not known, as the word it begins with.
fn headed(node: &Node) -> Value {
    node.head().map_or_else(|| node.value.clone(), |head| Value::Word(head.into()))
}

fn along(node: &Node, desk: &mut Desk) -> Option<Along> {
    let mut fields = Fields::opened(node, node.head().unwrap_or("mount"), desk)?;
    let along = fields.or("along", along_line, Along::Centreline, desk);
    fields.finish(desk);
    along
}

fn along_line(node: &Node, desk: &mut Desk) -> Option<Along> {
    word(node, desk, "line", &[("Centreline", Along::Centreline), ("Gunwale", Along::Gunwale)])
}

const FORMS: [(&str, Form); 2] = [("Column", Form::Column), ("Globe", Form::Globe)];

fn face(node: &Node, desk: &mut Desk) -> Option<Face> {
    if let Some(form) = bare(node).head().filter(|head| FORMS.iter().any(|(form, _)| form == head)) {
        let mend = format!("write `Face(width: 0.03, height: 0.03, form: {form})`");
        desk.fault(bare(node).head_span(), format!("expected `Face(...)`, found `{form}`"), mend);
        return None;
    }
    let fields = Fields::open(node, "Face", desk)?;
    filled!(
        fields,
        desk,
        Face { width: face_size, height: face_size, form: form; or Form::Column, bright: bright; or Bright::Even }
    )
}

fn form(node: &Node, desk: &mut Desk) -> Option<Form> {
    word(node, desk, "form of a luminous face", &FORMS)
}

fn bright(node: &Node, desk: &mut Desk) -> Option<Bright> {
    word(node, desk, "spread of brightness", &[("Even", Bright::Even), ("Middle", Bright::Middle)])
}

fn optics(node: &Node, desk: &mut Desk) -> Option<Arc<Optics>> {
    if node.head() == Some("Measured") {
        return measured_optics(node, desk);
    }
    let wanted = text(node, desk)?;
    let known = preset(&wanted);
    if known.is_none() {
        let what = format!("there is no lamp by the name of {}", found(node).replacen("the text ", "", 1));
        desk.fault(node.span, what, lamps_meant(&wanted));
    }
    known
}

/// Which lamps of the library a name may have meant. One of other figures is another lamp, and no spelling of it.
fn lamps_meant(wanted: &str) -> String {
    let figures =
        |name: &str| name.chars().filter(|letter| letter.is_ascii_digit() || *letter == '.').collect::<String>();
    let kind = |name: &str| name.split(|letter: char| letter.is_ascii_digit()).next().unwrap_or(name).trim().to_owned();
    let names: Vec<&str> = library().iter().map(|optics| optics.name.as_str()).collect();
    let kinds: Vec<String> = names.iter().map(|name| kind(name)).collect();
    let near = nearest(&kind(wanted), &kinds.iter().map(String::as_str).collect::<Vec<_>>()).map(String::from);
    let same: Vec<&str> = names.iter().copied().filter(|name| near.as_ref() == Some(&kind(name))).collect();
    if same.is_empty() || same.iter().any(|name| figures(name) == figures(wanted)) {
        return choice_names(wanted, &names, "the names are");
    }
    let marked: Vec<String> = same.iter().map(|name| format!("\"{name}\"")).collect();
    format!("of that kind there {} {}", if same.len() == 1 { "is" } else { "are" }, marked.join(" and "))
}

/// A place as a tape measures it.
pub(super) fn place(node: &Node, desk: &mut Desk) -> Option<Place> {
    let mut fields = Fields::open(node, "Place", desk)?;
    let forward = fields.need("forward", distance, desk);
    let starboard = side(&mut fields, desk);
    let height = height(&mut fields, desk);
    let spans = ["forward", "starboard", "port"].map(|name| fields.span(name));
    fields.finish(desk);
    let place = Place { forward: forward?, starboard: starboard?, height: height? };
    let Some(vessel) = &desk.vessel else { return Some(place) };
    let (length, half_beam) = (vessel.length.0, vessel.beam.0 / 2.0);
    if !(-5.0..=length + 5.0).contains(&place.forward) {
        let what =
            format!("{} m forward of the transom is far off a boat {} long", trimmed(place.forward, 3), vessel.length);
        let mend =
            format!("`forward` is measured from the transom; it must be from -5 to {}", trimmed(length + 5.0, 2));
        desk.fault(spans[0], what, mend);
        return None;
    }
    if place.starboard.abs() > half_beam + 3.0 {
        let span = if place.starboard > 0.0 { spans[1] } else { spans[2] };
        let off = trimmed(place.starboard.abs(), 3);
        let what = format!("{off} m off the centreline is far off a boat {} wide", vessel.beam);
        desk.fault(span, what, format!("measure from the centreline; at most {} m", trimmed(half_beam + 3.0, 2)));
        return None;
    }
    Some(place)
}

/// Metres to starboard, from one of two fields or neither.
fn side(fields: &mut Fields, desk: &mut Desk) -> Option<f64> {
    let (starboard, port) = (fields.node("starboard"), fields.node("port"));
    let (node, sign, side, other) = match (starboard, port) {
        (None, None) => return Some(0.0),
        (Some(node), None) => (node, 1.0, "starboard", "port"),
        (None, Some(node)) => (node, -1.0, "port", "starboard"),
        (Some(_), Some(node)) => {
            desk.fault(node.head_span(), "a place is either to starboard or to port", "keep one of the two");
            return None;
        }
    };
    let off = desk.in_field(side, |desk| distance(node, desk))?;
    if off < 0.0 {
        let mend = format!("write `{other}: {}`", trimmed(-off, 6));
        desk.fault(node.head_span(), "the side is told by the word, not by a sign", mend);
        return None;
    }
    Some(sign * off)
}

/// The height of a place, from one of three fields; on the deck without any.
fn height(fields: &mut Fields, desk: &mut Desk) -> Option<Height> {
    type Level = (&'static str, fn(f64) -> Height);
    let above: [Level; 3] = [
        ("above_deck", Height::AboveDeck),
        ("above_gunwale", Height::AboveGunwale),
        ("above_waterline", Height::AboveWaterline),
    ];
    let given: Vec<_> = above.iter().filter_map(|(name, make)| Some((fields.node(name)?, name, make))).collect();
    match given.as_slice() {
        [] => Some(Height::default()),
        [(node, name, make)] => {
            let up = desk.in_field(name, |desk| distance(node, desk))?;
            if !(-10.0..=40.0).contains(&up) {
                let what = format!("a height of {} m is far off the boat", trimmed(up, 3));
                desk.fault(node.head_span(), what, "it must be from -10 to 40 m");
                return None;
            }
            Some(make(up))
        }
        [_, (second, ..), ..] => {
            let mend = "keep one of `above_deck`, `above_gunwale` and `above_waterline`";
            desk.fault(second.head_span(), "the height is given from two levels", mend);
            None
        }
    }
}
