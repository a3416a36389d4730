//! The polar plot of a survey as SVG on a sheet of A4: what must show outside, what does show inside, and between
//! them where they differ.
//!
//! Takes a judged survey; gives SVG. Every colour has its letter and its own hatching, every difference its own sign,
//! so that nothing is lost in grey.

mod page;
mod rings;
mod runs;
mod shadows;

use super::{Surveyed, pen::Pen};

/// One fit in one status as an SVG drawing, A4 upright. Ahead is up.
pub fn polar(surveyed: &Surveyed) -> String {
    let mut pen = Pen::new(page::WIDTH, page::HEIGHT, page::MIDDLE);
    page::paper(&mut pen);
    page::title(&mut pen, surveyed);
    rings::draw(&mut pen, surveyed);
    page::foot(&mut pen, surveyed);
    pen.finish()
}
