//! How values, and whole new lamps and parts, are spelt in a scene file.
//!
//! Takes the values; gives words, leaving out what goes without saying. Must never know the text that they go into.

use glam::DVec3;

use super::{
    body::Written,
    pen::{Layout, number, text},
};
use crate::{
    boat::{
        Along, Bright, Face, Form, Height, Joint, Lamp, Mount, Part, PartKind, Place, Posture, Status, Vessel,
        read::{MeshOffer, usually_lit},
    },
    edit::figure::Figure,
    light::{Colour, preset},
};

/// A field with its value.
type Field = (&'static str, String);

pub fn metres(value: f64) -> String {
    number(value, Figure::Length.places())
}

fn degrees(value: f64) -> String {
    number(value, Figure::Yaw.places())
}

/// The word for a side and the distance that goes with it; `None` on the centreline.
pub fn side(starboard: f64) -> Option<(&'static str, f64)> {
    let off = starboard.abs();
    (metres(off) != "0").then_some((if starboard > 0.0 { "starboard" } else { "port" }, off))
}

/// The word for the level a height is measured from, and the height.
pub fn level(height: Height) -> (&'static str, f64) {
    match height {
        Height::AboveDeck(up) => ("above_deck", up),
        Height::AboveGunwale(up) => ("above_gunwale", up),
        Height::AboveWaterline(up) => ("above_waterline", up),
    }
}

pub fn place(place: &Place) -> String {
    let mut fields = vec![("forward", metres(place.forward))];
    fields.extend(side(place.starboard).map(|(word, off)| (word, metres(off))));
    let (word, up) = level(place.height);
    if (word, metres(up).as_str()) != ("above_deck", "0") {
        fields.push((word, metres(up)));
    }
    grouped(&fields)
}

fn named((name, value): &Field) -> String {
    format!("{name}: {value}")
}

fn grouped(fields: &[Field]) -> String {
    format!("({})", fields.iter().map(named).collect::<Vec<_>>().join(", "))
}

pub fn list(words: impl IntoIterator<Item = String>) -> String {
    format!("[{}]", words.into_iter().collect::<Vec<_>>().join(", "))
}

pub fn statuses(lit: &[Status]) -> Vec<String> {
    lit.iter().map(|status| status.name().into()).collect()
}

pub fn postures(postures: &[Posture]) -> Vec<String> {
    let word = |posture: &Posture| match posture {
        Posture::Seated => "Seated".into(),
        Posture::Standing => "Standing".into(),
    };
    postures.iter().map(word).collect()
}

pub fn along(along: Along) -> &'static str {
    match along {
        Along::Centreline => "Centreline",
        Along::Gunwale => "Gunwale",
    }
}

pub fn mount(mount: &Mount) -> String {
    match mount {
        Mount::Bracket(Along::Centreline) => "Bracket".into(),
        Mount::FlatOnDeck(Along::Centreline) => "FlatOnDeck".into(),
        Mount::Bracket(line) => format!("Bracket(along: {})", along(*line)),
        Mount::FlatOnDeck(line) => format!("FlatOnDeck(along: {})", along(*line)),
        Mount::Flush => "Flush".into(),
        Mount::Pole(part) => format!("Pole({})", text(part)),
        Mount::Outboard(part) => format!("Outboard({})", text(part)),
    }
}

pub fn form(form: Form) -> &'static str {
    match form {
        Form::Column => "Column",
        Form::Globe => "Globe",
    }
}

pub fn bright(bright: Bright) -> &'static str {
    match bright {
        Bright::Even => "Even",
        Bright::Middle => "Middle",
    }
}

/// The face of a lamp whose file says nothing of it.
pub const USUAL_FACE: Face = Face::column(0.03, 0.03);

pub fn face(face: &Face) -> String {
    let mut fields = vec![("width", number(face.width, 4)), ("height", number(face.height, 4))];
    if face.form != USUAL_FACE.form {
        fields.push(("form", form(face.form).into()));
    }
    if face.bright != USUAL_FACE.bright {
        fields.push(("bright", bright(face.bright).into()));
    }
    grouped(&fields)
}

/// A whole lamp; `None` where its optics are none of the library's or it has a bracket or a draw of its own, which only a
/// file can tell.
pub fn lamp(lamp: &Lamp, vessel: &Vessel, layout: Option<Layout>) -> Option<Written> {
    preset(&lamp.optics.name)
        .filter(|known| *known == lamp.optics && lamp.bracket.is_none() && lamp.takes.is_none())?;
    let mut fields = vec![("name", text(&lamp.name)), ("role", lamp.role.name().into())];
    fields.extend(lamp.at.as_ref().map(|at| ("at", place(at))));
    let first_line = fields.len();
    fields.push(("mount", mount(&lamp.mount)));
    let turns = [("yaw", lamp.yaw), ("tilt", lamp.tilt), ("roll", lamp.roll)];
    fields.extend(turns.iter().map(|(name, turn)| (*name, degrees(turn.0))).filter(|(_, turn)| turn != "0"));
    fields.push(("optics", text(&lamp.optics.name)));
    if lamp.face != USUAL_FACE {
        fields.push(("face", face(&lamp.face)));
    }
    if usually_lit(lamp.role, vessel).as_ref() != Some(&lamp.lit) {
        fields.push(("lit", list(statuses(&lamp.lit))));
    }
    if !lamp.chromaticity.is_empty() {
        let measured = lamp.chromaticity.iter().map(|one| {
            let (x, y) = (number(one.x, 4), number(one.y, 4));
            grouped(&[("colour", colour(one.colour).into()), ("x", x), ("y", y)])
        });
        fields.push(("chromaticity", list(measured)));
    }
    Some(laid_out("Lamp", &fields, first_line, layout.unwrap_or(Layout::Broken)))
}

fn colour(colour: Colour) -> &'static str {
    match colour {
        Colour::Red => "Red",
        Colour::Green => "Green",
        Colour::White => "White",
        Colour::Yellow => "Yellow",
    }
}

fn laid_out(head: &str, fields: &[Field], first_line: usize, layout: Layout) -> Written {
    let words = |fields: &[Field]| fields.iter().map(named).collect::<Vec<_>>().join(", ");
    let lines = match layout {
        Layout::OneLine => vec![format!("{head}({})", words(fields))],
        Layout::Broken => {
            let (first, second) = fields.split_at(first_line.min(fields.len()));
            vec![format!("{head}({},", words(first)), format!("{})", words(second))]
        }
        Layout::LineForEach => {
            let inner = fields.iter().map(|field| format!("{},", named(field)));
            std::iter::once(format!("{head}(")).chain(inner).chain([")".into()]).collect()
        }
    };
    Written::Lines(lines)
}

/// A whole part; `None` for a mesh, which is told by its file.
pub fn part(part: &Part, layout: Option<Layout>) -> Option<Written> {
    let (head, mut fields) = kind(&part.kind)?;
    fields.insert(0, ("name", text(&part.name)));
    let layout = layout.filter(|layout| *layout != Layout::Broken).unwrap_or(Layout::OneLine);
    Some(laid_out(head, &fields, 0, layout))
}

/// A whole mesh, by its file.
pub fn mesh(mesh: &MeshOffer, layout: Option<Layout>) -> Written {
    let mut fields = vec![("name", text(&mesh.name)), ("file", text(&mesh.file))];
    fields.extend(
        [("unit", mesh.unit), ("up", mesh.up), ("forward", mesh.forward)].map(|(name, word)| (name, text(word))),
    );
    fields.push(at(&mesh.at));
    if mesh.as_hull {
        fields.push(("as_hull", "true".into()));
    }
    let layout = layout.filter(|layout| *layout != Layout::Broken).unwrap_or(Layout::OneLine);
    laid_out("Mesh", &fields, 0, layout)
}

fn size(name: &'static str, value: f64) -> Field {
    (name, metres(value))
}

fn thin(name: &'static str, value: f64) -> Field {
    (name, number(value, Figure::Diameter.places()))
}

fn at(place: &Place) -> Field {
    ("at", self::place(place))
}

/// A field with an angle, unless it is nought.
fn turn(name: &'static str, angle: f64) -> Option<Field> {
    Some((name, degrees(angle))).filter(|(_, angle)| angle != "0")
}

/// A field with a joint, unless it is fixed and straight.
fn joint(name: &'static str, joint: &Joint, usual_least: f64) -> Option<Field> {
    let mut fields = vec![("now", degrees(joint.now)), ("most", degrees(joint.most))];
    if joint.least != usual_least {
        fields.insert(1, ("least", degrees(joint.least)));
    }
    (*joint != Joint::default()).then(|| (name, grouped(&fields)))
}

fn cowling(size: DVec3) -> Field {
    let fields = [("length", metres(size.x)), ("width", metres(size.y)), ("height", metres(size.z))];
    ("cowling", grouped(&fields))
}

/// The word a part begins with, and its fields but for the name.
fn kind(kind: &PartKind) -> Option<(&'static str, Vec<Field>)> {
    use PartKind as Kind;
    let block = |place: &Place, length: &f64, width: &f64, height: &f64| {
        vec![at(place), size("length", *length), size("width", *width), size("height", *height)]
    };
    let bar = |place: &Place, height: &f64, diameter: &f64| {
        vec![at(place), size("height", *height), thin("diameter", *diameter)]
    };
    Some(match kind {
        Kind::Stanchion { at, height, diameter } => ("Stanchion", bar(at, height, diameter)),
        Kind::Cylinder { at, height, diameter } => ("Cylinder", bar(at, height, diameter)),
        Kind::Rail { through, diameter } => {
            ("Rail", vec![thin("diameter", *diameter), ("through", list(through.iter().map(place)))])
        }
        Kind::Cabin { at, length, width, height } => ("Cabin", block(at, length, width, height)),
        Kind::Box { at, length, width, height, yaw } => {
            ("Box", block(at, length, width, height).into_iter().chain(turn("yaw", yaw.0)).collect())
        }
        Kind::Windscreen { at: foot, width, height, rake, transmits } => {
            let mut fields = vec![at(foot), size("width", *width), size("height", *height)];
            fields.extend(turn("rake", rake.0));
            fields.push(("transmits", number(*transmits, Figure::Transmits.places())));
            ("Windscreen", fields)
        }
        Kind::Outboard { at: clamp, cowling: over, leg, steering, tilt } => {
            let mut fields = vec![at(clamp), cowling(*over), size("leg", *leg)];
            fields.extend(joint("steering", steering, -steering.most));
            fields.extend(joint("tilt", tilt, 0.0));
            ("Outboard", fields)
        }
        Kind::Mast { at, height, diameter, fold } => {
            ("Mast", bar(at, height, diameter).into_iter().chain(joint("fold", fold, 0.0)).collect())
        }
        Kind::Antenna { at, height, diameter, lean } => {
            ("Antenna", bar(at, height, diameter).into_iter().chain(turn("lean", lean.0)).collect())
        }
        Kind::Arch { at: foot, width, height, diameter } => {
            let fields = vec![at(foot), size("width", *width), size("height", *height), thin("diameter", *diameter)];
            ("Arch", fields)
        }
        Kind::Person { at: feet, height, postures: both } => {
            ("Person", vec![at(feet), size("height", *height), ("posture", list(postures(both)))])
        }
        Kind::Fender { at: head, length, diameter } => {
            ("Fender", vec![at(head), size("length", *length), thin("diameter", *diameter)])
        }
        Kind::Screen { at: foot, length, height, thickness } => {
            let mut fields = vec![at(foot), size("length", *length), size("height", *height)];
            fields.push(thin("thickness", *thickness));
            ("Screen", fields)
        }
        Kind::Capsule { from, to, diameter } => {
            ("Capsule", vec![("from", place(from)), ("to", place(to)), thin("diameter", *diameter)])
        }
        Kind::Mesh { .. } => return None,
    })
}
