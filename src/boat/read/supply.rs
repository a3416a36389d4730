//! What a lamp of a scene gets at its terminals, and how its light depends on that.
//!
//! Takes the field `supply` of a lamp and the lamp's optics; gives the optics on that supply. Must never work out what
//! a wire leaves of a voltage.

use std::sync::Arc;

use super::{
    fault::Span,
    fields::{Desk, Fields, bare, choice_words, number},
    limits::volts,
    text::{Node, Value},
};
use crate::light::{
    Optics,
    supply::{Dependence, Supply, Table},
};

const LAWS: [&str; 3] = ["Filament", "Constant", "Table"];
const TABLE: &str = "write `Table([(10.5, 0.62), (12, 1)])`: volts, and the share of the full light";

/// The optics on the supply that is told; as they are where none is.
pub(super) fn supplied(optics: Option<Arc<Optics>>, node: Option<&Node>, desk: &mut Desk) -> Option<Arc<Optics>> {
    let Some(node) = node else { return optics };
    let mut fields = Fields::open(node, "Supply", desk)?;
    let at = fields.need("at", volts, desk);
    let law = fields.node("light");
    let [at_span, law_span] = ["at", "light"].map(|name| fields.span(name));
    let told = law.map(|node| desk.in_field("light", |desk| dependence(node, desk)));
    fields.finish(desk);
    let (at, optics) = (at?, optics?);
    let own = optics.supply.as_ref().map(|supply| supply.dependence().clone());
    let dependence = match (told, own) {
        (Some(told), None) => told?,
        (None, Some(own)) => own,
        (Some(_), Some(_)) => {
            let what = format!("\"{}\" tells itself how its light depends on voltage", optics.name);
            desk.fault(law_span, what, "leave `light` out, or take that table out of the lamp's file");
            return None;
        }
        (None, None) => {
            let what = format!("nothing tells how the light of \"{}\" depends on voltage", optics.name);
            let mend = "add `light: Filament(rated: 12)`, `light: Constant(from: 9, to: 32)` or a table of its light";
            desk.fault(node.head_span(), what, mend);
            return None;
        }
    };
    match Supply::new(dependence, at) {
        // A file's grid and a preset's beams hold at full light.
        Ok(supply) => Some(Arc::new(optics.fed(supply))),
        Err(refused) => {
            desk.fault(at_span, refused.what(), refused.mend());
            None
        }
    }
}

fn dependence(node: &Node, desk: &mut Desk) -> Option<Dependence> {
    match node.head() {
        Some("Filament") => {
            let mut fields = Fields::open(node, "Filament", desk)?;
            let rated = fields.need("rated", volts, desk);
            fields.finish(desk);
            Some(Dependence::Filament { rated: rated? })
        }
        Some("Constant") => constant(node, desk),
        Some("Table") => table(node, desk),
        head => {
            let guess = choice_words(head.unwrap_or_default(), &LAWS);
            desk.wrong(node, "how the light depends on voltage", guess);
            None
        }
    }
}

fn constant(node: &Node, desk: &mut Desk) -> Option<Dependence> {
    let mut fields = Fields::open(node, "Constant", desk)?;
    let [from, to] = ["from", "to"].map(|name| fields.need(name, volts, desk));
    let span = fields.span("to");
    fields.finish(desk);
    let (from, to) = (from?, to?);
    if from > to {
        desk.fault(span, format!("the light is held from {from} up to {to}"), "exchange the two");
        return None;
    }
    Some(Dependence::Constant { from, to })
}

fn table(node: &Node, desk: &mut Desk) -> Option<Dependence> {
    let items = match &node.value {
        Value::Tuple { items, .. } => items.first().filter(|_| items.len() == 1),
        _ => None,
    };
    let Some(Node { value: Value::List(rows), .. }) = items.map(bare) else {
        desk.fault(node.head_span(), "`Table` holds no list of volts and shares", TABLE);
        return None;
    };
    let read: Vec<Option<((f64, f64), Span)>> = rows.iter().map(|item| row(bare(item), desk)).collect();
    let read: Vec<((f64, f64), Span)> = read.into_iter().collect::<Option<_>>()?;
    match Table::new(read.iter().map(|(row, _)| *row).collect()) {
        Ok(table) => Some(Dependence::Measured(table)),
        Err(unsound) => {
            let span = read.get(unsound.row).map_or(node.head_span(), |(_, span)| *span);
            desk.fault(span, unsound.what, unsound.mend);
            None
        }
    }
}

fn row(node: &Node, desk: &mut Desk) -> Option<((f64, f64), Span)> {
    let Value::Tuple { items, .. } = &node.value else {
        desk.wrong(node, "volts and a share in round brackets", TABLE);
        return None;
    };
    let [at, share] = items.as_slice() else {
        desk.fault(node.span, format!("{} values stand where two are wanted", items.len()), TABLE);
        return None;
    };
    // What share of light is possible, the table knows, and what its whole is.
    let (at, share) = (volts(at, desk), number(share, desk));
    Some(((at?.0, share?), node.span))
}
