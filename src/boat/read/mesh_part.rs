//! The part of a scene file that is a mesh: its fields, the file that they name, and what both have to do with one
//! another.
//!
//! Must never look at how parts stand to lamps.

use std::{collections::HashSet, sync::Arc};

use glam::DVec3;

use super::{
    decode::place,
    fault::Span,
    fields::{Desk, Fields, choice_names, text, yes_or_no},
    limits::transmits,
    mesh_file::{self, MeshError, Setting, Told},
    shelf::Laying,
    text::{Node, Value},
};
use crate::{
    boat::{
        PartKind,
        mesh::{Piece, Surface},
    },
    measure::listed,
};

/// The share of light that a piece lets through, by its name and where that stands.
type Pane = (String, Span, f64);

pub(super) fn mesh(mut fields: Fields, desk: &mut Desk) -> Option<PartKind> {
    let file = fields.need("file", text, desk);
    let metres = fields.need("unit", mesh_file::unit, desk);
    let up = fields.need("up", mesh_file::axis, desk);
    let forward = fields.need("forward", mesh_file::axis, desk);
    let at = fields.need("at", place, desk);
    let as_hull = fields.or("as_hull", yes_or_no, false, desk);
    let panes = fields.or("panes", panes, Vec::new(), desk);
    let [file_span, forward_span] = ["file", "forward"].map(|name| fields.span(name));
    let head = fields.head();
    let lacking = fields.finish_but(&["unit", "up", "forward"], desk);
    let told = Told { metres, up, forward };
    let crossed = up.zip(forward).is_none_or(|(up, forward)| up.dot(forward).abs() < 0.5);
    if !crossed {
        desk.fault(forward_span, "`up` and `forward` lie along the same axis", "name two different axes of the file");
    }
    let (file, as_hull) = (file?, as_hull?);
    let read = match (desk.folder, desk.shelf) {
        (Some(folder), Some(shelf)) => shelf.mesh(&file, folder),
        (folder, _) => mesh_file::read(&file, folder),
    };
    if !lacking.is_empty() {
        desk.fault(head, lacks(&lacking), offer(read.as_ref().ok(), &file, &told, as_hull, &lacking, desk));
    }
    let mut surface = read.map_err(|MeshError { what, mend }| desk.fault(file_span, what, mend)).ok()?;
    let panes = panes?;
    let panes_sound = glaze(&mut surface, &panes, desk);
    let (metres, up, forward, at) = (metres?, up?, forward?, at?);
    if !crossed {
        return None;
    }
    let vessel = desk.vessel.as_ref();
    let origin = vessel.map_or(DVec3::ZERO, |vessel| vessel.locate(&at));
    let setting = Setting { metres, up, forward, origin };
    let laying = Laying {
        file: file.clone(),
        setting,
        as_hull,
        at,
        vessel: vessel.cloned(),
        panes: panes.into_iter().map(|(name, _, share)| (name, share)).collect(),
    };
    if let Some(surface) = desk.shelf.and_then(|shelf| shelf.laid(&laying)).filter(|_| panes_sound) {
        return Some(PartKind::Mesh { file, at, as_hull, surface });
    }
    let wrong = match vessel.filter(|_| as_hull) {
        Some(vessel) => mesh_file::as_hull(&surface, &setting, &file, vessel, &at),
        None => mesh_file::as_part(surface.bounds()?, &setting, &file, vessel),
    };
    if let Some(MeshError { what, mend }) = wrong {
        desk.fault(file_span, what, mend);
        return None;
    }
    panes_sound.then(|| {
        let surface = Arc::new(mesh_file::laid(surface, &setting));
        if let Some(shelf) = desk.shelf {
            shelf.keep_laid(laying, &surface);
        }
        PartKind::Mesh { file, at, as_hull, surface }
    })
}

fn lacks(names: &[&str]) -> String {
    let marked: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
    let marked: Vec<&str> = marked.iter().map(String::as_str).collect();
    format!("`Mesh` lacks its field{} {}", if names.len() == 1 { "" } else { "s" }, listed(&marked))
}

/// What to write for fields that lack, as far as the mesh tells.
fn offer(read: Option<&Surface>, file: &str, told: &Told, hull: bool, names: &[&str], desk: &Desk) -> String {
    let (Some(surface), Some(vessel)) = (read, &desk.vessel) else {
        let fields: Vec<String> = names.iter().map(|name| format!("`{name}: ...`")).collect();
        return format!("add {} to it", fields.join(", "));
    };
    let guess = mesh_file::guess(surface, file, vessel, told, hull);
    let from = if guess.by_shape { "its size and shape" } else { "its size and how such files mostly lie" };
    format!("add `{}` (a guess from {from}: look at it before trusting it)", guess.fields(names))
}

/// Names of pieces with the share of light each lets through, in curly brackets.
fn panes(node: &Node, desk: &mut Desk) -> Option<Vec<Pane>> {
    let pairs = match &node.value {
        Value::Map(pairs) => pairs,
        _ => {
            desk.wrong(node, "names of pieces with their shares", "write them as in `{\"windscreen\": 0.8}`");
            return None;
        }
    };
    let mut named = HashSet::new();
    let read = pairs.iter().map(|(name, share)| {
        let (name, share) = (text(name, desk).map(|text| (text, name.span)), transmits(share, desk));
        let (text, span) = name?;
        if !named.insert(text.clone()) {
            let what = format!("\"{}\" is among the panes already", text.escape_debug());
            desk.fault(span, what, "give each piece one share");
            return None;
        }
        Some((text, span, share?))
    });
    read.collect::<Vec<_>>().into_iter().collect()
}

/// Makes panes of the pieces that are said to be; whether all of them are there.
fn glaze(surface: &mut Surface, panes: &[Pane], desk: &mut Desk) -> bool {
    let mut sound = true;
    for (name, span, share) in panes {
        let found = piece_named(surface, name);
        match found.map(|found| surface.pieces.get_mut(found)) {
            Ok(Some(piece)) => piece.transmits = *share,
            Ok(None) => sound = false,
            Err((what, mend)) => {
                desk.fault(*span, what, mend);
                sound = false;
            }
        }
    }
    sound
}

/// The place of the piece of a name, at full length or as it is shown; or what is wrong with the name, and its mend.
fn piece_named(surface: &Surface, name: &str) -> Result<usize, (String, String)> {
    let pieces = || surface.pieces.iter();
    if let Some(found) = pieces().position(|piece| piece.full_name.as_deref() == Some(name)) {
        return Ok(found);
    }
    let shown = |piece: &Piece| piece.name.as_deref() == Some(name);
    match pieces().filter(|piece| shown(piece)).count() {
        1 => Ok(pieces().position(shown).unwrap_or_default()),
        0 => {
            let names: Vec<&str> = pieces().filter_map(|piece| piece.name.as_deref()).collect();
            Err((format!("the mesh has no piece named \"{}\"", name.escape_debug()), pieces_meant(name, &names)))
        }
        count => {
            let what = format!("{count} pieces of the mesh are shown as \"{}\"", name.escape_debug());
            Err((what, "write the name of the one that is meant at its full length".into()))
        }
    }
}

/// The pieces that a name may have meant: a mesh can have thousands.
fn pieces_meant(name: &str, names: &[&str]) -> String {
    const TOLD: usize = 8;
    let mut near = names.to_vec();
    near.sort_by_cached_key(|other| strsim::damerau_levenshtein(&name.to_lowercase(), &other.to_lowercase()));
    near.truncate(TOLD);
    match near.as_slice() {
        [] => "it names none of its pieces: name them in the program that made it".into(),
        near if names.len() > TOLD => choice_names(name, near, "those of the nearest names are"),
        near => choice_names(name, near, "its pieces are"),
    }
}
