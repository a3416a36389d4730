//! Lights in a vertical line: whether they stand in the order that the display gives.

use super::{Finding, Kind, judge::Stage};

/// One finding for each line that is out of order.
pub(super) fn findings(stage: &Stage) -> Vec<Finding> {
    (0..stage.display.lines.len()).filter_map(|line| out_of_order(stage, line)).collect()
}

fn out_of_order(stage: &Stage, line: usize) -> Option<Finding> {
    if stage.cast.in_order(line) {
        return None;
    }
    let wanted: Vec<_> = stage.display.lines[line].iter().map(|kind| kind.in_words()).collect();
    let mut found = stage.cast.line(line);
    found.sort_by(|a, b| b.height().total_cmp(&a.height()));
    let found: Vec<_> = found.iter().map(|one| one.lamp.name.as_str()).collect();
    Some(Finding {
        lamp: found.first().map(|name| (*name).to_string()),
        what: format!("From the top down stand {}.", found.join(", ")),
        how_bad: format!("From the top down must stand {}; another order announces another vessel.", wanted.join(", ")),
        mend: "Exchange the lamps.".into(),
        ..Finding::new(Kind::WrongOrder, &stage.display.clause)
    })
}
