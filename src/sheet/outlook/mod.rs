//! What each lamp looks out on, as SVG: one strip a lamp, the boat's own solids as silhouettes, and in front of them the
//! sector that the lamp is there to fill.
//!
//! Takes a judged survey; gives SVG. What is hidden within a sector has a colour and hatching that nothing else has, so
//! that nothing is lost in grey.

mod cells;
mod names;
mod page;
mod strip;

use self::strip::{Strip, TALL};
use super::{Surveyed, pen::Pen};

/// One fit in one status as an SVG drawing as wide as A4, and as high where there are four lamps or fewer.
pub fn outlook(surveyed: &Surveyed) -> String {
    let strips = strip::strips(surveyed);
    let head = page::head(surveyed);
    // Its depth does not hang on the figure it holds.
    let around = head.depth() + page::foot(surveyed, 1.0).depth() + strips.iter().map(Strip::around).sum::<f64>();
    let count = strips.len().max(1) as f64;
    // What room there is makes the views taller, then sets them apart.
    let room = ((page::HEIGHT - around) / count).max(0.0);
    let tall = (room - 1.0).clamp(TALL.0, TALL.1);
    let apart = (room - tall).clamp(0.0, 6.0);
    let height = (around + strips.len() as f64 * (tall + apart)).max(page::HEIGHT);
    let mut pen = Pen::new(page::WIDTH, height, (page::WIDTH / 2.0, height / 2.0));
    page::paper(&mut pen, height);
    head.draw(&mut pen);
    let mut top = head.depth();
    for one in &strips {
        one.draw(&mut pen, top + apart / 2.0, tall);
        top += one.around() + tall + apart;
    }
    page::foot(surveyed, strip::stretch(tall)).draw(&mut pen, height);
    pen.finish()
}
