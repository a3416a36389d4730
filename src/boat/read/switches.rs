//! The switch plan of a fit as it is written: switches, their positions, and the lamps they name.
//!
//! Takes the tree of a switch; gives a draft that still names its lamps, and resolves it once the lamps of the fit are
//! known. Must never look at how the switches stand to one another.

use super::{
    decode::LampDraft,
    fault::Span,
    fields::{Desk, Fields, list, name},
    text::{Node, Value},
};
use crate::boat::{Position, Switch};

/// A switch as far as it could be read.
pub(super) struct SwitchDraft<'n> {
    pub node: &'n Node,
    pub name: Option<String>,
    /// `None` where they could not be read.
    pub positions: Option<Vec<PositionDraft<'n>>>,
}

/// A position as far as it could be read.
pub(super) struct PositionDraft<'n> {
    pub node: &'n Node,
    pub name: Option<String>,
    /// `None` where they could not be read.
    pub lamps: Option<Vec<Named>>,
}

/// A lamp, or a switch, as something else names it.
pub(super) struct Named {
    pub lamp: String,
    pub span: Span,
}

impl SwitchDraft<'_> {
    /// The switch, its lamps as indices; `None` when any of it had a fault or names a lamp that is not there.
    pub fn switch(&self, lamps: &[LampDraft]) -> Option<Switch> {
        let positions = self.positions.as_ref()?.iter().map(|position| position.position(lamps));
        Some(Switch { name: self.name.clone()?, positions: positions.collect::<Option<_>>()? })
    }
}

impl PositionDraft<'_> {
    fn position(&self, lamps: &[LampDraft]) -> Option<Position> {
        let index = |named: &Named| lamps.iter().position(|lamp| lamp.name.as_ref() == Some(&named.lamp));
        let mut lamps = self.lamps.as_ref()?.iter().map(index).collect::<Option<Vec<_>>>()?;
        lamps.sort_unstable();
        lamps.dedup();
        Some(Position { name: self.name.clone()?, lamps })
    }
}

pub(super) fn switch<'n>(node: &'n Node, desk: &mut Desk) -> SwitchDraft<'n> {
    let mut draft = SwitchDraft { node, name: None, positions: None };
    if let Some(mut fields) = Fields::open(node, "Switch", desk) {
        draft.name = fields.need("name", name, desk);
        draft.positions = positions(&mut fields, node, desk);
        fields.finish(desk);
    }
    draft
}

/// The positions besides off, from one of two fields: a plain switch names only the lamps it feeds.
fn positions<'n>(fields: &mut Fields<'n>, node: &'n Node, desk: &mut Desk) -> Option<Vec<PositionDraft<'n>>> {
    match (fields.node("lamps"), fields.node("positions")) {
        (Some(given), None) => {
            Some(vec![PositionDraft { node, name: Some("on".into()), lamps: Some(fed(given, desk)?) }])
        }
        (None, Some(given)) => several(given, desk),
        (Some(_), Some(second)) => {
            let mend = "keep `lamps` for a switch of on and off, or `positions` for one of more";
            desk.fault(second.head_span(), "a switch has either `lamps` or `positions`", mend);
            None
        }
        (None, None) => {
            if !node.damaged {
                let mend =
                    "add `lamps: [\"name of the lamp\"]`, or `positions: [Position(name: \"...\", lamps: [...]), ...]`";
                desk.fault(node.head_span(), "the switch has neither `lamps` nor `positions`", mend);
            }
            None
        }
    }
}

fn several<'n>(given: &'n Node, desk: &mut Desk) -> Option<Vec<PositionDraft<'n>>> {
    let Value::List(items) = &given.value else {
        desk.wrong(given, "a list of positions", "put them in square brackets: `[..., ...]`");
        return None;
    };
    if items.is_empty() {
        let mend = "name its positions besides off, such as `Position(name: \"run\", lamps: [...])`";
        desk.fault(given.head_span(), "the switch has no position to turn it to", mend);
        return None;
    }
    Some(items.iter().map(|item| position(item, desk)).collect())
}

fn position<'n>(node: &'n Node, desk: &mut Desk) -> PositionDraft<'n> {
    let mut draft = PositionDraft { node, name: None, lamps: None };
    if let Some(mut fields) = Fields::open(node, "Position", desk) {
        draft.name = fields.need("name", position_name, desk);
        draft.lamps = fields.need("lamps", fed, desk);
        fields.finish(desk);
    }
    draft
}

/// Every switch can be off; a second off would be told from it by nothing.
fn position_name(node: &Node, desk: &mut Desk) -> Option<String> {
    let name = name(node, desk)?;
    if name.trim().eq_ignore_ascii_case("off") {
        desk.fault(node.span, "every switch can be off without a position for it", "leave this position out");
        return None;
    }
    Some(name)
}

/// A name, and where it stands.
pub(super) fn named(node: &Node, desk: &mut Desk) -> Option<Named> {
    name(node, desk).map(|lamp| Named { lamp, span: node.span })
}

/// The lamps a position feeds: at least one, none named twice.
pub(super) fn fed(node: &Node, desk: &mut Desk) -> Option<Vec<Named>> {
    let lamps = list(node, desk, "names of lamps", named)?;
    if lamps.is_empty() {
        let mend = "name the lamps it feeds, or leave it out: every switch can be off besides";
        desk.fault(node.span, "nothing is fed here", mend);
        return None;
    }
    let twice = lamps.iter().enumerate().find(|(n, one)| lamps[..*n].iter().any(|earlier| earlier.lamp == one.lamp));
    if let Some((_, one)) = twice {
        let what = format!("\"{}\" is named twice in one list", one.lamp);
        desk.fault(one.span, what, "name each lamp once; look whether another was meant");
        return None;
    }
    Some(lamps)
}
