//! What is crimped on, and on which size of conductor.
//!
//! Takes the plan; gives counts. The kinds are common practice, no source: ring terminals under screws and studs, sealed
//! joints at the lamps, and no soldered joint that the conductor could break beside.

use super::Plan;
use crate::boat::wiring::Size;

/// Terminals of one kind on one size.
#[derive(Clone, Debug, PartialEq)]
pub struct Terminal {
    pub count: usize,
    pub kind: &'static str,
    pub size: Size,
    pub at: &'static str,
}

const RING: &str = "ring terminal";
const JOINT: &str = "sealed crimped joint";

pub(super) fn of(plan: &Plan) -> Vec<Terminal> {
    let mut list: Vec<Terminal> = Vec::new();
    let mut add = |count: usize, kind: &'static str, size: Size, at: &'static str| match list
        .iter_mut()
        .find(|one| (one.kind, one.size, one.at) == (kind, size, at))
    {
        Some(one) => one.count += count,
        None => list.push(Terminal { count, kind, size, at }),
    };
    let main = plan.feed.size;
    add(2, RING, main, "battery, positive and negative post");
    add(2, RING, main, "main fuse, in and out");
    add(2, RING, main, "panel, positive and negative bar");
    for fed in plan.feeds() {
        add(2, RING, fed.cable.size, "panel, circuit and negative bar");
        add(2, JOINT, fed.cable.size, "lamps, positive and negative");
    }
    list
}
